package series

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lapwright/stdlib/document"
)

func TestAxesAreListsOrRanges(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"ring=1mm,2 mm", "ring: 1mm|2 mm"},
		{" ring = 1 1/2 in ", "ring: 1 1/2 in"},
		{"ring=100mm to 140 mm in 5", "ring: 100mm|110mm|120mm|130mm|140mm"},
		{"n=0 to 0.3 in 4", "n: 0|0.1|0.2|0.3"},
		{"n=3 to -3 in 3", "n: 3|0|-3"},
	} {
		a, err := ParseAxis(c.text)
		if got := a.Input + ": " + strings.Join(a.Values, "|"); err != nil || got != c.want {
			t.Errorf("%q is %s, %v; want %s", c.text, got, err, c.want)
		}
	}
	for _, bad := range []string{"", "ring", "=1mm", "ring=", "ring=1,,2", "ring=1mm to 2in in 3", "ring=1 to 2", "ring=1 to 2 in 1", "ring=1 to 2 in 1001", "ring=a to b in 3"} {
		if a, err := ParseAxis(bad); err == nil {
			t.Errorf("%q is %+v", bad, a)
		}
	}
}

func TestEveryCombinationIsAMember(t *testing.T) {
	s, err := New("recipe.go", nil, map[string]string{"k": "9"}, Axis{"a", []string{"1", "2"}}, Axis{"b", []string{"x", "y"}})
	if err != nil {
		t.Fatal(err)
	}
	want := []map[string]string{{"k": "9", "a": "1", "b": "x"}, {"k": "9", "a": "1", "b": "y"}, {"k": "9", "a": "2", "b": "x"}, {"k": "9", "a": "2", "b": "y"}}
	if diff := cmp.Diff(want, s.Inputs); diff != "" {
		t.Error(diff)
	}
	if _, err := New("r", nil, map[string]string{"a": "1"}, Axis{"a", []string{"1"}}); err == nil {
		t.Error("an input is fixed and varied")
	}
	many := Axis{"a", make([]string, Most)}
	if _, err := New("r", nil, nil, many, Axis{"b", []string{"1", "2"}}); err == nil {
		t.Error("there are 2000 members")
	}
}

func TestWhatIsNamedIsCompared(t *testing.T) {
	d := &document.Document{Sections: []document.Section{{Blocks: document.Blocks{
		document.Plot{Title: "before"},
		document.Plot{Title: "after", Curves: []document.Curve{{Role: document.After}}},
		document.Plot{Title: "other"},
		document.Card{Facts: []document.Fact{{Name: "mirror", Text: "300 mm"}}}}}}}
	if diff := cmp.Diff([]document.Fact{{Name: "mirror", Text: "300 mm"}}, card(d)); diff != "" || picture(d).Title != "after" {
		t.Error(diff, picture(d).Title)
	}
	d.Sections[0].Blocks = append(d.Sections[0].Blocks,
		document.Result{Name: "rms", Text: "rms: 14.5 nm"},
		document.Expect{Name: "edge", Text: "edge is 3, not as expected: 1 within 0.5."})
	if diff := cmp.Diff([]document.Fact{{Name: "rms", Text: "14.5 nm"}, {Name: "edge", Text: "3"}}, results(d)); diff != "" {
		t.Error(diff)
	}
	if said, eye := ended(&Member{Document: d}); said != "not as expected" || !eye {
		t.Errorf("it ended %s", said)
	}
}
