package wear

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lapwright/stdlib/lap"
	"lapwright/stdlib/unit"
)

// A square lap of side 1 on a straight edge, as moments over what is left on the
// glass (references area 6, statics [D]): overhang 0.2 gives 2.1875 and 0.3125 of
// the nominal pressure at edge and inner side, 0.25 gives 8/3 and 0.
func TestSquareLapOnAStraightEdge(t *testing.T) {
	for _, row := range []struct{ overhang, edge, inner float64 }{
		{0, 1, 1}, {0.2, 2.1875, 0.3125}, {0.25, 8. / 3, 0},
	} {
		lo, hi := -0.5, 0.5-row.overhang
		var m [3]float64
		for k := range m {
			m[k] = (math.Pow(hi, float64(k+1)) - math.Pow(lo, float64(k+1))) / float64(k+1)
		}
		p, ok := linear(1, 0, m)
		if !ok {
			t.Fatal("no balance")
		}
		near(t, "edge", p.p0+p.g*hi, row.edge, 1e-6)
		near(t, "inner", p.p0+p.g*lo, row.inner, 1e-6)
	}
}

// A disc on an edge all but straight, 10 and 20 % of its diameter overhanging:
// edge 1.25281 and 1.77269, inner side 0.83290 and 0.43693; the inner side comes
// to nothing at 26.45 %, with 2.289 at the edge (references area 6 [D]).
func TestDiscLapOnAStraightEdge(t *testing.T) {
	const b, rim = 1e-3, 100
	f := round(b)
	nominal := f.whole.p0
	for _, row := range []struct{ overhang, edge, inner, tolerance float64 }{
		{0.10, 1.25281, 0.83290, 1e-4}, {0.20, 1.77269, 0.43693, 1e-4}, {0.2645, 2.289, 0, 1e-3},
	} {
		hi := b * (1 - 2*row.overhang)
		p, ok := f.balance(glass{rim: rim}, rim-hi)
		if !ok {
			t.Fatal("no balance")
		}
		near(t, "edge", p.at(hi)/nominal, row.edge, row.tolerance)
		near(t, "inner", p.at(-b)/nominal, row.inner, row.tolerance)
	}
}

// Where the inner pressure of a disc of radius b on a disc of radius a comes to
// nothing, and the pressure at the edge there (references area 6 [D]).
func TestDiscLapOnADiscMirrorBeginsToPull(t *testing.T) {
	const a = 0.150
	g := glass{rim: a}
	for _, row := range []struct{ b, c, edge float64 }{
		{0.10, 0.95159, 2.3093}, {0.25, 0.87406, 2.3426}, {0.50, 0.73122, 2.4079}, {0.75, 0.57018, 2.4982}, {1.00, 0.39290, 2.6614},
	} {
		b, c := row.b*a, row.c*a
		f := round(b)
		if f.pulls(g, c-1e-5*a) || !f.pulls(g, c+1e-5*a) {
			t.Errorf("b/a = %v: pull does not begin at c/a = %v", row.b, row.c)
		}
		p, _ := f.balance(g, c)
		near(t, fmt.Sprint("edge for b/a = ", row.b), p.at(a-c)/f.whole.p0, row.edge, 2e-4)
	}
}

// b = 0.5a, c = 0.6a: area 0.7313757 a², its middle at 0.568587 a, pressure at
// edge and inner side 1.35015 and 0.77378 of the nominal (references area 6 [D]).
func TestOverhangByAWorkedCase(t *testing.T) {
	const a = 0.150
	g, f, c := glass{rim: a}, round(0.5*a), 0.6*a
	lo, hi := f.span(g, c)
	m := f.moments(g, c, lo, hi)
	near(t, "area", m[0]/(a*a), 0.7313757, 1e-7)
	near(t, "middle", (c+m[1]/m[0])/a, 0.568587, 1e-6)
	p, _ := f.balance(g, c)
	near(t, "edge", p.at(hi)/f.whole.p0, 1.35015, 1e-4)
	near(t, "inner", p.at(lo)/f.whole.p0, 0.77378, 1e-4)
}

