package zone

import (
	"math"
	"strings"
	"testing"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

func TestEqualAreasAreEqual(t *testing.T) {
	// D = 200, four zones: edges 0, 50, 70.7107, 86.6025, 100 mm (V).
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	for i, want := range []float64{0, 50, 70.7107, 86.6025} {
		inner, _ := EqualAreas(m, 4).Edges(i)
		near(t, "edge, mm", inner.In(MM), want, 5e-5)
	}
	m = mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM, Hole: 50 * MM, Bevel: 1 * MM})
	k := EqualAreas(m, 5)
	if inner, _ := k.Edges(0); inner != m.Hole() {
		t.Errorf("begins at %v", inner)
	}
	if _, outer := k.Edges(4); outer != m.Clear() {
		t.Errorf("ends at %v", outer)
	}
	var before float64
	for i, v := range Ideal(k, Moving) {
		if i > 1 {
			near(t, "step of the reading", v.In(MM)-before, (Ideal(k, Moving)[1] - Ideal(k, Moving)[0]).In(MM), 1e-9)
		}
		before = v.In(MM)
	}
	for _, n := range []int{1, 61} {
		if got := stop(func() { EqualAreas(m, n) }); got == nil || !strings.Contains(got.Message, "it must be from 2 to 60") {
			t.Errorf("%d zones: %v", n, got)
		}
	}
}

func TestEqualReadingsChangeTheReadingAlike(t *testing.T) {
	// Moving source: the reading of any conic is -Kz [D], and z from r by its own
	// formula: r² = 2Rz - (1+K)z².
	for _, k := range []float64{-3, -1.2, -1, -0.6, 0.4} {
		m := mirror.New(mirror.Spec{Diameter: 400 * MM, FocalLength: 1200 * MM, Shape: mirror.Conic(k), Hole: 60 * MM})
		const R, n = 2400, 7
		first, last := m.Sag(30*MM).In(MM), m.Sag(200*MM).In(MM)
		mask := EqualReadings(m, n, Moving)
		for i := range n {
			inner, _ := mask.Edges(i)
			z := first + (last-first)*float64(i)/n
			near(t, "edge, mm", inner.In(MM), math.Sqrt(2*R*z-(1+k)*z*z), 1e-6)
			// A fixed source reads nearly twice as much: the edges stay within r²/R² of
			// where they were.
			a, b := EqualReadings(m, n, Fixed).Edges(i)
			near(t, "edge, fixed source", a.In(MM), inner.In(MM), 2)
			step := (reads(m, Fixed, 200*MM) - reads(m, Fixed, 30*MM)).In(MM) / n
			near(t, "step, fixed source", (reads(m, Fixed, b) - reads(m, Fixed, a)).In(MM), step, 1e-9)
		}
	}
	// A paraboloid's are equal areas.
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	for i := range 4 {
		a, _ := EqualReadings(m, 4, Moving).Edges(i)
		b, _ := EqualAreas(m, 4).Edges(i)
		near(t, "edge, mm", a.In(MM), b.In(MM), 1e-6)
	}
	sphere := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM, Shape: mirror.Sphere})
	for want, f := range map[string]func(){
		"a sphere reads the same everywhere": func() { EqualReadings(sphere, 4, Moving) },
		"n is 61; it must be from 2 to 60":   func() { EqualReadings(m, 61, Moving) },
		"the place of the fixed source":      func() { EqualReadings(m, 4, FixedAt(Metre)) },
	} {
		if got := stop(f); got == nil || got.Call != "zone.EqualReadings" || !strings.Contains(got.Message, want) {
			t.Errorf("%v, want %q", got, want)
		}
	}
}

func TestSuggestedMaskSuitsTheFocalRatio(t *testing.T) {
	// Derived: about 37.5 over the focal ratio, whatever the size.
	for _, c := range []struct{ d, ratio float64 }{{300, 5}, {150, 8}, {400, 3}, {600, 4}} {
		m := mirror.New(mirror.Spec{Diameter: Length(c.d) * MM, FocalLength: Length(c.d*c.ratio) * MM})
		k, why := Suggest(m)
		if n := float64(k.Zones()); math.Abs(n-37.5/c.ratio) > 1 {
			t.Errorf("f/%v: %v zones", c.ratio, n)
		}
		inner, outer := k.Edges(k.Zones() - 1)
		if w := outer - inner; w < m.Radius()/300 {
			t.Errorf("f/%v: the outermost is %v wide", c.ratio, w)
		}
		if !strings.Contains(why, "zones of equal area") || !strings.Contains(why, "1/300 of the radius of curvature") {
			t.Errorf("%q", why)
		}
	}
	slow := mirror.New(mirror.Spec{Diameter: 100 * MM, FocalLength: 3 * Metre})
	if k, _ := Suggest(slow); k.Zones() != 3 {
		t.Errorf("%d zones at f/30", k.Zones())
	}
}
