package interp_test

import (
	"bytes"
	"fmt"
	"go/types"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"lapwright/runtime/check"
	"lapwright/runtime/interp"
	"lapwright/runtime/interp/symbols"
	"lapwright/stdlib/document"
)

var want = regexp.MustCompile("// want `([^`]*)`")

// describe writes a fault as the wants do.
func describe(f *document.Fault) string {
	var values []string
	for _, v := range f.Values {
		values = append(values, v.Name+"="+v.Text)
	}
	return fmt.Sprintf("%d: %s: %s; %s", f.Position.Line, f.Kind, f.Message, strings.Join(values, " "))
}

func TestFaultsAreToldWhereTheyHappen(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/faults.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range archive.Files {
		t.Run(strings.TrimSuffix(file.Name, ".go"), func(t *testing.T) {
			expected := "none"
			for i, line := range strings.Split(string(file.Data), "\n") {
				if m := want.FindStringSubmatch(line); m != nil {
					expected = fmt.Sprintf("%d: %s", i+1, m[1])
				}
			}
			var out bytes.Buffer
			fault := interp.Run(lowered(t, string(file.Data)), interp.Options{Out: &out, Steps: 100_000, Depth: 1000})
			if fault == nil {
				t.Fatalf("it ran to its end; want %s", expected)
			}
			if diff := cmp.Diff(expected, describe(fault)); diff != "" {
				t.Errorf("want (-) and got (+) differ:\n%s\n%s", diff, out.String())
			}
		})
	}
}

func TestATraceNamesTheRecipesOwnFunctions(t *testing.T) {
	p := lowered(t, `package main

type shop struct{ laps []int }

func (s *shop) take(n int) int { return s.laps[n] }

func plan(s *shop) (t int) {
	for i := range 3 {
		t += func() int { return s.take(i) }()
	}
	return t
}

func main() {
	plan(&shop{[]int{1, 2}})
}
`)
	fault := interp.Run(p, interp.Options{})
	if fault == nil {
		t.Fatal("it ran to its end")
	}
	var got []string
	for _, f := range fault.Trace {
		got = append(got, fmt.Sprintf("%s %d:%d", f.Function, f.Position.Line, f.Position.Column))
	}
	expected := []string{"shop.take 5:41", "a function in plan 9:28", "plan 9:8", "main 15:2"}
	if diff := cmp.Diff(expected, got); diff != "" {
		t.Errorf("want (-) and got (+) differ:\n%s", diff)
	}
}

func TestWhatWasPrintedBeforeAFaultStays(t *testing.T) {
	var out bytes.Buffer
	p := lowered(t, "package main\n\nimport \"fmt\"\n\nfunc main() {\n\tfmt.Println(\"before\")\n\tvar xs []int\n\tfmt.Println(xs[0])\n}\n")
	if fault := interp.Run(p, interp.Options{Out: &out}); fault == nil || out.String() != "before\n" {
		t.Errorf("got fault %v and output %q", fault, out.String())
	}
}

func TestPartsAreEnteredInOrder(t *testing.T) {
	p := lowered(t, `// # Parts
package main

import "fmt"

func main() {
	x := 1

	// ## One
	fmt.Println("one", x)

	// ## Two
	for range 2 {
		fmt.Println("two")
	}

	// ## Three
	y := 3

	// ## Four
	if x > 0 {
		fmt.Println("four", y)
	}

	// ## Five
	const z = 5
}
`)
	var out bytes.Buffer
	interp.Run(p, interp.Options{Out: &out, OnPart: func(i int) {
		fmt.Fprintf(&out, "[%s]\n", p.Checked.Recipe.Parts[i].Title)
	}})
	expected := "[]\n[One]\none 1\n[Two]\ntwo\ntwo\n[Three]\n[Four]\nfour 3\n[Five]\n"
	if diff := cmp.Diff(expected, out.String()); diff != "" {
		t.Errorf("want (-) and got (+) differ:\n%s", diff)
	}
}