func TestPressureIsEvenWithoutOverhang(t *testing.T) {
	g := glass{hole: 0.02, rim: 0.15}
	for _, f := range []*face{round(0.03), mustFace(lap.Star(lap.Spec{Diameter: 60 * unit.MM, Load: 1}, 5, 10*unit.MM, 0.3), 0)} {
		for _, rho := range []float64{0.05, 0.08, 0.12} {
			p, ok := f.balance(g, rho)
			area := 0.0
			for _, b := range f.bands {
				area += math.Pi / 3 * (b.out - b.in) * (b.from*(2*b.in+b.out) + b.to*(b.in+2*b.out))
			}
			if !ok || math.Abs(p.g)*f.out > 1e-12*p.p0 || math.Abs(p.p0*area-1) > 1e-12 {
				t.Errorf("at %v: %+v, want %v all over", rho, p, 1/area)
			}
		}
	}
}

// anyFace draws a lap of radius 30 to 80 mm and load 1 N, even about its middle: a
// share that slopes there has a tip, which the quadrature of equilibrium blunts.
func anyFace(t *rapid.T, hand bool) *face {
	b := rapid.Float64Range(0.030, 0.080).Draw(t, "b")
	s := lap.Spec{Diameter: unit.Length(2 * b), Load: 1}
	var l *lap.Lap
	switch rapid.IntRange(0, 3).Draw(t, "form") {
	case 0:
		l = lap.Round(s)
	case 1:
		l = lap.Ring(s, unit.Length(2*b*rapid.Float64Range(0.1, 0.6).Draw(t, "inner")))
	case 2:
		l = lap.Star(s, 6, unit.Length(2*b*rapid.Float64Range(0.1, 0.5).Draw(t, "core")), rapid.Float64Range(0, 0.9).Draw(t, "tip"))
	case 3:
		r := unit.Length(b)
		l = lap.Shaped(s, lap.Share{Radius: 0, Share: 0.8}, lap.Share{Radius: r / 3, Share: 0.8}, lap.Share{Radius: r / 2, Share: 1}, lap.Share{Radius: r / 2, Share: 0.4}, lap.Share{Radius: r, Share: 0.7})
	}
	d := 0.0
	if hand {
		d = b * rapid.Float64Range(-0.4, 0.4).Draw(t, "hand")
	}
	f, ok := newFace(l, d)
	if !ok {
		t.Skip("the lap tips")
	}
	return f
}

// equilibrium returns ∫p dA and ∫p·ξ dA by quadrature in polar coordinates about
// the mirror's axis, which share nothing with the moments of the balance: on the
// circle r the lap is met over an arc known by its cosine, cut where a band or the
// pressure ends.
func equilibrium(g glass, f *face, rho float64, p press) (force, moment float64) {
	ends := []float64{g.hole, min(g.rim, rho+f.out)}
	add := func(r float64) {
		if r > ends[0] && r < ends[1] {
			ends = append(ends, r)
		}
	}
	for _, t := range f.cuts {
		add(math.Abs(rho - t))
		add(rho + t)
	}
	if p.g != 0 {
		x := rho - p.p0/p.g // where the pressure vanishes
		add(math.Abs(x))
		for _, t := range f.cuts {
			// The corner of that line with a band's edge.
			add(math.Sqrt(x*x + t*t - (x-rho)*(x-rho)))
		}
	}
	slices.Sort(ends)
	angle := func(r, t float64) float64 {
		return math.Acos(max(-1, min(1, (r*r+rho*rho-t*t)/(2*r*rho))))
	}
	ru := &rules()[48].ends
	for i := range ends[1:] {
		for j, z := range ru.x {
			r := ends[i] + (ends[i+1]-ends[i])*z
			w := ru.w[j] * (ends[i+1] - ends[i]) * r
			for _, b := range f.bands {
				from, to := angle(r, b.in), angle(r, b.out)
				if b.in == 0 {
					from = 0
				}
				// The pressed part.
				if p.g != 0 {
					x := math.Acos(max(-1, min(1, (rho-p.p0/p.g)/r)))
					if p.g > 0 {
						to = min(to, x)
					} else {
						from = max(from, x)
					}
				}
				if to <= from {
					continue
				}
				inner := &rules()[48].ends
				for k, y := range inner.x {
					a := from + (to-from)*y
					xi := r*math.Cos(a) - rho
					t := math.Sqrt(math.Abs(r*r + rho*rho - 2*r*rho*math.Cos(a)))
					share := b.from + (b.to-b.from)*(t-b.in)/(b.out-b.in)
					v := 2 * w * inner.w[k] * (to - from) * share * p.at(xi)
					force += v
					moment += v * xi
				}
			}
		}
	}
	return force, moment
}

func TestForceAndMomentBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFace(t, true)
		g := glass{rim: 0.150}
		if rapid.Bool().Draw(t, "hole") {
			g.hole = rapid.Float64Range(0.005, 0.040).Draw(t, "hole radius")
		}
		rho := rapid.Float64Range(0.003, 0.149).Draw(t, "rho")
		p, ok := f.balance(g, rho)
		if !ok {
			return // it tips; other tests tell
		}
		if math.Abs(p.g)*f.out > 300*f.whole.p0 {
			t.Skip("all but tipping")
		}
		force, moment := equilibrium(g, f, rho, p)
		tolerance := 1e-9
		for _, b := range f.bands {
			if !b.flat() {
				tolerance = 1e-8 // its moments are a quadrature too
			}
		}
		if math.Abs(force-1) > tolerance || math.Abs(moment-f.hand) > tolerance*f.out {
			t.Fatalf("rho %v, lap %+v: force %.12f, moment over the lap's radius %.3e, want 1 and %.3e", rho, *f, force, moment/f.out, f.hand/f.out)
		}
	})
}

// The series that stand in for the balance on a stroke agree with it.
func TestPressureSeriesFollowTheBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFace(t, false)
		g := glass{rim: 0.150}
		if rapid.Bool().Draw(t, "hole") {
			g.hole = rapid.Float64Range(0.005, 0.040).Draw(t, "hole radius")
		}
		least := rapid.Float64Range(0, 0.11).Draw(t, "least")
		greatest := least + rapid.Float64Range(0, 0.035).Draw(t, "travel")
		if f.tips(g, least, greatest, "", func(float64) string { return "tips" }) != "" {
			return
		}
		for _, rho := range []float64{least, greatest} {
			if _, p := f.contact(g, rho); p > 4*f.whole.p0 {
				t.Skip("all but tipping")
			}
		}
		series := f.pressures(g, least, greatest, f.kinks(g, least, greatest))
		for i := range 21 {
			rho := least + (greatest-least)*float64(i)/20
			want, _ := f.balance(g, rho)
			got := series.at(rho)
			size := math.Abs(want.p0) + math.Abs(want.g)*f.out
			if math.Abs(got.p0-want.p0) > 1e-3*size || math.Abs(got.g-want.g)*f.out > 1e-3*size {
				t.Fatalf("rho %v: %+v, the balance is %+v", rho, got, want)
			}
		}
	})
}

// A lap balances as long as its hand is over what it stands on.
func TestLapTipsWhereItsMiddleLeavesTheGlass(t *testing.T) {
	const rim, hole, b = 0.150, 0.040, 0.030
	f := round(b)
	for _, row := range []struct {
		rho float64
		ok  bool
	}{
		{0.1499, true}, {0.1501, false}, {0.2, false},
		// At the hole the lap stands on its two horns until ρ² + b² = hole².
		{math.Sqrt(hole*hole-b*b) + 1e-4, true}, {math.Sqrt(hole*hole-b*b) - 1e-4, false}, {0, false},
	} {
		if _, ok := f.balance(glass{hole, rim}, row.rho); ok != row.ok {
			t.Errorf("at %v: balance %v, want %v", row.rho, ok, row.ok)
		}
	}
	// A ring stands until the rim no longer crosses its hollow outward of the middle.
	ring := mustFace(lap.Ring(lap.Spec{Diameter: 60 * unit.MM, Load: 1}, 40*unit.MM), 0)
	limit := math.Sqrt(rim*rim - 0.020*0.020)
	if _, ok := ring.balance(glass{rim: rim}, limit-1e-4); !ok {
		t.Error("the ring tips early")
	}
	if _, ok := ring.balance(glass{rim: rim}, limit+1e-4); ok {
		t.Error("the ring does not tip")
	}
}

// Pressed at ξ = d a whole disc presses with p̄·(1 + 4dξ/b²), the second moment of
// a disc being Ab²/4, until d = b/4 (statics [D]).
func TestHandBesideTheMiddle(t *testing.T) {
	const b = 0.04
	area := math.Pi * b * b
	for _, d := range []float64{0, 0.002, -0.005, 0.00999} {
		f := mustFace(lap.Round(lap.Spec{Diameter: 2 * b, Load: 1}), d)
		near(t, "middle", f.whole.p0*area, 1, 1e-12)
		near(t, "slope", f.whole.g*area*b*b, 4*d, 1e-12)
		if f.lifted {
			t.Errorf("pressed at %v it loses contact", d)
		}
	}
	if f := mustFace(lap.Round(lap.Spec{Diameter: 2 * b, Load: 1}), 0.0101); !f.lifted {
		t.Error("pressed beyond a quarter of its radius it loses no contact")
	}
}
