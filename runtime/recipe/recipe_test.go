package recipe

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"

	"lapwright/recipes"
	"lapwright/stdlib/document"
)

// TestRecipeIsCutIntoParts reads each testdata/*.txtar: recipe.go is the input,
// parts what is found in it.
func TestRecipeIsCutIntoParts(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no testdata", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			archive, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			src, want := section(t, archive, "recipe.go"), section(t, archive, "parts")
			r, faults := Read("recipe.go", src)
			if diff := cmp.Diff(string(want), outline(r, faults)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func section(t *testing.T, archive *txtar.Archive, name string) []byte {
	t.Helper()
	for _, f := range archive.Files {
		if f.Name == name {
			return f.Data
		}
	}
	t.Fatalf("no section %s", name)
	return nil
}

// outline writes what was read in a form for people.
func outline(r *Recipe, faults []document.Fault) string {
	var b strings.Builder
	block := func(name, text string) {
		if text != "" {
			fmt.Fprintf(&b, "%s:\n\t%s\n", name, strings.ReplaceAll(text, "\n", "\n\t"))
		}
	}
	for _, f := range faults {
		fmt.Fprintf(&b, "%v: %s\n%s|%d\n", f.Position, f.Message, f.Excerpt, f.Width)
		block("hint", f.Hint)
	}
	fmt.Fprintf(&b, "title %s\n", r.Title)
	block("summary", r.Summary)
	for _, in := range r.inputsIfRead(faults) {
		fmt.Fprintf(&b, "input %q %s line %d\n", in.Name, in.Function, r.line(in.At))
	}
	for _, p := range r.Parts {
		kind := "declarations"
		if p.Main {
			kind = "section"
		}
		fmt.Fprintf(&b, "== %s %q line %d, %d statements, lines %d to %d\n",
			kind, p.Title, p.Line, p.Statements, r.line(p.From), r.line(p.To))
		block("prose", p.Prose)
		block("code", p.Code)
	}
	return b.String()
}

func (r *Recipe) inputsIfRead(faults []document.Fault) []Input {
	if len(faults) > 0 {
		return nil
	}
	return r.Inputs()
}

func TestUnreadableRecipeGivesOneClearFault(t *testing.T) {
	head := "package main\n\nfunc main() {\n"
	tests := []struct {
		name, src, want string // want: line:col: message
	}{
		{"empty", "", "1:1: the file is empty"},
		{"blank", " \n\n", "1:1: the file is empty"},
		{"too large", strings.Repeat(" ", MaxSize+1), "0:0: the file has more than 1048576 bytes, the most a recipe may have"},
		{"zero byte", head + "\tx\x00", "4:3: a zero byte: this is not a text file, and a recipe is a Go file"},
		{"not UTF-8", head + "\tx := \"\xe9\"\n}\n", "4:8: the byte 0xe9 is not UTF-8 text"},
		{"not Go", "Dear diary,\n", "1:1: expected 'package', found Dear"},
		{"another package", "package figures\n\nfunc main() {}\n", "1:9: this is package figures; a recipe is package main"},
		{"no main", "package main\n\nfunc Main() {}\n", "1:1: function main is undeclared in the main package"},
		{"method main", "package main\n\ntype t int\n\nfunc (t) main() {}\n", "1:1: function main is undeclared in the main package"},
		{"nested", head + "\t_ = " + strings.Repeat("(", 2000) + "1" + strings.Repeat(")", 2000) + "\n}\n",
			"4:1002: nested more than 1000 deep here"},
		{"deeply nested", head + "\t_ = " + strings.Repeat("(", 300_000) + "1" + strings.Repeat(")", 300_000) + "\n}\n",
			"4:100005: exceeded max nesting depth"},
		{"many sections", head + strings.Repeat("// ## a\n\n", 1200) + "}\n", "2004:1: the recipe has more than 1000 sections"},
		{"long chain", head + "\t_ = 1" + strings.Repeat("+1", 5000) + "\n}\n", "4:6: nested more than 1000 deep here"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r, faults := Read("r.go", []byte(test.src))
			if len(faults) == 0 {
				t.Fatal("read without a fault")
			}
			f := faults[0]
			got := fmt.Sprintf("%d:%d: %s", f.Position.Line, f.Position.Column, f.Message)
			if got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
			if f.Kind != document.Wrong || f.Position.Filename != "r.go" {
				t.Errorf("fault %+v", f)
			}
			if len(faults) > 1 && test.name != "not Go" && test.name != "deeply nested" {
				t.Errorf("%d faults", len(faults))
			}
			if r == nil || r.Parts != nil {
				t.Errorf("recipe %+v", r)
			}
		})
	}
}

func TestMainOfAnotherKindIsLeftToTheTypeChecker(t *testing.T) {
	for _, src := range []string{
		"package main\n\nvar main = 3\n",
		"package main\n\ntype main int\n",
		"package main\n\nfunc main()\n",
		"package main\n\nfunc main(x int) {}\n",
		"package main\n\nfunc main() {}\n\nfunc main() {}\n",
	} {
		if _, faults := Read("r.go", []byte(src)); faults != nil {
			t.Errorf("%q: %v", src, faults)
		}
	}
}

func TestEverySyntaxErrorIsListedOnceALine(t *testing.T) {
	src := "package main\n\nfunc main() {\n\tx := )\n\ty := ]] ]\n\tfor {\n}\n"
	_, faults := Read("r.go", []byte(src))
	var got []int
	for _, f := range faults {
		got = append(got, f.Position.Line)
	}
	if diff := cmp.Diff([]int{4, 6}, got); diff != "" {
		t.Error(diff, faults)
	}
}

func TestManySyntaxErrorsAreReadQuickly(t *testing.T) {
	// A file of this kind took minutes when each fault searched from the top.
	src := "package main\n\nfunc main() {\n" + strings.Repeat("@\n", MaxSize/2-100)
	if _, faults := Read("r.go", []byte(src)); len(faults) < 1000 {
		t.Error(len(faults))
	}
}

func TestQuoteFillsExcerptsOfTheRecipeOnly(t *testing.T) {
	r, _ := Read("r.go", []byte("package main\n\nfunc main() {\n\tprintln(1)\n}\n"))
	var f document.Fault
	f.Position.Filename, f.Position.Line, f.Position.Column = "r.go", 4, 2
	f.Notes = make([]document.Note, 2)
	f.Notes[0].Position.Filename, f.Notes[0].Position.Line = "r.go", 3
	f.Notes[1].Position.Filename, f.Notes[1].Position.Line = "data.csv", 3
	r.Quote(&f)
	if f.Excerpt != "\tprintln(1)" || f.Width != 1 || f.Notes[0].Excerpt != "func main() {" || f.Notes[1].Excerpt != "" {
		t.Errorf("%+v", f)
	}
}

func TestLineDirectiveDoesNotMoveParts(t *testing.T) {
	src := "package main\n\nfunc main() {\n//line /etc/passwd:99\n\t// ## One\n\tprintln(1)\n}\n"
	r, faults := Read("r.go", []byte(src))
	if faults != nil || len(r.Parts) != 1 || r.Parts[0].Line != 4 {
		t.Errorf("%v %+v", faults, r.Parts)
	}
}

func FuzzRead(f *testing.F) {
	seeds, err := filepath.Glob("testdata/*.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range seeds {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		for _, part := range txtar.Parse(data).Files {
			f.Add(part.Data)
		}
	}
	for _, source := range recipes.All() {
		f.Add(source)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		r, faults := Read("r.go", src)
		if len(faults) > 0 {
			for _, fault := range faults {
				if fault.Message == "" || fault.Kind != document.Wrong {
					t.Errorf("empty fault %+v", fault)
				}
			}
			return
		}
		r.Inputs()
		last := 0
		for _, p := range r.Parts {
			if p.From > p.To || !p.From.IsValid() {
				t.Errorf("part from %d to %d", p.From, p.To)
			}
			if p.Line < last {
				t.Errorf("part at line %d after one at line %d", p.Line, last)
			}
			last = p.Line
		}
	})
}

func BenchmarkRead(b *testing.B) {
	archive, err := txtar.ParseFile("testdata/whole.txtar")
	if err != nil {
		b.Fatal(err)
	}
	src := archive.Files[0].Data
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		if _, faults := Read("recipe.go", src); faults != nil {
			b.Fatal(faults)
		}
	}
}
