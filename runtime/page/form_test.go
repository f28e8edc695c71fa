package page

import (
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lapwright/stdlib/document"
)

func TestInputBecomesTheControlThatFitsIt(t *testing.T) {
	for _, c := range []struct {
		in   document.Input
		want control
	}{
		{
			document.Input{Name: "ring", About: "the high ring", Kind: "length", Value: "118 mm", Default: "118 mm", Low: "60 mm", High: "140 mm"},
			control{Name: "ring", About: "the high ring", Value: "118", Unit: "mm", Number: true, Low: "60", High: "140", Step: "any", Hint: "60 mm to 140 mm"},
		},
		{ // a value in another unit takes the limits along: 25.4 mm are an inch by definition
			document.Input{Name: "ring", Kind: "length", Value: "4 in", Default: "118 mm", Low: "50.8 mm", High: "127 mm", Given: true},
			control{Name: "ring", Value: "4", Unit: "in", Number: true, Low: "2", High: "5", Step: "any", Hint: "50.8 mm to 127 mm; the recipe has 118 mm", Given: true},
		},
		{ // what a number control cannot hold is text
			document.Input{Name: "ring", Kind: "length", Value: "4 1/2 in", Default: "4 1/2 in", Low: "2 in"},
			control{Name: "ring", Value: "4 1/2 in", Hint: "2 in or more"},
		},
		{
			document.Input{Name: "n", Kind: "count", Value: "3", Default: "3", High: "9"},
			control{Name: "n", Value: "3", Number: true, High: "9", Step: "1", Hint: "9 or less"},
		},
		{
			document.Input{Name: "glass", Kind: "choice", Value: "crown", Default: "crown", Choices: []string{"crown", "flint"}},
			control{Name: "glass", Value: "crown", Choices: []string{"crown", "flint"}},
		},
		{
			document.Input{Name: "x", Kind: "something new", Value: "3", Default: "3"},
			control{Name: "x", Value: "3"},
		},
	} {
		if diff := cmp.Diff(c.want, controlOf(c.in)); diff != "" {
			t.Errorf("%s as %s: %s", c.in.Name, c.in.Value, diff)
		}
	}
}

func TestCommandLineIsReadByAShellAsItIsMeant(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("there is no shell")
	}
	rapid.Check(t, func(t *rapid.T) {
		sign := rapid.SampledFrom([]rune(` abz09-_=./\'"$` + "`!%;&|<>*?#~()[]{}\n\té″"))
		word := rapid.StringOfN(sign, 0, 12, -1)
		value := word.Draw(t, "value")
		told := "./" + word.Draw(t, "told")
		line := commandLine(Recipe{Told: told}, map[string]string{"a": value, "b": "4 mm"})
		out, err := exec.Command("sh", "-c", `lapwright() { printf '%s\0' "$@"; }; `+line).Output()
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		want := []string{"run", "--set", "a=" + value, "--set", "b=4 mm", told, ""}
		if diff := cmp.Diff(want, strings.Split(string(out), "\x00")); diff != "" {
			t.Errorf("%s: %s", line, diff)
		}
	})
}

func TestOnlyWhatCanBeDataIsWorthARun(t *testing.T) {
	for name, want := range map[string]bool{
		"recipe.go": true, "readings.csv": true, "notes.txt": true, "sub/readings.csv": true,
		"other.go": false, ".recipe.go.swp": false, "recipe.go~": false, "#recipe.go#": false,
		"out.html": false, "out.PDF": false, "out.md": false, "record.json": false, "x.tmp": false,
	} {
		if worth("recipe.go", name) != want {
			t.Errorf("%s: %t", name, !want)
		}
	}
	if !worth("record.json", "record.json") {
		t.Error("the recipe itself is not worth a run")
	}
}

func TestTimesAreSaidAsAPersonWould(t *testing.T) {
	for d, want := range map[time.Duration]string{
		4 * time.Millisecond: "0.00\u00a0s", 61 * time.Millisecond: "0.06\u00a0s", 840 * time.Millisecond: "0.8\u00a0s", 75 * time.Second: "75.0\u00a0s",
	} {
		if got := seconds(d); got != want {
			t.Errorf("%v is %q, not %q", d, got, want)
		}
	}
}

func TestInputsOfAFailedRunAreNotForgotten(t *testing.T) {
	older := []document.Input{{Name: "a", Value: "1"}, {Name: "b", Value: "2"}}
	newer := []document.Input{{Name: "b", Value: "3"}, {Name: "c", Value: "4"}}
	want := []document.Input{{Name: "a", Value: "1"}, {Name: "b", Value: "3"}, {Name: "c", Value: "4"}}
	if diff := cmp.Diff(want, together(older, newer)); diff != "" {
		t.Error(diff)
	}
	if older[1].Value != "2" {
		t.Error("the older inputs were written over")
	}
}
