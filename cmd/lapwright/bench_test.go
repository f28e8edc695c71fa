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
// the document of an empty recipe, walls and all.
func BenchmarkStart(b *testing.B) {
	program, file := build(b), write(b, "package main\n\nfunc main() {}\n")
	for b.Loop() {
		c := exec.Command(program, "run", file)
		out, err := c.StdoutPipe()
		if err != nil {
			b.Fatal(err)
		}
		if err := c.Start(); err != nil {
			b.Fatal(err)
		}
		if _, err := io.ReadFull(out, make([]byte, 1)); err != nil {
			b.Fatal(err)
		}
		b.StopTimer()
		if err := c.Wait(); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
	}
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
