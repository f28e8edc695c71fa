package lower_test

import (
	"testing"

	"lapwright/runtime/check"
	"lapwright/runtime/lower"
	"lapwright/runtime/recipe"
)

func TestAnOperandReadWhenTheCompilerLikesIsRefused(t *testing.T) {
	tests := []struct {
		name, body string
		refused    string // the variable, or none
	}{
		{"bool", "b := false\nset := func() int { b = true; return 1 }\nfmt.Println(b, set())", "b"},
		{"byte", "b := byte(1)\nset := func() int { b++; return 1 }\nfmt.Println(b, 1+set())", "b"},
		{"complex", "b := 1i\nset := func() int { b *= 2; return 1 }\nfmt.Println(b, set())", "b"},
		{"part of a struct", "var s struct{ ok bool }\nset := func() int { s.ok = true; return 1 }\nfmt.Println(s.ok, set())", "s"},
		{"by a function of a package", "b := false\nfmt.Println(b, slices.IndexFunc([]int{1}, func(int) bool { b = true; return b }))", "b"},
		{"in a literal", "b := false\nset := func() int { b = true; return 1 }\nfmt.Println([]any{b, set()})", "b"},
		{"in a field", "b := false\nset := func() int { b = true; return 1 }\nfmt.Println(struct{ x any; n int }{b, set()})", "b"},
		{"in a field by name", "b := false\nset := func() int { b = true; return 1 }\nfmt.Println(struct{ x any; n int }{x: b, n: set()})", "b"},
		{"assigned", "b := false\nset := func() int { b = true; return 1 }\nvar x any\nn := 0\nx, n = b, set()\nfmt.Println(x, n)", "b"},
		{"declared", "b := false\nset := func() int { b = true; return 1 }\nvar x, y any = b, set()\nfmt.Println(x, y)", "b"},
		{"returned", "fmt.Println(func() (any, int) {\nb := false\nset := func() int { b = true; return 1 }\nreturn b, set()\n}())", "b"},
		{"not an interface", "b := false\nset := func() int { b = true; return 1 }\nfmt.Println(struct{ x bool; n int }{b, set()})", ""},
		{"by way of a function", "b := false\nset := func() int { b = true; return 1 }\nfmt.Println(b, call(set))", "b"},
		{"by way of a method", "b := false\ns := setter{func() int { b = true; return 1 }}\nfmt.Println(b, s.call())", "b"},
		{"a function without a way to it", "b := false\nset := func() int { b = true; return 1 }\nset()\nfmt.Println(b, plain(2))", ""},
		{"int", "b := 1\nset := func() int { b = 2; return 1 }\nfmt.Println(b, set())", ""},
		{"call before", "b := false\nset := func() int { b = true; return 1 }\nfmt.Println(set(), b)", ""},
		{"not changed", "b := false\nread := func() bool { return b }\nfmt.Println(b, read())", ""},
		{"addressed", "b := false\np := &b\nset := func() int { b = true; return 1 }\nfmt.Println(b, set(), *p)", ""},
		{"only a package's function", "b := false\nset := func() { b = true }\nset()\nfmt.Println(b, fmt.Sprint(1))", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			src := "package main\n\nimport (\n\"fmt\"\n\"slices\"\n)\n\nvar _ = slices.Max[[]int]\n\n" +
				"func call(f func() int) int { return f() }\n\nfunc plain[T any](x T) T { return x }\n\n" +
				"type setter struct{ f func() int }\n\nfunc (s setter) call() int { return s.f() }\n\nfunc main() {\n" + test.body + "\n}\n"
			r, faults := recipe.Read("x.go", []byte(src))
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			c, faults := check.Check(r)
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			_, faults = lower.Lower(c)
			want := "whether " + test.refused + " is read before or after the call that follows it is the compiler's choice"
			switch {
			case test.refused == "" && len(faults) > 0:
				t.Errorf("refused: %v", faults)
			case test.refused != "" && (len(faults) != 1 || faults[0].Message != want):
				t.Errorf("got %v, want %s", faults, want)
			}
		})
	}
}
