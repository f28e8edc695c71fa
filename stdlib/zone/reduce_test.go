package zone

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// A surface gives height and slope of an error at a radius, in metres.
type surface func(r float64) (e, slope float64)

// bell is a ring like a bell, even in r: height h, full width w at half of it.
func bell(h, at, w float64) surface {
	s := w / (2 * math.Sqrt(2*math.Ln2))
	return func(r float64) (e, slope float64) {
		for _, c := range []float64{at, -at} {
			x := (r - c) / s
			v := h * math.Exp(-x*x/2)
			e, slope = e+v, slope-x/s*v
		}
		return e, slope
	}
}

// quartic is the error h·(r/a)⁴.
func quartic(h, a float64) surface {
	return func(r float64) (float64, float64) { return h * math.Pow(r/a, 4), 4 * h * math.Pow(r/a, 3) / a }
}

func sum(list ...surface) surface {
	return func(r float64) (e, slope float64) {
		for _, s := range list {
			a, b := s(r)
			e, slope = e+a, slope+b
		}
		return e, slope
	}
}

// exact is the figure of a surface, piston and focus out.
func exact(m *mirror.Mirror, s surface) *figure.Figure {
	e := make([]float64, figure.GridSize)
	for i, r := range figure.Grid(m) {
		e[i], _ = s(r)
	}
	return figure.New(m, e, nil).Refocused()
}

// distance is the rms difference of two figures by area, in nm.
func distance(a, b *figure.Figure) float64 {
	return a.Minus(b).Quality().RMSSurface.Value * 1e9
}

// bare is a figure without its doubt.
func bare(f *figure.Figure) *figure.Figure { return figure.New(f.Mirror(), f.Heights(), nil) }

func TestSphereReadAsParaboloidIsSeenWhole(t *testing.T) {
	// A sphere under a mask, judged against the paraboloid: the figure is the
	// difference of the surfaces, 452.3 nm of wavefront at best focus for D = 200,
	// F = 6 [D, V]. Micrometres from the target: the geometry has to be followed.
	for _, ratio := range []float64{3, 6} {
		spec := mirror.Spec{Diameter: 200 * MM, FocalLength: Length(ratio) * 200 * MM, Shape: mirror.Sphere}
		ball := mirror.New(spec)
		spec.Shape = mirror.Paraboloid
		m := mirror.New(spec)
		want := exact(m, func(r float64) (float64, float64) {
			return float64(ball.Sag(Length(r)) - m.Sag(Length(r))), 0
		})
		for _, source := range []Source{Moving, Fixed} {
			k := NewMask(m, 0, 30*MM, 45*MM, 58*MM, 70*MM, 80*MM, 90*MM, 100*MM)
			row := make([]float64, k.Zones()) // a sphere reads the same everywhere
			f := Reduce(Given(k, Sheet{Source: source, Scatter: 0.01 * MM}, row, row, row))
			if ratio == 6 {
				near(t, "PV of the wave, nm", bare(f).Quality().PVWave.Value*550, 452.3, 4)
			}
			scale := want.Quality().RMSSurface.Value * 1e9
			if d := distance(bare(f), want); d > 0.01*scale {
				t.Errorf("F/%v, %v: off by %.2f nm rms of %.0f", ratio, source, d, scale)
			}
			if d := distance(bare(Straight(Given(k, Sheet{Source: source}, row))), want); d > 0.2*scale {
				t.Errorf("F/%v, %v: straight pieces off by %.2f nm rms of %.0f", ratio, source, d, scale)
			}
		}
	}
}

