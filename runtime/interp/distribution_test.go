package interp_test

import (
	"bytes"
	"fmt"
	"go/build"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"lapwright/runtime/check"
	"lapwright/runtime/interp"
	"lapwright/runtime/lower"
	"lapwright/runtime/recipe"
	"lapwright/stdlib/document"
)

// An outcome is how a program ended.
type outcome struct {
	refused []document.Fault // before the first statement
	fault   *document.Fault  // while running
	out     string           // what it wrote, to both outputs
}

// interpret runs a program's source.
func interpret(name string, src []byte, limit time.Duration) outcome {
	r, faults := recipe.Read(name, src)
	if len(faults) > 0 {
		return outcome{refused: faults}
	}
	c, faults := check.Check(r)
	if len(faults) > 0 {
		return outcome{refused: faults}
	}
	p, faults := lower.Lower(c)
	if len(faults) > 0 {
		return outcome{refused: faults}
	}
	var out bytes.Buffer
	var stop atomic.Bool
	timer := time.AfterFunc(limit, func() { stop.Store(true) })
	defer timer.Stop()
	fault := interp.Run(p, interp.Options{Out: &out, Err: &out, Stop: &stop})
	return outcome{fault: fault, out: out.String()}
}

// distribution lists the single-file run tests of the installed Go that import
// only what a recipe may import.
func distribution(t *testing.T) []string {
	root := filepath.Join(runtime.GOROOT(), "test")
	if _, err := os.Stat(root); err != nil {
		t.Skip("the installed Go has no tests: ", root)
	}
	var files []string
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(file) != ".go" {
			return err
		}
		src, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		first, _, _ := bytes.Cut(src, []byte("\n"))
		if strings.TrimSpace(string(first)) != "// run" {
			return nil
		}
		if match, err := build.Default.MatchFile(filepath.Split(file)); err != nil || !match {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, src, parser.ImportsOnly)
		if err != nil {
			return nil
		}
		for _, imp := range f.Imports {
			path, _ := strconv.Unquote(imp.Path.Value)
			if strings.HasPrefix(path, check.Own) || !slices.ContainsFunc(check.Packages, func(p check.Package) bool { return p.Path == path }) {
				return nil
			}
		}
		files = append(files, file)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// The Go distribution's own tests of the language print what their .out file
// holds, or nothing, and end well (cmd/internal/testdir in Go's sources).
func TestGoDistribution(t *testing.T) {
	root := filepath.Join(runtime.GOROOT(), "test")
	var same, refused, different, faults int
	for _, file := range distribution(t) {
		name, _ := filepath.Rel(root, file)
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(strings.TrimSuffix(file, ".go") + ".out")
		if err != nil {
			want = nil
		}
		start := time.Now()
		o := interpret(name, src, 100*time.Second)
		if d := time.Since(start); d > time.Second && os.Getenv("REFUSED") != "" {
			fmt.Println(name, d)
		}
		switch {
		case len(o.refused) > 0 && o.refused[0].Kind == document.EngineFault:
			faults++
			t.Errorf("%s: %s", name, o.refused[0].Message)
		case len(o.refused) > 0:
			refused++
			if os.Getenv("REFUSED") != "" {
				fmt.Printf("%s refused: %v: %s\n", name, o.refused[0].Position, o.refused[0].Message)
			}
		case o.fault != nil && o.fault.Kind == document.Wrong:
			refused++
		case o.fault != nil:
			faults++
			t.Errorf("%s: %v: %s", name, o.fault.Position, o.fault.Message)
		case o.out != string(want):
			different++
			t.Errorf("%s: wrote %.300q, want %.300q", name, o.out, want)
		default:
			same++
		}
	}
	fmt.Printf("go distribution: same %d, refused %d, different %d, faults %d\n", same, refused, different, faults)
}
