package check_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"lapwright/runtime/check"
	"lapwright/runtime/recipe"
)

// want matches the expectations on a line: each between backquotes.
var want = regexp.MustCompile("`([^`]*)`")

func TestMistakesAreToldWhereTheyStand(t *testing.T) {
	var files []txtar.File
	for _, name := range []string{"testdata/wrong.txtar", "testdata/newcomer.txtar"} {
		archive, err := txtar.ParseFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, archive.Files...)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(file.Name, ".go"), func(t *testing.T) {
			var expected []string
			for i, line := range strings.Split(string(file.Data), "\n") {
				if _, comment, ok := strings.Cut(line, "// want "); ok {
					for _, m := range want.FindAllStringSubmatch(comment, -1) {
						expected = append(expected, fmt.Sprintf("%d: %s", i+1, m[1]))
					}
				}
			}
			r, faults := recipe.Read(file.Name, file.Data)
			if len(faults) == 0 {
				_, faults = check.Check(r)
			}
			var got []string
			for _, f := range faults {
				text := fmt.Sprintf("%d: %s", f.Position.Line, f.Message)
				if f.Hint != "" {
					text += " -> " + f.Hint
				}
				got = append(got, text)
			}
			if diff := cmp.Diff(expected, got); diff != "" {
				t.Errorf("want (-) and got (+) differ:\n%s", diff)
			}
		})
	}
}

func TestAFaultSpansWhatItIsAbout(t *testing.T) {
	src := "package main\n\nimport \"fmt\"\n\nfunc main() {\n\tfmt.Prinln(1, 2)\n}\n"
	r, _ := recipe.Read("x.go", []byte(src))
	_, faults := check.Check(r)
	if len(faults) != 1 {
		t.Fatalf("got %d faults, want 1: %v", len(faults), faults)
	}
	f := faults[0]
	if f.Position.Line != 6 || f.Position.Column != 6 || f.Width != len("Prinln") {
		t.Errorf("the fault is at %v and %d wide, want 6:6 and %d", f.Position, f.Width, len("Prinln"))
	}
}

func TestEveryListedPackageHasItsTypes(t *testing.T) {
	for _, p := range check.Packages {
		src := fmt.Sprintf("package main\n\nimport _ %q\n\nfunc main() {}\n", p.Path)
		r, _ := recipe.Read("x.go", []byte(src))
		_, faults := check.Check(r)
		for _, f := range faults {
			if strings.HasPrefix(p.Path, check.Own) && strings.Contains(f.Message, "could not import") {
				t.Logf("%s is listed, and not there yet", p.Path)
				continue
			}
			t.Errorf("%s: %s (%s)", p.Path, f.Message, f.Hint)
		}
	}
}
