package document

import (
	"strings"
	"testing"
)

func TestHyphensBeforeNumbersAreReadAsMinus(t *testing.T) {
	for text, want := range map[string]string{
		"-30.1 nm (-35.0 to -25.2)":              "−30.1 nm (−35.0 to −25.2)",
		"lowest with\u00a0-.5, [-3], exp(-(x)²)": "lowest with\u00a0−.5, [−3], exp(−(x)²)",
		"ISO 10110-5, 9e-13, 3-5, a low-lying":   "ISO 10110-5, 9e-13, 3-5, a low-lying",
		"lapwright run --set ring=-3mm, - or -":  "lapwright run --set ring=-3mm, - or -",
		"a -\u2215 b":                            "a -\u2215 b",
	} {
		if got := signed(text); got != want {
			t.Errorf("%q is read as %q, not %q", text, got, want)
		}
	}
}

// TestSignedReachesEveryKindOfBlock holds a minus in all that is words of a block, and
// the block itself to what it was.
func TestSignedReachesEveryKindOfBlock(t *testing.T) {
	const was, is = "-1", "−1"
	notes := func() []string { return []string{was} }
	table := func() Table { return Table{Rows: [][]Cell{{{Text: was}}}, Notes: notes()} }
	for _, b := range []Block{
		Text{was}, table(), Plot{Alt: was, Notes: notes()}, View{Alt: was, Notes: notes()}, Drawing{Alt: was, Notes: notes()},
		Image{Panels: []Panel{{Alt: was}}, Notes: notes()}, Result{Text: was}, Expect{Text: was},
		Card{Facts: []Fact{{"n", was}}, Spells: table(), Steps: notes(), Warnings: notes()},
	} {
		before, _ := Blocks{b}.MarshalJSON()
		after, _ := Blocks{Signed(b)}.MarshalJSON()
		again, _ := Blocks{b}.MarshalJSON()
		if strings.Contains(string(after), was) || !strings.Contains(string(after), is) || string(before) != string(again) {
			t.Errorf("%s becomes %s, and is then %s", before, after, again)
		}
	}
	if p := (Printed{was}); Signed(p) != Block(p) {
		t.Error("what is printed is changed")
	}
}
