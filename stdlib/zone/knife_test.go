package zone

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.12g, want %.12g within %g", what, got, want, tolerance)
	}
}

// stop returns the Stop that f ends with.
func stop(f func()) (s *host.Stop) {
	defer func() {
		if r := recover(); r != nil {
			s = r.(*host.Stop)
		}
	}()
	f()
	return nil
}

// reads is the reading of the target surface at radius r.
func reads(m *mirror.Mirror, source Source, r Length) Length {
	return Length(tester{m, source}.reading(float64(r), float64(m.Sag(r)), m.Slope(r)))
}

func TestReadingsMatchExactGeometry(t *testing.T) {
	// Derived, and traced by rays: moving source -Kz, which is r²/2R for the
	// paraboloid; fixed source r²/R + r⁴/2R³ for the paraboloid.
	for _, c := range []struct {
		radius, r Length
		k         float64
		source    Source
		want, tol float64 // mm
	}{
		{2400 * MM, 100 * MM, -1, Moving, 2.0833333, 1e-7},
		{2400 * MM, 100 * MM, -1, Fixed, 4.17028356, 1e-8},
		{1600 * MM, 100 * MM, -1, Fixed, 6.26220703, 1e-8},
		{2400 * MM, 95 * MM, -0.7, Moving, 1.316300534, 1e-9},
		{2400 * MM, 100 * MM, 0, Moving, 0, 1e-11},
		{2400 * MM, 100 * MM, 0, Fixed, 0, 1e-11},
	} {
		m := mirror.New(mirror.Spec{Diameter: 220 * MM, Radius: c.radius, Shape: mirror.Conic(c.k)})
		near(t, "reading, mm", reads(m, c.source, c.r).In(MM), c.want, c.tol)
	}
	// 6 inch f/8: from the middle of the edge window, 2.8 in, to the edge the fixed-source
	// reading grows by about 0.01 in: Thompson, Making Your Own Telescope, 1947 [S]; 0.0121 (V).
	m := mirror.New(mirror.Spec{Diameter: 6 * Inch, FocalLength: 48 * Inch})
	near(t, "Thompson's edge, in", (reads(m, Fixed, 3*Inch) - reads(m, Fixed, 2.8*Inch)).In(Inch), 0.0121, 0.0002)
	// The 70 % zone, 0.7071 of the radius, reads half way between centre and edge (same source).
	near(t, "70 % zone", float64(reads(m, Moving, Length(3/math.Sqrt2)*Inch)/reads(m, Moving, 3*Inch)), 0.5, 1e-9)
}

func TestFixedSourceSeriesOfAnyConic(t *testing.T) {
	// -K r²/R + K(K-1) r⁴/4R³ + O(r⁶): quartic coefficients 1.5, 0.5, 0, 0, 0.5 at
	// K = -2 … 2, fitted to exact traces [D, V].
	for k, quartic := range map[float64]float64{-2: 1.5, -1: 0.5, 0: 0, 1: 0, 2: 0.5} {
		m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2000 * MM, Shape: mirror.Conic(k)})
		got := reads(m, Fixed, 100*MM).In(MM)
		near(t, "reading, mm", got, -k*5+quartic*0.0125, 0.0002)
	}
}