func TestPartsBelowAReturnAreNotEntered(t *testing.T) {
	const frame = `// # Parts
package main

import "fmt"

func main() {
	x := 1
	%s

	// ## One
	fmt.Println("one", x)

	// ## Two
	%s

	// ## Three
	y := 3
	_ = y

	// ## Four
	const z = 4
}

func once(yield func(int) bool) { yield(1) }
`
	all := "[][One]one 1\n[Two]"
	tests := []struct{ name, first, two, want string }{
		{"no return", "", "", all + "[Three][Four]"},
		{"return", "", "return", all},
		{"return in a branch", "", "if x > 0 { return }", all},
		{"branch not taken", "", "if x > 1 { return }", all + "[Three][Four]"},
		{"return in a loop", "", "for range 3 { return }", all},
		{"return in the body of a range over a function", "", "for range once { return }", all},
		{"return with something deferred", `defer fmt.Print("deferred")`, "return", all + "deferred"},
		{"end with something deferred", `defer fmt.Print("deferred")`, "", all + "[Three][Four]deferred"},
		{"recovered panic", "defer func() { fmt.Print(recover()) }()", `panic("no")`, all + "no"},
		{"return within a function literal", "", "func() { return }()", all + "[Three][Four]"},
		{"return before the first section", "if x > 0 { return }", "", "[]"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			p := lowered(t, fmt.Sprintf(frame, test.first, test.two))
			var out bytes.Buffer
			fault := interp.Run(p, interp.Options{Out: &out, OnPart: func(i int) {
				fmt.Fprintf(&out, "[%s]", p.Checked.Recipe.Parts[i].Title)
			}})
			if fault != nil || out.String() != test.want {
				t.Errorf("got %q, want %q, fault %v", out.String(), test.want, fault)
			}
		})
	}
}

// What fails in a primitive because nothing made what it was given is a fault of the
// recipe, not of the engine.
func TestWhatNothingMadeIsNamed(t *testing.T) {
	tests := []struct{ name, body, hint string }{
		{"variable", "var f figure.Figure\nf.At(unit.MM)", "an empty figure.Figure was given to figure.Figure.At"},
		{"new", "show.Figure(\"a\", new(figure.Figure))", "an empty figure.Figure was given to show.Figure"},
		{"literal", "show.Figure(\"a\", &figure.Figure{})", "an empty figure.Figure was given to show.Figure"},
		{"nil", "show.Figure(\"a\", nil)", "nil was given to show.Figure"},
		{"nil variable", "var f *figure.Figure\nf.At(unit.MM)", "nil was given to figure.Figure.At"},
		{"one of several", "show.Figure(\"a\", nil, nil)", "nil was given to show.Figure"},
		{"field", "session.Spell{}.Time()", "a session.Spell without Lap was given to session.Spell.Time"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			p := lowered(t, `package main

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/session"
	"lapwright/stdlib/show"
	"lapwright/stdlib/unit"
)

func main() {
	_, _, _, _ = figure.Figure{}, session.Spell{}, show.Row(), unit.MM
	`+test.body+`
}
`)
			fault := interp.Run(p, interp.Options{})
			if fault != nil && fault.Kind == document.StoppedBy {
				return // the primitive says it in its own words
			}
			if fault == nil || fault.Kind != document.Panicked || fault.Hint != test.hint {
				t.Errorf("got %+v, want the hint %q", fault, test.hint)
			}
		})
	}
}

// A recipe's own type can stand for any interface of a package it may import, so none
// need be refused.
func TestEveryInterfaceOfAListedPackageCanBeHeld(t *testing.T) {
	var imports strings.Builder
	for _, p := range check.Packages {
		fmt.Fprintf(&imports, "import _ %q\n", p.Path)
	}
	held := 0
	for _, pkg := range lowered(t, "package main\n"+imports.String()+"func main() {}\n").Checked.Package.Imports() {
		for _, name := range pkg.Scope().Names() {
			obj := pkg.Scope().Lookup(name)
			iface, ok := obj.Type().Underlying().(*types.Interface)
			if _, isType := obj.(*types.TypeName); !ok || !isType || !obj.Exported() || !iface.IsMethodSet() || iface.NumMethods() == 0 {
				continue
			}
			held++
			if symbols.Hold(pkg.Path(), name, symbols.Held{}) == nil {
				t.Errorf("nothing holds a recipe's value as %s.%s", pkg.Name(), name)
			}
		}
	}
	if held < 8 {
		t.Errorf("only %d interfaces were found", held)
	}
}