func TestConstructedExampleComesOutAsComputed(t *testing.T) {
	// Constructed: D = 200, R = 2400, K = -0.8, fixed source, rms radii; readings
	// 0.41671 … 2.91866 mm give best-focus PV 90.4 nm of wave, rms 0.04902 λ of 550 nm,
	// Strehl exp(-(2πσ)²) 0.9095 [D, V].
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	k := NewMask(m, 0, 50*MM, 70.71067811865476*MM, 86.60254037844386*MM, 100*MM).Read(RMSRadius)
	row := []float64{0.41671, 1.25037, 2.08435, 2.91866}
	r := Given(k, Sheet{Source: Fixed, Scatter: 0.05 * MM}, row)
	q := bare(Reduce(r)).Quality()
	near(t, "PV, nm", q.PVWave.Value*550, 90.4, 2)
	near(t, "rms", q.RMSWave.Value, 0.04902, 0.001)
	near(t, "Strehl by rms", q.StrehlRMS.Value, 0.9095, 0.004)
	near(t, "K", bare(Reduce(r)).BestConic().Constant.Value, -0.8, 0.005)
	// The doubt: 0.05 mm a reading and the conic alone free make 9.7 nm of PV [D]. The
	// surface has more freedom here, so that the range is as wide or wider.
	full := Reduce(r).Quality()
	if half := (full.PVWave.High - full.PVWave.Low) / 2 * 550; half < 7 || half > 40 {
		t.Errorf("range of PV ± %.1f nm", half)
	}
	// Four straight pieces show the same error in the rough.
	near(t, "PV of straight pieces, nm", bare(Straight(r)).Quality().PVWave.Value*550, 90.4, 45)
}

func TestCommonShiftChangesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	means := tester{shop, Moving}.means(shopMask, sum(bell(40e-9, 0.118, 0.02), quartic(50e-9, 0.15)))
	rows := noisy(rng, means, 4, 0.02e-3)
	f := Reduce(Given(shopMask, Sheet{}, rows...))
	compare := func(what string, g *figure.Figure) {
		t.Helper()
		a, b, sa, sb := f.Heights(), g.Heights(), f.Sigma(), g.Sigma()
		for i := range a {
			near(t, what+": height", b[i], a[i], 1e-14)
			near(t, what+": doubt", sb[i], sa[i], 1e-13)
		}
	}
	shifted := make([][]float64, len(rows))
	inches := make([][]float64, len(rows))
	for s, row := range rows {
		for _, v := range row {
			shifted[s] = append(shifted[s], v+5)
			inches[s] = append(inches[s], v/25.4)
		}
	}
	compare("shifted", Reduce(Given(shopMask, Sheet{}, shifted...)))
	shifted[2] = rows[2] // each set has its own zero
	compare("one set not shifted", Reduce(Given(shopMask, Sheet{}, shifted...)))
	compare("inches", Reduce(Given(shopMask, Sheet{Unit: Inch}, inches...)))
	turned := slices.Clone(rows)
	slices.Reverse(turned)
	compare("other order", Reduce(Given(shopMask, Sheet{}, turned...)))
	straight := Straight(Given(shopMask, Sheet{}, rows...)).Heights()
	for i, v := range Straight(Given(shopMask, Sheet{}, shifted...)).Heights() {
		near(t, "straight, shifted", v, straight[i], 1e-13)
	}
}

func TestFigureAnswersTheReadingsItCameFrom(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		source := rapid.SampledFrom([]Source{Moving, Fixed, FixedAt(8 * MM)}).Draw(t, "source")
		ratio := rapid.Float64Range(3, 10).Draw(t, "F")
		m := mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: Length(ratio) * 300 * MM})
		k := NewMask(m, 0, 55*MM, 80*MM, 98*MM, 111*MM, 125*MM, 138*MM, 150*MM).Read(Effective(rapid.IntRange(0, 2).Draw(t, "effective")))
		truth := sum(
			bell(rapid.Float64Range(-60e-9, 60e-9).Draw(t, "h"), rapid.Float64Range(0, 0.15).Draw(t, "at"), rapid.Float64Range(0.02, 0.1).Draw(t, "w")),
			quartic(rapid.Float64Range(-3e-7, 3e-7).Draw(t, "q"), 0.15))
		means := tester{m, source}.means(k, truth)
		scatter := 0.01e-3 * (ratio / 5) * (ratio / 5)
		if source.Stays() {
			scatter *= 2
		}
		row := make([]float64, len(means))
		for i, v := range means {
			row[i] = v * 1e3
		}
		f := Reduce(Given(k, Sheet{Source: source, Scatter: Length(scatter)}, row, row, row, row))
		for i, x := range Expect(k, f, source, 0) {
			off := float64(x.Reading) - (means[i] - means[0])
			if math.Abs(off) > 2*scatter {
				t.Fatalf("zone %d reads %.4f mm off, scatter %.4f", x.Zone, off*1e3, scatter*1e3)
			}
		}
	})
}

