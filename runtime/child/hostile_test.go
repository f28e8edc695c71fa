//go:build unix

package child

import (
	"bytes"
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
// says the kind of the fault that ends it and how its message begins, or that it
// is done.
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
			limits := Limits{Time: time.Minute, Memory: 64 << 20, Output: 1 << 20, Steps: 1 << 40, Depth: 20_000}
			if strings.Contains(string(wanted[1]), "longer than 0.5 s") {
				limits.Time = 500 * time.Millisecond
			}
			began := time.Now()
			result, err := Run(context.Background(), Job{File: trap(t, source), Limits: limits})
			if err != nil {
				t.Fatal(err)
			}
			if took := time.Since(began); took > limits.Time+10*time.Second {
				t.Errorf("took %v", took)
			}
			d := result.Document
			got := "done"
			if len(d.Faults) > 0 {
				got = string(d.Faults[0].Kind) + ": " + d.Faults[0].Message
			}
			if !strings.HasPrefix(got, string(wanted[1])) {
				t.Errorf("got  %s\nwant %s", got, wanted[1])
			}
			text, err := render.Text(d)
			if err != nil || document.Visible(string(text)) != string(text) {
				t.Errorf("the text acts (%v):\n%q", err, text)
			}
			page, err := render.HTML(d)
			if found := acts.FindString(string(page)); err != nil || found != "" {
				t.Errorf("the page acts (%v): %s", err, found)
			}
			if len(text) > 2<<20 || len(got) > 2000 {
				t.Errorf("a text of %d bytes with a message of %d", len(text), len(got))
			}
			for _, leak := range []string{"goroutine ", "secret words", "/src/runtime/"} {
				if strings.Contains(string(text), leak) {
					t.Errorf("the page says %q:\n%s", leak, text)
				}
			}
		})
	}
}

// acts matches what a page would do by itself or by a click.
var acts = regexp.MustCompile(`(?i)<(script|img|iframe|object|embed)|<[a-z0-9]+(\s+[a-z-]+="[^"]*")*\s+(on[a-z]+=|href="javascript)`)

// lures are data files and links that a recipe should not read, or not to its harm.
// Only those it names are put beside it.
var lures = map[string]func(path string) error{
	"link.csv":    link("../secret.csv"),
	"up":          link(".."),
	"loop.csv":    link("loop.csv"),
	"environ.csv": link("/proc/self/environ"),
	"zero":        link("/dev/zero"),
	"pipe":        func(path string) error { return syscall.Mkfifo(path, 0o666) },
	"large.csv": func(path string) error {
		if err := os.WriteFile(path, []byte("a,b\n1,2\n"), 0o666); err != nil {
			return err
		}
		return os.Truncate(path, 10<<30)
	},
	"long.csv":    text("a,b\n" + strings.Repeat("1,2\n", 1<<18)),
	"zeros.csv":   text("a,b\n1,\x00\n"),
	"escapes.csv": text("a\x1b[2J,<script>alert(1)</script>\n1\x1b[2J,<img src=x onerror=alert(1)>\n"),
}

func link(to string) func(string) error {
	return func(path string) error { return os.Symlink(to, path) }
}

func text(s string) func(string) error {
	return func(path string) error { return os.WriteFile(path, []byte(s), 0o666) }
}

// trap puts a recipe in a folder with its lures.
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
	for name, lay := range lures {
		if bytes.Contains(source, []byte(name)) {
			if err := lay(filepath.Join(folder, name)); err != nil {
				t.Fatal(err)
			}
		}
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
			if text, err := render.Text(result.Document); err != nil || len(text) > 20_000 {
				t.Errorf("%d bytes of text, %v", len(text), err)
			}
		})
	}
}
