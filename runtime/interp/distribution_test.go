package interp_test

import (
	"bytes"
	"fmt"
	"go/build"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
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

// goroot is where Go is installed.
func goroot(t *testing.T) string {
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(out))
}

// distribution lists the single-file run tests of the installed Go that import
// only what a recipe may import.
func distribution(t *testing.T) []string {
	root := filepath.Join(goroot(t), "test")
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
	root := filepath.Join(goroot(t), "test")
	files := distribution(t)
	reports := make([]string, len(files)) // "same", or the word and what there is to say
	work := func(i int) string {
		name, _ := filepath.Rel(root, files[i])
		src, err := os.ReadFile(files[i])
		if err != nil {
			return "fault " + err.Error()
		}
		want, err := os.ReadFile(strings.TrimSuffix(files[i], ".go") + ".out")
		if err != nil {
			want = nil
		}
		o := interpret(name, src, 9*time.Minute)
		switch {
		case len(o.refused) > 0 && o.refused[0].Kind == document.EngineFault:
			return "fault " + name + ": " + o.refused[0].Message
		case len(o.refused) > 0:
			return fmt.Sprintf("refused %v: %s", o.refused[0].Position, o.refused[0].Message)
		case o.fault != nil && o.fault.Kind == document.Wrong:
			return fmt.Sprintf("refused %v: %s", o.fault.Position, o.fault.Message)
		case o.fault != nil:
			return fmt.Sprintf("fault %v: %s", o.fault.Position, o.fault.Message)
		case o.out != string(want):
			return fmt.Sprintf("different %s: wrote %.300q, want %.300q", name, o.out, want)
		}
		return "same"
	}
	var next atomic.Int64
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(files); i = int(next.Add(1)) - 1 {
				reports[i] = work(i)
			}
		})
	}
	workers.Wait()
	count := make(map[string]int)
	for _, r := range reports {
		word, text, _ := strings.Cut(r, " ")
		count[word]++
		switch {
		case word == "fault" || word == "different":
			t.Error(text)
		case word == "refused" && testing.Verbose():
			t.Log(text)
		}
	}
	fmt.Printf("go distribution: same %d, refused %d, different %d, faults %d\n",
		count["same"], count["refused"], count["different"], count["fault"])
}
