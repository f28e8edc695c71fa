package manual

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"lapwright/recipes"
	"lapwright/runtime/check"
	"lapwright/runtime/recipe"
	"lapwright/runtime/render"
	"lapwright/stdlib"
)

func TestEveryPackageThatIsThereIsTold(t *testing.T) {
	told := make(map[string]bool)
	for _, p := range Read().packages {
		told[p.name] = true
		if p.what == "" || len(p.entries) == 0 {
			t.Errorf("package %s is empty or has no doc comment", p.name)
		}
	}
	for _, p := range check.Packages {
		name, ours := strings.CutPrefix(p.Path, check.Own)
		if _, err := os.Stat(filepath.Join("..", "..", "stdlib", name)); ours && err == nil && !told[name] {
			t.Errorf("package %s is not told", name)
		}
	}
}

// The patterns by which the sources are embedded must take every file a recipe is
// built from, and no test but the examples.
func TestEverySourceOfThePrimitivesIsCarried(t *testing.T) {
	stdlibFolder := filepath.Join("..", "..", "stdlib")
	err := filepath.WalkDir(stdlibFolder, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && d.Name() == "testdata" {
			return fs.SkipDir
		}
		if filepath.Ext(file) != ".go" || filepath.Dir(file) == stdlibFolder {
			return nil
		}
		name, _ := filepath.Rel(stdlibFolder, file)
		name = filepath.ToSlash(name)
		wanted := !strings.HasSuffix(name, "_test.go") || strings.HasSuffix(name, "example_test.go")
		if _, err := fs.Stat(stdlib.Sources, name); (err == nil) != wanted {
			t.Errorf("%s: carried %v, wanted %v", name, err == nil, wanted)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestEveryPrimitiveHasADocComment(t *testing.T) {
	for _, p := range Read().packages {
		for _, e := range p.entries {
			for _, told := range append([]*entry{e}, e.methods...) {
				if strings.TrimSpace(told.comment) == "" {
					t.Errorf("%s has no doc comment", told.name)
				}
			}
		}
	}
}

// A function that may stop the recipe must say so: where it calls host.Stopf or
// host.StopArg itself, its doc comment must speak of stopping or refusing.
func TestWhatStopsARecipeSaysSo(t *testing.T) {
	for _, p := range Read().packages {
		files, _ := fs.Glob(stdlib.Sources, p.name+"/*.go")
		for _, file := range files {
			text, err := stdlib.Sources.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			f, err := parser.ParseFile(token.NewFileSet(), file, text, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range f.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok || !fn.Name.IsExported() || fn.Body == nil {
					continue
				}
				stops := false
				ast.Inspect(fn.Body, func(n ast.Node) bool {
					if s, ok := n.(*ast.SelectorExpr); ok {
						x, ok := s.X.(*ast.Ident)
						stops = stops || ok && x.Name == "host" && strings.HasPrefix(s.Sel.Name, "Stop")
					}
					return true
				})
				comment := strings.ToLower(fn.Doc.Text())
				if stops && !strings.Contains(comment, "stop") && !strings.Contains(comment, "refuse") {
					t.Errorf("%s: %s.%s may stop the recipe and does not say when", file, p.name, fn.Name.Name)
				}
			}
		}
	}
}

// A function is shown at work: in an example, or in a recipe that ships. Both are
// run by the tests.
func TestEveryFunctionIsShownAtWork(t *testing.T) {
	m := Read()
	var shipped strings.Builder
	for _, source := range recipes.All() {
		shipped.Write(source)
	}
	for _, p := range m.packages {
		for _, e := range p.entries {
			if strings.Contains(e.prose, "*mat.") {
				continue // of matrices a recipe knows nothing
			}
			if strings.HasPrefix(e.prose, "```go\nfunc ") && m.exampleOf(e) == nil && !uses(shipped.String(), e.use) {
				t.Errorf("%s is in no example and no recipe", e.name)
			}
		}
	}
}

// What goes beyond this is drawn as it stands, without its marks: see render.
const longestProse = 20_000

func TestWholeManualIsDrawnInEveryForm(t *testing.T) {
	d := Read().Whole()
	for _, s := range d.Sections {
		if len(s.Prose) > longestProse {
			t.Errorf("%s: %d bytes are too long to be drawn", s.Title, len(s.Prose))
		}
	}
	page, err := render.HTML(d)
	if err != nil {
		t.Fatal(err)
	}
	// Every place that the page leads to must be on it.
	for _, part := range bytes.Split(page, []byte(`href="#`))[1:] {
		id, _, _ := bytes.Cut(part, []byte(`"`))
		if !bytes.Contains(page, append([]byte(`id="`), append(id, '"')...)) {
			t.Errorf("the page leads to #%s, which is not there", id)
		}
	}
	for _, ending := range render.Endings() {
		first, err := render.File("manual"+ending, d)
		if err != nil {
			t.Fatal(err)
		}
		if second, _ := render.File("manual"+ending, Read().Whole()); !bytes.Equal(first, second) {
			t.Errorf("two drawings differ as %s", ending)
		}
	}
}

func TestEverythingIsFoundByItsName(t *testing.T) {
	m := Read()
	seen := make(map[string]bool)
	for _, topic := range m.topics {
		if topic.what == "" {
			t.Errorf("%s: nothing is said in one sentence", topic.name)
		}
		if seen[strings.ToLower(topic.name)] {
			continue // the package zone stands before the word
		}
		seen[strings.ToLower(topic.name)] = true
		d, meant := m.Find(topic.name)
		if d == nil {
			t.Errorf("%s is not found; %q was offered", topic.name, meant)
		}
	}
}

func TestSearchTakesWordsByHowTheyBegin(t *testing.T) {
	for _, test := range []struct{ asked, with, without string }{
		{"ring", "plan.Plan.OnRing", "lap.Lap.String"},
		{"hole", "mirror.Spec", "plan.Shared.Whole"},
		{"turned edge", "recipes/turned-edge", "wear.Edges"},
		{"overhole", "wear.Edges.OverHole", "zone.Mask"},
	} {
		d, _ := Read().Find(test.asked)
		if d == nil {
			t.Errorf("%s: nothing is found", test.asked)
			continue
		}
		file, err := render.File("found.txt", d)
		if err != nil {
			t.Fatal(err)
		}
		if text := string(file); !strings.Contains(text, test.with) || strings.Contains(text, test.without) {
			t.Errorf("%s: %s should be found and %s not:\n%s", test.asked, test.with, test.without, text)
		}
	}
}

func TestWhatIsNotFoundLeadsToWhatIs(t *testing.T) {
	for asked, want := range map[string]string{
		"zone.Reduse": "zone.Reduce", "overhagn": "Overhang", "custmo lap": "custom lap", "xyzzy lap": "lap", "xyzzy": "",
	} {
		if d, meant := Read().Find(asked); d != nil || meant != want {
			t.Errorf("%s: %q is offered, want %q", asked, meant, want)
		}
	}
}

// The recipe that the page on the language shows must be one.
func TestRecipeOfTheLanguagePageIsARecipe(t *testing.T) {
	_, prose := readPage("language")
	_, code, _ := strings.Cut(prose, "    // # The title")
	code, _, _ = strings.Cut("    // # The title"+code, "\n- ")
	text := strings.ReplaceAll("\n"+code, "\n    ", "\n")
	r, faults := recipe.Read("recipe.go", []byte(text))
	if len(faults) == 0 {
		_, faults = check.Check(r)
	}
	for _, f := range faults {
		t.Errorf("%v: %s", f.Position, f.Message)
	}
	if r.Title != "The title" || len(r.Parts) != 1 || r.Parts[0].Title != "The first section" {
		t.Errorf("title %q, parts %v", r.Title, r.Parts)
	}
}

func TestExamplesAreToldAsTheyStand(t *testing.T) {
	sources := fstest.MapFS{
		"lap/lap.go": {Data: []byte("// Package lap holds laps. And more.\npackage lap\n\n" +
			"// A Lap is a tool.\ntype Lap struct{ width float64 }\n\n" +
			"// Round returns a [Lap].\nfunc Round(width float64) *Lap { return &Lap{width} }\n\n" +
			"// Width returns its width.\nfunc (l *Lap) Width() float64 { return l.width }\n\n" +
			"// Size is how large it is.\ntype Size int\n\n// The sizes.\nconst (\n\tSmall Size = iota\n\tLarge\n)\n")},
		"lap/example_test.go": {Data: []byte("package lap_test\n\nimport (\n\t\"fmt\"\n\t\"lapwright/stdlib/lap\"\n)\n\n" +
			"// A small one.\nfunc ExampleRound() {\n\tl := lap.Round(3)\n\tfmt.Println(l.Width()) // its width\n\t// Output: 3\n}\n")},
	}
	packages := readPackages(sources)
	if len(packages) != 1 || packages[0].what != "Package lap holds laps." {
		t.Fatalf("got %+v", packages)
	}
	m := &Manual{packages: packages}
	for name, want := range map[string]string{
		"lap.Lap":   "```go\ntype Lap struct { … }\n```\n\nA Lap is a tool.\n",
		"lap.Round": "```go\nfunc Round(width float64) *Lap\n```\n\nRound returns a [Lap](#lap-lap).\n\n**Example**\n\nA small one.\n\n```go\nl := lap.Round(3)\nfmt.Println(l.Width()) // its width\n```\n\nIt prints\n\n```\n3\n```\n",
		"lap.Size":  "```go\ntype Size int\n```\n\nSize is how large it is.\n\n```go\nconst (\n\tSmall Size = iota\n\tLarge\n)\n```\n\nThe sizes.\n",
	} {
		found := false
		for _, e := range packages[0].entries {
			if e.name == name {
				found = true
				if got := e.prose + m.example(e, false); got != want {
					t.Errorf("%s:\n%s\nwant:\n%s", name, got, want)
				}
				if brief := m.example(e, true); name == "lap.Lap" && brief != "" {
					t.Errorf("Lap has an example: %s", brief)
				}
			}
		}
		if !found {
			t.Errorf("%s is not told", name)
		}
	}
	width := packages[0].entries[0].methods[0]
	if got, want := m.example(width, true), "\nThe example of [lap.Round](#lap-round) shows it.\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestFirstSentence(t *testing.T) {
	for text, want := range map[string]string{
		"Card shows the run card. And more.":   "Card shows the run card.",
		"Club blank no. 14, `300 mm`. It is.":  "Club blank no. 14, 300 mm.",
		"A figure E. Coli is not one. More.":   "A figure E. Coli is not one.",
		"No end":                               "No end",
		"The rule 1.22 λF\nis in two lines. B": "The rule 1.22 λF is in two lines.",
	} {
		if got := sentence(text); got != want {
			t.Errorf("sentence(%q) = %q, want %q", text, got, want)
		}
	}
}
