package main

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// build makes the program as a user has it.
func build(b *testing.B) string {
	b.Helper()
	program := filepath.Join(b.TempDir(), "lapwright")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	return program
}

func write(b *testing.B, source string) string {
	b.Helper()
	file := filepath.Join(b.TempDir(), "recipe.go")
	if err := os.WriteFile(file, []byte(source), 0o666); err != nil {
		b.Fatal(err)
	}
	return file
}

// BenchmarkStart is the time from the start of the program to the first byte of
// the document of an empty recipe, walls and all; and in the same run, that of what
// a script in Python imports for such work, and of a Go program that does nothing,
// two of which a run begins with.
func BenchmarkStart(b *testing.B) {
	hello := filepath.Join(b.TempDir(), "hello")
	if out, err := exec.Command("go", "build", "-o", hello, write(b, "package main\n\nfunc main() {}\n")).CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	program, file := build(b), write(b, "package main\n\nfunc main() {}\n")
	for _, c := range []struct {
		name    string
		command []string
	}{
		{"recipe", []string{program, "run", file}},
		{"go", []string{hello}},
		{"python", []string{"/usr/bin/python3", "-c", "import numpy, scipy.optimize, matplotlib.pyplot"}},
	} {
		b.Run(c.name, func(b *testing.B) {
			if err := exec.Command(c.command[0], c.command[1:]...).Run(); err != nil {
				b.Skip(err)
			}
			for b.Loop() {
				toFirstByte(b, exec.Command(c.command[0], c.command[1:]...))
			}
		})
	}
}

// toFirstByte runs a command, with the clock stopped after its first byte or, where
// it has none to say, its end.
func toFirstByte(b *testing.B, c *exec.Cmd) {
	out, err := c.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := c.Start(); err != nil {
		b.Fatal(err)
	}
	if _, err := io.ReadFull(out, make([]byte, 1)); err != nil && err != io.EOF {
		b.Fatal(err)
	}
	b.StopTimer()
	if err := c.Wait(); err != nil {
		b.Fatal(err)
	}
	b.StartTimer()
}

// BenchmarkVersion is the time of the program alone, without a run.
func BenchmarkVersion(b *testing.B) {
	program := build(b)
	for b.Loop() {
		if err := exec.Command(program, "version").Run(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRunToHTML is a whole run, from the start of the program to the page in
// its file and the end of the program.
func BenchmarkRunToHTML(b *testing.B) {
	program := build(b)
	for _, recipe := range []struct{ name, folder string }{
		{"small", write(b, small)},
		{"shipped", filepath.Join("..", "..", "recipes", "high-ring")},
	} {
		b.Run(recipe.name, func(b *testing.B) {
			if _, err := recipeFile(recipe.folder); err != nil {
				b.Skip(err)
			}
			page := filepath.Join(b.TempDir(), "page.html")
			for b.Loop() {
				if out, err := exec.Command(program, "run", "-o", page, recipe.folder).CombinedOutput(); err != nil {
					b.Fatalf("%v\n%s", err, out)
				}
			}
		})
	}
}

const small = `// # A small recipe
//
// With some words.
package main

import (
	"fmt"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

func main() {
	// ## The mirror
	//
	// What it is.
	m := mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM})
	fmt.Println(m.Radius())

	// ## The sagitta
	for r := Length(0); r <= m.Clear(); r += 10 * MM {
		fmt.Println(r, m.Sag(r))
	}
}
`
