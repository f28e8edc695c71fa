package interp_test

import (
	"strings"
	"testing"
	"time"

	"lapwright/stdlib/document"
)

// Whether two slices share what append wrote is decided by the language where the
// room was made by the recipe, and by the compiler where append made it.
func TestAForkOfASliceWhoseRoomIsTheCompilersChoiceIsRefused(t *testing.T) {
	tests := []struct{ name, body, want string }{
		{"begun empty and appended to twice", "var s []int\ns = append(s, 1)\na := append(s, 2)\nb := append(s, 3)\nfmt.Println(a, b)", "refused"},
		{"begun empty and looked at after", "var s []int\ns = append(s, 1)\na := append(s, 2)\na[0] = 9\nfmt.Println(s, a)", "refused"},
		{"in a field", "var s struct{ list []int }\ns.list = append(s.list, 1)\na := append(s.list, 2)\nb := append(s.list, 3)\nfmt.Println(a, b)", "refused"},
		{"copied before it grows", "var s []int\ns = append(s, 1)\nkept := s\ns = append(s, 2)\ns[0] = 9\nfmt.Println(kept, s)", "refused"},
		{"given to a function", "var s []int\ns = append(s, 1, 2)\nextend(s)\nfmt.Println(s[:2])", "refused"},
		{"grown on from such room", "s := begun(3)\ns = append(s, 4, 5)\na := append(s, 6)\nb := append(s, 7)\nfmt.Println(a, b)", "refused"},
		{"grown from a literal", "s := []int{1, 2, 3}\ns = append(s, 4)\na := append(s, 5)\nb := append(s, 6)\nfmt.Println(a, b)", "refused"},
		{"the function within", "var s []int\ns = append(s, 1)\nf := func() int { return s[0] }\na := append(s, 2)\na[0] = 9\nfmt.Println(f())", "refused"},
		{"returned by two calls", "var s []int\ns = append(s, 1)\na := with(s, 2)\nb := with(s, 3)\nfmt.Println(a, b)", "refused"},
		{"returned by a method", "var s list\ns = append(s, 1)\na := s.with(2)\na[0] = 9\nfmt.Println(s, a)", "refused"},
		{"copied with a struct", "a := struct{ s []int }{append([]int(nil), 1)}\nb := a\na.s = append(a.s, 2)\nb.s = append(b.s, 3)\nfmt.Println(a, b)", "refused"},
		{"held twice in an array", "var s []int\ns = append(s, 1)\ng := [2][]int{s, s}\nfor i := range g {\ng[i] = append(g[i], i)\n}\nfmt.Println(g)", "refused"},
		{"in a value whose method gives a longer one", "var s stack\ns = s.with(1)\na, b := s.with(2), s.with(3)\nfmt.Println(a, b)", "refused"},
		{"returned by way of another", "var s []int\ns = append(s, 1)\na := within(s, 2)\na[0] = 9\nfmt.Println(s, a)", "refused"},

		{"room made", "s := make([]int, 2, 4)\na := append(s, 1)\nb := append(s, 2)\nfmt.Println(a, b)", "[0 0 2] [0 0 2]"},
		{"no room made", "s := []int{1, 2, 3}\na := append(s, 4)\nb := append(s, 5)\nfmt.Println(a, b)", "[1 2 3 4] [1 2 3 5]"},
		{"put back", "var s []int\nfor i := range 5 {\ns = append(s, i)\n}\nfmt.Println(s)", "[0 1 2 3 4]"},
		{"past its first room", "var s []int\nfor i := range 5 {\ns = append(s, i)\n}\na := append(s, 5)\nb := append(s, 6)\nfmt.Println(a[5], b[5])", "6 6"},
		{"not used after", "var s []int\ns = append(s, 1)\na := append(s, 2)\nfmt.Println(a)", "[1 2]"},
		{"a copy appended to", "var s []int\ns = append(s, 1)\na := append(slices.Clone(s), 2)\nb := append(slices.Clone(s), 3)\nfmt.Println(a, b)", "[1 2] [1 3]"},
		{"cut and appended to", "s := []int{1, 2, 3, 4}\ns = append(s[:1], s[2:]...)\nfmt.Println(s)", "[1 3 4]"},
		{"groups", "var all [][]int\nvar g []int\nfor i := range 6 {\nif g = append(g, i); len(g) == 2 {\nall = append(all, g)\ng = nil\n}\n}\nfmt.Println(all)", "[[0 1] [2 3] [4 5]]"},
		{"in a field, taken off and put on", "var t struct{ s []int }\nfor i := range 9 {\nt.s = append(t.s, i)\nif i%3 == 2 {\nt.s = append(t.s[:len(t.s)-2], -i)\n}\n}\nfmt.Println(t.s)", "[0 -2 3 -5 6 -8]"},
		{"in fields that go each their way", "var a, b struct{ s []int }\nfor i := range 6 {\na.s = append(a.s, i)\nb.s = append(b.s, -i)\n}\nfmt.Println(a.s, b.s)", "[0 1 2 3 4 5] [0 -1 -2 -3 -4 -5]"},
		{"emptied and filled again", "var t struct{ s []int }\nfor range 3 {\nt.s = t.s[:0]\nfor i := range 4 {\nt.s = append(t.s, i)\n}\n}\nfmt.Println(t.s)", "[0 1 2 3]"},
		{"returned by a helper", "var s []int\nfor i := range 3 {\ns = with(s, i)\n}\nfmt.Println(s)", "[0 1 2]"},
	}
	source := func(body string) []byte {
		return []byte("package main\n\nimport (\n\"fmt\"\n\"slices\"\n)\n\nvar _ = slices.Max[[]int]\n\n" +
			"func begun(n int) (s []int) {\nfor i := range n {\ns = append(s, i)\n}\nreturn s\n}\n\n" +
			"func with(s []int, x int) []int { return append(s, x) }\n\n" +
			"func within(s []int, x int) []int { return with(s, x) }\n\n" +
			"type list []int\n\nfunc (l list) with(x int) list { return append(l, x) }\n\n" +
			"type stack struct{ v []int }\n\nfunc (s stack) with(x int) stack { s.v = append(s.v, x); return s }\n\n" +
			"func extend(s []int) {\nt := append(s, 3)\nt[0] = 9\n}\n\n" +
			"func main() {\n" + body + "\n}\n")
	}
	var fixed []program
	for _, test := range tests {
		if test.want != "refused" {
			fixed = append(fixed, program{test.name, source(test.body)})
		}
	}
	compiler := compiled(t, fixed)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			o := interpret("x.go", source(test.body), 10*time.Second)
			got := strings.TrimSpace(o.out)
			switch {
			case len(o.refused) > 0:
				t.Fatal(o.refused)
			case o.fault != nil && o.fault.Kind == document.Wrong && strings.Contains(o.fault.Message, "compiler's choice"):
				got = "refused"
			case o.fault != nil:
				t.Fatal(o.fault)
			}
			if got != test.want {
				t.Errorf("got %q, want %q", got, test.want)
			}
			if out := strings.TrimSpace(compiler[test.name]); test.want != "refused" && out != test.want {
				t.Errorf("the compiler says %q", out)
			}
		})
	}
}
