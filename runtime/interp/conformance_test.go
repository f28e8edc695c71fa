package interp_test

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
)

// A program is a Go file whose compiled and interpreted runs must say the same.
type program struct {
	name   string
	source []byte
}

// compiled builds all the programs into one binary, since linking is what takes
// time, and returns what each of them writes. Each becomes a package of its own;
// where the output has the package's name, in the name of a type, it is put back
// to main. A panic that nothing recovers is written as a last line.
func compiled(t *testing.T, programs []program) map[string]string {
	t.Helper()
	dir := t.TempDir()
	write := func(name string, text []byte) {
		file := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("go.mod", []byte("module programs\n\ngo 1.26\n"))
	var imports, cases strings.Builder
	for i, p := range programs {
		pkg := fmt.Sprintf("p%03d", i)
		fset := token.NewFileSet()
		f, err := parser.ParseFile(fset, p.name, p.source, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		f.Name.Name = pkg
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && fn.Recv == nil && fn.Name.Name == "main" {
				fn.Name.Name = "Main"
			}
		}
		var text bytes.Buffer
		if err := format.Node(&text, fset, f); err != nil {
			t.Fatal(err)
		}
		write(pkg+"/p.go", text.Bytes())
		fmt.Fprintf(&imports, "\t\"programs/%s\"\n", pkg)
		fmt.Fprintf(&cases, "\tcase %q:\n\t\t%s.Main()\n", p.name, pkg)
	}
	write("main.go", fmt.Appendf(nil, `package main

import (
	"fmt"
	"os"
	"strings"

%s)

func main() {
	defer func() {
		if r := recover(); r != nil {
			text := fmt.Sprint(r)
			if err, ok := r.(error); ok {
				text = err.Error()
			}
			fmt.Printf("panic: %%s\n", strings.TrimPrefix(text, "runtime error: "))
		}
	}()
	switch os.Args[1] {
%s	}
}
`, imports.String(), cases.String()))
	build := exec.Command("go", "build", "-o", "all", ".")
	build.Dir = dir
	build.Env = append(os.Environ(), "GOFLAGS=", "GOWORK=off")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	outs := make(map[string]string)
	for i, p := range programs {
		run := exec.Command(filepath.Join(dir, "all"), p.name)
		out, err := run.Output()
		if err != nil {
			t.Fatalf("%s: %v", p.name, err)
		}
		outs[p.name] = regexp.MustCompile(fmt.Sprintf(`(programs/)?\bp%03d\.`, i)).ReplaceAllString(string(out), "main.")
	}
	return outs
}

// said is what an interpreted program wrote, with the fault that ended it.
func said(o outcome) string {
	text := o.out
	for _, f := range o.refused {
		text += fmt.Sprintf("refused: %v: %s\n", f.Position, f.Message)
	}
	if o.fault != nil {
		text += "panic: " + strings.TrimPrefix(o.fault.Message, "panic: ") + "\n"
	}
	return text
}

func TestProgramsSayWhatTheCompilerSays(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/programs.txtar")
	if err != nil {
		t.Fatal(err)
	}
	var together, apart []program
	for _, f := range archive.Files {
		p := program{f.Name, f.Data}
		if bytes.Contains(f.Data, []byte("func init()")) {
			apart = append(apart, p) // it would write before every other's main
		} else {
			together = append(together, p)
		}
	}
	want := compiled(t, together)
	for _, p := range apart {
		for name, out := range compiled(t, []program{p}) {
			want[name] = out
		}
	}
	for _, p := range append(together, apart...) {
		t.Run(strings.TrimSuffix(p.name, ".go"), func(t *testing.T) {
			got := said(interpret(p.name, p.source, 20*time.Second))
			if diff := cmp.Diff(want[p.name], got); diff != "" {
				t.Errorf("compiled (-) and interpreted (+) differ:\n%s", diff)
			}
		})
	}
}