func TestRaysReflectToWhereTheReadingSays(t *testing.T) {
	// A second way: reflect the ray as a vector and see where it meets the axis.
	rapid.Check(t, func(t *rapid.T) {
		m := mirror.New(mirror.Spec{
			Diameter:    400 * MM,
			FocalLength: Length(rapid.Float64Range(3, 15).Draw(t, "F")) * 400 * MM,
			Shape:       mirror.Conic(rapid.Float64Range(-3, 2).Draw(t, "K")),
		})
		r := rapid.Float64Range(0.005, 0.2).Draw(t, "r")
		z := float64(m.Sag(Length(r))) + rapid.Float64Range(-1e-6, 1e-6).Draw(t, "e")
		dz := m.Slope(Length(r)) + rapid.Float64Range(-1e-5, 1e-5).Draw(t, "s")*r
		R := float64(m.Radius())
		norm := math.Hypot(1, dz)
		nr, nz := -dz/norm, 1/norm // normal, towards the axis
		// Moving: source and image both on the normal.
		moving := tester{m, Moving}
		if got := moving.reading(r, z, dz); math.Abs(got-(z-nz/nr*r-R)) > 1e-9*R {
			t.Fatalf("moving %v", got)
		}
		// Fixed: from the source on the axis to (r, z), reflected in the normal.
		beyond := rapid.Float64Range(-0.1, 0.1).Draw(t, "beyond") * R
		from := func(source Source, beyond float64) tester {
			dr, dzz := r, z-R-beyond
			dot := dr*nr + dzz*nz
			dr, dzz = dr-2*dot*nr, dzz-2*dot*nz
			fixed := tester{m, source}
			if got := fixed.reading(r, z, dz); math.Abs(got-(z-dzz/dr*r-R)) > 1e-9*R {
				t.Fatalf("%v: %v, vectors %v", source, got, z-dzz/dr*r-R)
			}
			return fixed
		}
		for _, x := range []tester{moving, from(Fixed, 0), from(FixedAt(Length(beyond)), beyond)} {
			// Backwards.
			if got := x.slope(r, z, x.reading(r, z, dz)); math.Abs(got-dz) > 1e-12 {
				t.Fatalf("%v: slope %v comes back as %v", x.source, dz, got)
			}
			// Derivatives against differences.
			byZ, byS := x.change(r, z, dz)
			h := 1e-6
			if d := (x.reading(r, z+h, dz) - x.reading(r, z-h, dz)) / (2 * h); math.Abs(d-byZ) > 1e-5*math.Abs(byZ) {
				t.Fatalf("%v: by height %v, differences %v", x.source, byZ, d)
			}
			h = 1e-6 * dz
			if d := (x.reading(r, z, dz+h) - x.reading(r, z, dz-h)) / (2 * h); math.Abs(d-byS) > 1e-5*math.Abs(byS) {
				t.Fatalf("%v: by slope %v, differences %v", x.source, byS, d)
			}
		}
	})
}

func TestSlopeAndFocusAlgebra(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 220 * MM, Radius: 2400 * MM})
	for _, x := range []struct {
		tester
		share float64 // of a reading that is a change of R
	}{{tester{m, Moving}, 1}, {tester{m, Fixed}, 0.5}} {
		// dE/dr = -δr/R² (moving), -δr/2R² (fixed), to a part r²/R² [D].
		const r, delta = 0.09354, 5e-5
		z, dz := float64(m.Sag(r)), m.Slope(r)
		s := x.slope(r, z, x.reading(r, z, dz)+delta) - dz
		want := -delta * r / (2.4 * 2.4) * x.share
		near(t, "slope", s, want, 0.005*math.Abs(want))
		// The worked uncertainty: 0.05 mm of fixed reading at 93.54 mm is 4.06e-7 [D, V].
		if x.source == Fixed {
			near(t, "slope", math.Abs(s), 4.06e-7, 0.01e-7)
		}
		// A longer reading at the edge is an edge too low.
		if s >= 0 {
			t.Error("a longer reading stands for a steeper slope")
		}
	}
	// +0.1 mm on all fixed readings, R = 2400: -43.4 nm at 100 mm, all of it focus [D].
	e := 0.0
	x := tester{m, Fixed}
	const n = 1000
	for i := range n {
		r := 0.1 * (float64(i) + 0.5) / n
		z, dz := float64(m.Sag(Length(r))), m.Slope(Length(r))
		e += 0.1 / n * (x.slope(r, z, x.reading(r, z, dz)+1e-4) - dz)
	}
	near(t, "surface, nm", e*1e9, -43.4, 0.1)
}

