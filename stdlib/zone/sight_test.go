package zone

import (
	"strings"
	"testing"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

func TestNarrowestRingIsAboutHalfAnOpeningWide(t *testing.T) {
	rows := make([][]float64, 5)
	for s := range rows {
		rows[s] = []float64{0, 0.5, 0.9, 1.3, 1.9, 2.4, 3}
	}
	r := Given(shopMask, Sheet{}, rows...)
	s := Narrowest(r, 40*NM)
	if len(s.Zones) != 7 {
		t.Fatalf("%+v", s)
	}
	// Derived: a ring leaves a trace only where it reaches an edge of its opening, so
	// that what hides is narrower than the opening; a high ring has to reach it with
	// a tenth of its height or so.
	for i, z := range s.Zones[1:6] {
		inner, outer := shopMask.Edges(i + 1)
		if z.Width < (outer-inner)/5 || z.Width > 2*(outer-inner) {
			t.Errorf("zone %d, %v wide: %v", z.Zone, outer-inner, z.Width)
		}
	}
	// A lower ring has to be wider.
	for i, z := range Narrowest(r, 10*NM).Zones {
		if z.Width != 0 && z.Width < s.Zones[i].Width {
			t.Errorf("zone %d: 40 nm %v, 10 nm %v", i+1, s.Zones[i].Width, z.Width)
		}
	}
	t.Log(s)
	if text := s.String(); !strings.HasPrefix(text, "a ring 40 nm high is sure to be seen if it is at least this wide at half its height: ") || !strings.Contains(text, " mm in zone 5") {
		t.Errorf("%q", text)
	}
	if text := Narrowest(r, 0.01*NM).String(); text != "a ring 0.0 nm high may go unseen, however wide, in zone 1, 2, 3, 4, 5, 6, 7" {
		t.Errorf("%q", text)
	}
	if got := stop(func() { Narrowest(r, 0) }); got == nil || !strings.Contains(got.Message, "height is 0 mm; it must be more than 0 and at most 10 µm") {
		t.Errorf("%v", got)
	}
	inch := NewMask(mirror.New(mirror.Spec{Diameter: 12 * Inch, FocalLength: 60 * Inch, Shop: Inch}), 0, 3*Inch, 5*Inch, 6*Inch)
	if text := Narrowest(Given(inch, Sheet{}, []float64{0, 1, 2}), 100*NM).String(); !strings.Contains(text, " in in zone 3") {
		t.Errorf("%q", text)
	}
}
