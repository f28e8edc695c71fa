package interp_test

import (
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"lapwright/runtime/check"
	"lapwright/runtime/interp"
	"lapwright/runtime/lower"
	"lapwright/runtime/recipe"
)

// loops are the same inner loops in Go and in Python. n is the number of turns.
var loops = []struct {
	name, recipe, python string
}{
	{"arithmetic", `
	s := 0.0
	for i := 0; i < n; i++ {
		s += float64(i) * 0.5
	}
	sink = s`, `
    s = 0.0
    for i in range(n):
        s += i * 0.5`},
	{"index", `
	xs := make([]float64, 1000)
	s := 0.0
	for i, j := 0, 0; i < n; i++ {
		xs[j] = s
		s += xs[j] + 1
		if j++; j == 1000 {
			j = 0
		}
	}
	sink = s`, `
    xs = [0.0] * 1000
    s = 0.0
    j = 0
    for i in range(n):
        xs[j] = s
        s += xs[j] + 1
        j += 1
        if j == 1000:
            j = 0`},
	{"math", `
	s := 0.0
	for i := 0; i < n; i++ {
		s += math.Sqrt(float64(i))
	}
	sink = s`, `
    s = 0.0
    for i in range(n):
        s += math.sqrt(i)`},
	{"function", `
	s := 0.0
	for i := 0; i < n; i++ {
		s = half(s, 1)
	}
	sink = s`, `
    s = 0.0
    for i in range(n):
        s = half(s, 1)`},
	{"method", `
	p := &point{1, 2}
	for i := 0; i < n; i++ {
		p.move(1)
	}
	sink = p.x`, `
    p = Point(1, 2)
    for i in range(n):
        p.move(1)`},
	{"closure", `
	s := 0.0
	add := func(x float64) { s += x }
	for i := 0; i < n; i++ {
		add(1)
	}
	sink = s`, `
    s = 0.0
    def add(x):
        nonlocal s
        s += x
    for i in range(n):
        add(1)`},
	{"interface", `
	var m mover = &point{1, 2}
	for i := 0; i < n; i++ {
		m.move(1)
	}`, `
    p = Point(1, 2)
    for i in range(n):
        p.move(1)`},
	{"map", `
	m := map[string]int{"a": 1, "b": 2}
	for i := 0; i < n; i++ {
		m["a"] += m["b"]
	}`, `
    m = {"a": 1, "b": 2}
    for i in range(n):
        m["a"] += m["b"]`},
	{"primitive", `
	var l unit.Length
	for i := 0; i < n; i++ {
		l = unit.Length(l.In(unit.MM))
	}
	sink = float64(l)`, ``},
}

const recipeFrame = `// # Loops
package main

import (
	"math"
	%s
)

var sink float64

func half(a, b float64) float64 { return (a + b) * 0.5 }

type mover interface{ move(float64) }

type point struct{ x, y float64 }

func (p *point) move(d float64) { p.x += d }

func main() {
	const n = %d
	sink = math.Pi%s
}
`

const pythonFrame = `
import math, time
def half(a, b):
    return (a + b) * 0.5
class Point:
    def __init__(self, x, y):
        self.x, self.y = x, y
    def move(self, d):
        self.x += d
def run(n):
%s
t = time.perf_counter()
run(%d)
print((time.perf_counter() - t) * 1e9)
`

func lowered(tb testing.TB, src string) *lower.Program {
	tb.Helper()
	r, faults := recipe.Read("bench.go", []byte(src))
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	c, faults := check.Check(r)
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	p, faults := lower.Lower(c)
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	return p
}

// One turn of inner loops, interpreted, beside CPython's on the same loop where
// python3 is installed.
func BenchmarkLoop(b *testing.B) {
	for _, loop := range loops {
		imports := ""
		if strings.Contains(loop.recipe, "unit.") {
			imports = `"lapwright/stdlib/unit"`
		}
		b.Run(loop.name+"/recipe", func(b *testing.B) {
			p := lowered(b, fmt.Sprintf(recipeFrame, imports, b.N, loop.recipe))
			b.ResetTimer()
			if fault := interp.Run(p, interp.Options{}); fault != nil {
				b.Fatal(fault.Message)
			}
		})
		if loop.python == "" {
			continue
		}
		b.Run(loop.name+"/cpython", func(b *testing.B) {
			python, err := exec.LookPath("python3")
			if err != nil {
				b.Skip("no python3")
			}
			const turns = 1_000_000
			total := 0.0
			for b.Loop() {
				out, err := exec.Command(python, "-c", fmt.Sprintf(pythonFrame, loop.python, turns)).Output()
				if err != nil {
					b.Fatal(err)
				}
				ns, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
				if err != nil {
					b.Fatal(err)
				}
				total += ns
			}
			b.ReportMetric(total/turns/float64(b.N), "ns/op")
		})
	}
}

const small = `// # Small
package main

import "fmt"

func main() {
	fmt.Println("hello")
}
`

// From the text of a small recipe to a program ready to run, and its run.
func BenchmarkPhases(b *testing.B) {
	b.Run("check", func(b *testing.B) {
		for b.Loop() {
			r, _ := recipe.Read("small.go", []byte(small))
			if _, faults := check.Check(r); len(faults) > 0 {
				b.Fatal(faults)
			}
		}
	})
	b.Run("lower", func(b *testing.B) {
		for b.Loop() {
			lowered(b, small)
		}
	})
	b.Run("run", func(b *testing.B) {
		p := lowered(b, small)
		for b.Loop() {
			interp.Run(p, interp.Options{})
		}
	})
}
