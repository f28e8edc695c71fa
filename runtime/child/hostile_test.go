//go:build unix

package child

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

var want = regexp.MustCompile(`(?m)^// want: (.*)$`)

// TestHostileRecipeIsContained runs each recipe of testdata/hostile. Its comment
// says the kind of the fault that ends it and how its message begins.
func TestHostileRecipeIsContained(t *testing.T) {
	files, err := filepath.Glob("testdata/hostile/*.go")
	if err != nil || len(files) == 0 {
		t.Fatal("no hostile recipes", err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".go")
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			source, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			wanted := want.FindSubmatch(source)
			if wanted == nil {
				t.Fatal("it does not say what is wanted")
			}
			limits := Limits{Time: 10 * time.Second, Memory: 256 << 20, Output: 1 << 20, Steps: 1 << 40, Depth: Default.Depth}
			if strings.Contains(string(wanted[1]), "longer than 0.5 s") {
				limits.Time = 500 * time.Millisecond
			}
			began := time.Now()
			result, err := Run(context.Background(), Job{File: trap(t, source), Limits: limits})
			if err != nil {
				t.Fatal(err)
			}
			if took := time.Since(began); took > limits.Time+2*time.Second {
				t.Errorf("took %v", took)
			}
			d := result.Document
			if len(d.Faults) == 0 {
				t.Fatalf("no fault; it shows\n%s", render.Terminal(d, render.Screen{}))
			}
			f := d.Faults[0]
			if got := string(f.Kind) + ": " + f.Message; !strings.HasPrefix(got, string(wanted[1])) {
				t.Errorf("got  %s\nwant %s", got, wanted[1])
			}
			text, err := render.Text(d)
			if err != nil || document.Visible(string(text)) != string(text) {
				t.Errorf("the page acts (%v):\n%q", err, text)
			}
			for _, leak := range []string{"goroutine ", "secret words", "/src/runtime/"} {
				if strings.Contains(string(text), leak) {
					t.Errorf("the page says %q:\n%s", leak, text)
				}
			}
		})
	}
}

// trap puts a recipe in a folder with things that it should not read.
func trap(t *testing.T, source []byte) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "recipe")
	if err := os.Mkdir(folder, 0o777); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"recipe.go": string(source), "../secret.csv": "a,b\n1,2\nsecret words,3\n"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	for name, to := range map[string]string{"link.csv": "../secret.csv", "zero": "/dev/zero"} {
		if err := os.Symlink(to, filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
	}
	if err := syscall.Mkfifo(filepath.Join(folder, "pipe"), 0o666); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(folder, "recipe.go")
}

func TestFileThatIsNoRecipeGivesOneFault(t *testing.T) {
	head := "package main\n\nfunc main() {\n"
	tests := []struct{ name, source, want string }{
		{"100 MB", "", "the file has more than 1048576 bytes, the most a recipe may have"},
		{"nested", head + "\t_ = " + strings.Repeat("(", 500_000) + "\n}\n", "exceeded max nesting depth"},
		{"blocks within blocks", head + strings.Repeat("{", 5000) + strings.Repeat("}", 5000) + "}\n", "nested more than 1000 deep here"},
		{"a long chain", head + "\t_ = 1" + strings.Repeat("+1", 10_000) + "\n}\n", "nested more than 1000 deep here"},
		{"one long line", head + "\t" + strings.Repeat("x = 1; ", 100_000) + "\n}\n", "undefined: x"},
		{"not UTF-8", head + "\t_ = \"\xff\"\n}\n", "the byte 0xff is not UTF-8 text"},
		{"a zero byte", head + "\x00}\n", "a zero byte: this is not a text file, and a recipe is a Go file"},
		{"many sections", head + strings.Repeat("\t// ## a\n\n", 90_000) + "}\n", "the recipe has more than 1000 sections"},
		{"many errors", head + strings.Repeat("\t_ = y\n", 100_000) + "}\n", "undefined: y"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			file := trap(t, []byte(test.source))
			if test.source == "" {
				if err := os.Truncate(file, 100<<20); err != nil {
					t.Fatal(err)
				}
			}
			result, err := Run(context.Background(), Job{File: file, Limits: Default})
			if err != nil {
				t.Fatal(err)
			}
			f := result.Document.Faults
			if len(f) == 0 || len(f) > mostFaults || f[0].Kind != document.Wrong || f[0].Message != test.want {
				t.Fatalf("%d faults: %.200v", len(f), f)
			}
			if result.Took > 5*time.Second {
				t.Errorf("it took %v", result.Took)
			}
			if text, err := render.Text(result.Document); err != nil || len(text) > 20_000 {
				t.Errorf("%d bytes of text, %v", len(text), err)
			}
		})
	}
}