func TestExpectedReadingsAreExact(t *testing.T) {
	// Forward from the exact surface by its own formula against the grid's.
	for _, source := range []Source{Moving, Fixed} {
		for _, e := range []Effective{AreaMean, MeanRadius, RMSRadius} {
			k := shopMask.Read(e)
			truth := sum(bell(40e-9, 0.118, 0.02), bell(-30e-9, 0, 0.06), quartic(2e-7, 0.15))
			want := tester{shop, source}.means(k, truth)
			h := make([]float64, figure.GridSize)
			for i, r := range figure.Grid(shop) {
				h[i], _ = truth(r)
			}
			for i, x := range Expect(k, figure.New(shop, h, nil), source, 0) {
				near(t, "expected, mm", x.Reading.In(MM), (want[i]-want[0])*1e3, 1.5e-3)
				if x.Low != x.Reading || x.High != x.Reading || x.Zone != i+1 {
					t.Errorf("an exact figure has a range: %+v", x)
				}
			}
		}
	}
	// A perfect mirror reads the ideal.
	ideal := Ideal(shopMask, Moving)
	for i, x := range Expect(shopMask, figure.New(shop, make([]float64, figure.GridSize), nil), Moving, 0.02*MM) {
		near(t, "ideal, mm", x.Reading.In(MM), (ideal[i] - ideal[0]).In(MM), 1e-9)
		want := 0.02 * math.Sqrt2 // two readings
		if i == 0 {
			want = 0
		}
		near(t, "range, mm", (x.High - x.Reading).In(MM), want, 1e-12)
	}
	other := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1500 * MM})
	g := figure.New(other, make([]float64, figure.GridSize), nil)
	for want, f := range map[string]func(){
		"the mask and the figure belong to different mirrors":                                       func() { Expect(shopMask, g, Moving, 0) },
		"scatter is -1 mm; it must be from 0 to 10 mm":                                              func() { Expect(shopMask, Reduce(Given(shopMask, Sheet{}, make([]float64, 7))), Moving, -1*MM) },
		"the place of the fixed source is 1 m; it must be within 300 mm of the centre of curvature": func() { Expect(shopMask, exact(shop, perfect), FixedAt(1*Metre), 0) },
	} {
		if got := stop(f); got == nil || got.Call != "zone.Expect" || !strings.Contains(got.Message, want) {
			t.Errorf("%v, want %q", got, want)
		}
	}
}

func TestExpectedRangesHoldTheNextReadings(t *testing.T) {
	t.Parallel()
	// Read a mirror, reduce, and read it again: the new readings lie in the ranges
	// 68 % of the time.
	rng := rand.New(rand.NewPCG(21, 4))
	in, total := 0, 0
	for range 40 {
		truth := someRings(rng, float64(shop.Clear()))
		means := tester{shop, Moving}.means(shopMask, truth)
		f := Reduce(Given(shopMask, Sheet{}, noisy(rng, means, 4, 0.02e-3)...))
		next := noisy(rng, means, 1, 0.02e-3)[0]
		for i, x := range Expect(shopMask, f, Moving, 0.02*MM)[1:] {
			v := Length(next[i+1]-next[0]) * MM
			if v >= x.Low && v <= x.High {
				in++
			}
			total++
		}
	}
	near(t, "share within", float64(in)/float64(total), 0.683, 0.09)
}

func TestARingNarrowerThanTheOpeningsIsShownWithItsDoubt(t *testing.T) {
	// 40 nm high, 20 mm wide, its top in the middle of an opening or on an edge.
	rng := rand.New(rand.NewPCG(1, 2))
	for _, at := range []float64{0.118, 0.125, 0.111} {
		truth := sum(bell(40e-9, at, 0.02), quartic(15e-9, 0.15))
		f := Reduce(Given(shopMask, Sheet{}, noisy(rng, tester{shop, Moving}.means(shopMask, truth), 5, 0.02e-3)...))
		want := exact(shop, truth).At(Length(at))
		got, doubt := f.At(Length(at)), f.SigmaAt(Length(at))
		if off := math.Abs(float64(got - want)); off > 2.5*float64(doubt) {
			t.Errorf("ring at %.0f mm: %v ± %v, is %v", at*1e3, got, doubt, want)
		}
		if got < want/2 {
			t.Errorf("ring at %.0f mm: %v of %v is left", at*1e3, got, want)
		}
		list := List(shopMask, f)
		high := slices.IndexFunc(list, func(r Ring) bool { return r.High && math.Abs(float64(r.At)-at) < 0.006 })
		if high < 0 || list[high].Told() != "sure" {
			t.Errorf("ring at %.0f mm is not listed as sure:\n%v", at*1e3, list)
		}
	}
}

