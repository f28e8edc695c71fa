package check_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lapwright/runtime/check"
)

// A witness is an operand that notes when fmt asks for it, and how.
type witness struct {
	number int
	asked  *[]string
}

func (w witness) Format(s fmt.State, verb rune) {
	*w.asked = append(*w.asked, fmt.Sprintf("%d%c", w.number, verb))
}

// The source of what is right is package fmt itself.
func TestDirectivesAreThoseOfFmt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		format := strings.Join(rapid.SliceOfN(rapid.SampledFrom([]string{
			"%", "%", "%", "d", "v", "s", "x", "é", "#", "+", "-", " ", "0", "3", "12", "1000001", ".", "*", "[", "]", "[1]", "[2]", "[3]", "[9]", "[x]", "a", "%%", "%v",
		}), 0, 12).Draw(t, "format"), "")
		n := rapid.IntRange(0, 4).Draw(t, "operands")
		var asked []string
		args := make([]any, n)
		for i := range args {
			args[i] = witness{i, &asked}
		}
		text := fmt.Sprintf(format, args...)
		var got []string
		list, used := check.Directives(format, n)
		for _, d := range list {
			if d.Arg >= 0 {
				got = append(got, fmt.Sprintf("%d%c", d.Arg, d.Verb))
			}
		}
		if strings.Contains(text, "%!(EXTRA") {
			for i := used; i < n; i++ {
				got = append(got, fmt.Sprintf("%dv", i))
			}
		} else if used < n {
			t.Errorf("%q: %d of %d operands used, but fmt has none left: %s", format, used, n, text)
		}
		if !slices.Equal(asked, got) {
			t.Errorf("%q with %d operands: fmt asks %v, got %v", format, n, asked, got)
		}
	})
}

func TestDirectivesNameTheOperandsOfWidths(t *testing.T) {
	list, used := check.Directives("%-*.*f|%[1]*d", 4)
	want := []check.Directive{
		{From: 0, To: 6, Flags: "-*.*", Verb: 'f', Arg: 2, Stars: []int{0, 1}},
		{From: 7, To: 13, Flags: "[1]*", Verb: 'd', Arg: 1, Stars: []int{0}},
	}
	if diff := cmp.Diff(want, list); diff != "" || used != 4 {
		t.Errorf("%d used; want (-) and got (+) differ:\n%s", used, diff)
	}
}
