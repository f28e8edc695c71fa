package show_test

import (
	"strings"
	"testing"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

func TestFiguresAreComparedWhereTheyAreFurthestApart(t *testing.T) {
	m := blank(MM)
	k := zone.EqualAreas(m, 5)
	// A conic wrong by much, against none: at best focus (r/a)⁴-(r/a)²+1/6 is largest at
	// the centre and the edge, of the same height [D].
	a, b := figure.Perfect(m), figure.Conic(m, -0.9)
	p := only[document.Plot](t, shown(func() { show.Compare("Two", k, show.As("wanted", a), show.As("made", b)) }))
	if len(p.Curves) != 2 || p.Curves[0].Name != "wanted" || p.Curves[1].Name != "made" || len(p.Below) != 5 {
		t.Errorf("%+v", p.Curves)
	}
	note := p.Notes[len(p.Notes)-1]
	if !strings.HasPrefix(note, "Furthest apart: made from wanted at ") || !strings.Contains(note, "at 0.0 mm") && !strings.Contains(note, "at 150.0 mm") {
		t.Errorf("%q", note)
	}
	other := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1000 * MM})
	for want, f := range map[string]func(){
		"1 figures are given; there must be two or more": func() { show.Compare("", k, show.As("a", a)) },
		`"b" is not of the mirror the mask is for`:       func() { show.Compare("", k, show.As("a", a), show.As("b", figure.Perfect(other))) },
	} {
		if got := stopped(f); !strings.Contains(got, "show.Compare: "+want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