func TestBandIsNarrowAtEdgesAndWideBetween(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	truth := bell(40e-9, 0.118, 0.02)
	f := Reduce(Given(shopMask, Sheet{}, noisy(rng, tester{shop, Moving}.means(shopMask, truth), 5, 0.02e-3)...))
	for i := 1; i < shopMask.Zones()-1; i++ {
		inner, outer := shopMask.Edges(i)
		if middle := f.SigmaAt((inner + outer) / 2); middle < f.SigmaAt(outer) {
			t.Errorf("zone %d: %v in the middle, %v at its outer edge", i+1, middle, f.SigmaAt(outer))
		}
	}
}

func TestStraightPiecesJoinTheSlopesOfTheZones(t *testing.T) {
	// Derived: E rises by -δ·r/R² times the width over each zone (moving source).
	delta := []float64{0.1, -0.05, 0, 0.2, -0.1, 0.05, 0.1} // mm
	ideal := Ideal(shopMask, Moving)
	row := make([]float64, 7)
	for i := range row {
		row[i] = ideal[i].In(MM) + delta[i]
	}
	e := make([]float64, figure.GridSize)
	grid := figure.Grid(shop)
	for j := 1; j < len(grid); j++ {
		mid := (grid[j-1] + grid[j]) / 2
		zone := shopMask.holding(mid) - 1
		e[j] = e[j-1] - delta[zone]*1e-3*float64(shopMask.Radius(zone))/9*(grid[j]-grid[j-1])
	}
	want := figure.New(shop, e, nil).Refocused().Heights()
	got := Straight(Given(shopMask, Sheet{}, row))
	// The shift is taken out of the slopes before they are joined, of r² afterwards;
	// in pieces the two differ a little.
	for i, v := range got.Heights() {
		near(t, "height, nm", v*1e9, want[i]*1e9, 4)
	}
	// The doubt of an edge's height: only the readings', as derived from the zones'.
	if s := got.SigmaAt(118 * MM); s < 0.5*NM || s > 20*NM {
		t.Errorf("doubt %v", s)
	}
}

func TestMaskShortOfTheEdgeSaysItDoesNotKnow(t *testing.T) {
	k := NewMask(shop, 30*MM, 55*MM, 80*MM, 98*MM, 111*MM, 125*MM)
	rng := rand.New(rand.NewPCG(2, 3))
	f := Reduce(Given(k, Sheet{}, noisy(rng, tester{shop, Moving}.means(k, bell(40e-9, 0.09, 0.03)), 5, 0.02e-3)...))
	if in, out := f.SigmaAt(111*MM), f.SigmaAt(150*MM); out < 3*in {
		t.Errorf("doubt at 111 mm %v, at the edge beyond the mask %v", in, out)
	}
	straight := Straight(Given(k, Sheet{}, make([]float64, 5)))
	if straight.At(140*MM) == 0 {
		t.Error("straight pieces end at the mask")
	}
}

func BenchmarkReduce(b *testing.B) {
	rng := rand.New(rand.NewPCG(2, 2))
	r := Given(shopMask, Sheet{}, noisy(rng, tester{shop, Moving}.means(shopMask, bell(40e-9, 0.118, 0.02)), 5, 0.02e-3)...)
	for b.Loop() {
		Reduce(r)
	}
}

// BenchmarkReduceLarge takes 12 zones, 10 sets and 512 radii, covariance included.
func BenchmarkReduceLarge(b *testing.B) {
	edges := make([]Length, 13)
	for i := range edges {
		edges[i] = Length(150*math.Sqrt(float64(i)/12)) * MM
	}
	edges[12] = 150 * MM
	k := NewMask(shop, edges...)
	rng := rand.New(rand.NewPCG(2, 2))
	r := Given(k, Sheet{}, noisy(rng, tester{shop, Moving}.means(k, bell(40e-9, 0.118, 0.02)), 10, 0.02e-3)...)
	grid := make([]float64, 512)
	for i := range grid {
		grid[i] = 0.15 * float64(i) / 511
	}
	for b.Loop() {
		bay := newBayes([]*Readings{r})
		c, mix := bay.posterior()
		bay.seenAs(bay.prior.matrix(grid), c, mix)
	}
}