func TestMaskConventionsAgreeWithTheTable(t *testing.T) {
	// D = 200, R = 2400, equal areas, ideal paraboloid, r²/R in mm (V). The exact fixed
	// reading adds r⁴/2R³, at most 0.0036 mm; twice the moving one is r²/R exactly.
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	k := NewMask(m, 0, 50*MM, 70.71067811865476*MM, 86.60254037844386*MM, 100*MM)
	for e, want := range map[Effective][]float64{
		MeanRadius: {0.26042, 1.51782, 2.57786, 3.62714},
		RMSRadius:  {0.52083, 1.56250, 2.60417, 3.64583},
		// For r² the mean over the area is the value at the rms radius [D].
		AreaMean: {0.52083, 1.56250, 2.60417, 3.64583},
	} {
		for i, v := range Ideal(k.Read(e), Moving) {
			near(t, "reading, mm", 2*v.In(MM), want[i], 6e-6)
		}
	}
	// Constructed example: K = -0.8, fixed source, rms radii [D, V].
	m = mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM, Shape: mirror.Conic(-0.8)})
	k = NewMask(m, 0, 50*MM, 70.71067811865476*MM, 86.60254037844386*MM, 100*MM).Read(RMSRadius)
	for i, v := range Ideal(k, Fixed) {
		near(t, "reading, mm", v.In(MM), []float64{0.41671, 1.25037, 2.08435, 2.91866}[i], 6e-6)
	}
	for i, v := range Ideal(k, Moving) {
		near(t, "reading, mm", v.In(MM), []float64{0.20834, 0.62502, 1.04172, 1.45844}[i], 6e-6)
	}
}

func TestMaskIsReadWhereThereIsGlass(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM, Hole: 40 * MM, Bevel: 2 * MM})
	k := NewMask(m, 0, 50*MM, 100*MM)
	inner, _ := k.opening(0)
	_, outer := k.opening(1)
	near(t, "inner", inner, 0.02, 1e-15)
	near(t, "outer", outer, 0.098, 1e-15)
	if a, b := k.Edges(1); a != 50*MM || b != 100*MM {
		t.Errorf("edges %v, %v", a, b)
	}
	near(t, "rms radius", k.Radius(0).In(MM), math.Sqrt((400+2500)/2.), 1e-9)
	near(t, "mean radius", k.Read(MeanRadius).Radius(0).In(MM), 35, 1e-9)
	sum := 0.0
	for _, n := range k.nodes(0) {
		sum += n.share
	}
	near(t, "shares", sum, 1, 1e-12)
}

func TestImpossibleMasksAreRefused(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM, Hole: 40 * MM, Bevel: 2 * MM})
	nan := Length(math.NaN())
	many := make([]Length, MaxZones+2)
	for i := range many {
		many[i] = Length(i) * MM
	}
	for _, c := range []struct {
		edges []Length
		want  string
	}{
		{nil, "0 edges are given; there must be 3 to 61"},
		{[]Length{0, 100 * MM}, "2 edges are given"},
		{many, "62 edges are given"},
		{[]Length{0, 50 * MM, 50 * MM}, "edge 3 is 50.00 mm; it must be more than edge 2, 50.00 mm"},
		{[]Length{0, 70 * MM, 50 * MM}, "edge 3 is 50.00 mm; it must be more than edge 2"},
		{[]Length{0, 50 * MM, 101 * MM}, "edge 3 is 101.00 mm; it must be on the glass, from 0 to 100.00 mm"},
		{[]Length{-1 * MM, 50 * MM, 100 * MM}, "edge 1 is -1.00 mm"},
		{[]Length{0, nan, 100 * MM}, "edge 2 is NaN mm"},
		{[]Length{0, 15 * MM, 100 * MM}, "zone 1, from 0.00 mm to 15.00 mm, has no polished glass: the clear aperture is from 20.00 mm to 98.00 mm"},
		{[]Length{20 * MM, 99 * MM, 100 * MM}, "zone 2, from 99.00 mm to 100.00 mm, has no polished glass"},
	} {
		got := stop(func() { NewMask(m, c.edges...) })
		if got == nil || got.Call != "zone.NewMask" || !strings.Contains(got.Message, c.want) {
			t.Errorf("%v: %v, want %q", c.edges, got, c.want)
		}
	}
	k := NewMask(m, 0, 50*MM, 100*MM)
	if got := stop(func() { k.Edges(2) }); got == nil || !strings.Contains(got.Message, "i is 2; it must be from 0 to 1") {
		t.Errorf("zone out of range: %v", got)
	}
	if got := stop(func() { k.Read(9) }); got == nil || !strings.Contains(got.Message, "AreaMean, MeanRadius or RMSRadius") {
		t.Errorf("unknown way: %v", got)
	}
	if got := stop(func() { Ideal(k, FixedAt(2*Metre)) }); got == nil || got.Call != "zone.Ideal" || !strings.Contains(got.Message, "a tenth of the radius") {
		t.Errorf("unknown source: %v", got)
	}
}
