package wear

import (
	"math"
	"strings"
	"testing"

	"lapwright/stdlib/lap"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
)

func profileOf(s *stroke.Stroke) *Profile {
	return New(blank(), Setting{Lap: lapOf(70 * mm), Stroke: s, At: 100 * mm})
}

// A held lap rubs all places alike in whole turns. In half a turn more the half of
// the circle that meets the lap again has one turn more than the other: 1 over the
// turns [D].
func TestHeldLapIsEvenInWholeTurns(t *testing.T) {
	p := profileOf(stroke.Held(table))
	near(t, "5 turns", p.Uneven(105*mm, 5), 0, 1e-9)
	near(t, "1 turn", p.Uneven(105*mm, 1), 0, 1e-9)
	near(t, "10.5 turns", p.Uneven(105*mm, 10.5), 1/10.5, 0.1/10.5)
	near(t, "100.5 turns", p.Uneven(105*mm, 100.5), 1/100.5, 0.1/100.5)
}

func TestStrokesThatFitTheTurnsLeaveMarks(t *testing.T) {
	p := profileOf(stroke.Tangential(60*mm, 3, table))
	one := p.Uneven(105*mm, 1)
	if one < 0.1 {
		t.Errorf("3 strokes a turn are uneven by only %v", one)
	}
	near(t, "after 400 turns", p.Uneven(105*mm, 400), one, 1e-6)
}

// Strokes out of step are not enough, and whole turns are not: there must be enough
// turns too, and the last part of a turn counts as its share.
func TestStrokesOutOfStepNeedEnoughTurns(t *testing.T) {
	p := profileOf(stroke.Tangential(60*mm, 3+(math.Sqrt(5)-1)/2, table))
	few, more, many := p.Uneven(105*mm, 2), p.Uneven(105*mm, 21), p.Uneven(105*mm, 400)
	if few < 0.1 || more > few/4 || many > more/4 {
		t.Errorf("2 turns: %v, 21 turns: %v, 400 turns: %v", few, more, many)
	}
	if broken := p.Uneven(105*mm, 400.5); broken < many+1e-3 || broken > 0.01 {
		t.Errorf("400 turns: %v, half a turn more: %v", many, broken)
	}
}

func TestRubbingHasTheProfilesMean(t *testing.T) {
	for _, s := range []*stroke.Stroke{
		stroke.Tangential(60*mm, 3.3, table), stroke.Radial(40*mm, 2.2, table).Following(), stroke.Elliptical(50*mm, 20*mm, 1.7, table),
		stroke.Path(2.2, table, stroke.Point{}, stroke.Point{Radial: 20 * mm, Tangential: 30 * mm}, stroke.Point{Radial: -10 * mm, Tangential: 25 * mm}),
	} {
		for _, l := range []*lap.Lap{lapOf(70 * mm), lap.Star(lap.Spec{Diameter: 100 * mm, Load: 10}, 6, 20*mm, 0.2), lap.Ring(lap.Spec{Diameter: 90 * mm, Load: 10}, 40*mm)} {
			p := New(blank(), Setting{Lap: l, Stroke: s, At: 110 * mm})
			g := p.sweep.rubbingAt(0.115, s)
			near(t, s.String(), 2*math.Pi*g.mean/p.At(115*mm), 1, 2e-3)
		}
	}
}

// The same by small steps of time at places around the circle.
func TestUnevennessAgreesWithATimeDomainRun(t *testing.T) {
	const q, turns, steps, places = 2.37, 6.4, 2500, 360
	for _, at := range []float64{0.100, 0.125} {
		p := New(blank(), Setting{Lap: lapOf(70 * mm), Stroke: stroke.Tangential(60*mm, q, table), At: unit.Length(at)})
		const r = 0.108
		low, high, mean := math.Inf(1), 0.0, 0.0
		for i := range places {
			worn := 0.0
			for k := range int(turns * steps) {
				theta := 2 * math.Pi * (float64(k) + 0.5) / steps
				x, y := at, 0.030*math.Sin(q*theta)
				uy := 0.030 * q * math.Cos(q*theta)
				sn, cs := math.Sincos(theta + 2*math.Pi*float64(i)/places)
				px, py := r*cs, r*sn
				if math.Hypot(px-x, py-y) > 0.035 {
					continue
				}
				rho := math.Hypot(x, y)
				pr := p.sweep.press.at(rho)
				worn += pr.at(((px-x)*x+(py-y)*y)/rho) * math.Hypot(py, px-uy) * 2 * math.Pi / steps
			}
			low, high, mean = min(low, worn), max(high, worn), mean+worn/places
		}
		want := (high - low) / mean
		near(t, "uneven", p.Uneven(unit.Length(r), turns), want, 0.03*want)
	}
}

func TestFewestTurns(t *testing.T) {
	p := profileOf(stroke.Tangential(60*mm, 3.618, table))
	n, ok := p.FewestTurns(105*mm, 0.02, 300)
	if !ok || p.Uneven(105*mm, float64(n)) > 0.02 || n > 1 && p.Uneven(105*mm, float64(n-1)) <= 0.02 {
		t.Errorf("%d turns, %v: uneven by %v, by %v a turn before", n, ok, p.Uneven(105*mm, float64(n)), p.Uneven(105*mm, float64(n-1)))
	}
	if n, ok := profileOf(stroke.Tangential(60*mm, 3, table)).FewestTurns(105*mm, 0.02, 50); ok {
		t.Errorf("strokes that fit the turns come even after %d", n)
	}
}

func TestEvenestStrokes(t *testing.T) {
	p := profileOf(stroke.Tangential(60*mm, 3, table))
	q, uneven := p.EvenestStrokes(105*mm, 20, 2.5, 3.5)
	if q < 2.5 || q > 3.5 {
		t.Fatalf("%v strokes a turn", q)
	}
	near(t, "what it promises", profileOf(stroke.Tangential(60*mm, q, table)).Uneven(105*mm, 20), uneven, 1e-12)
	for _, other := range []float64{2.5, 2.75, 3, 3.1, 3.25, 3.333} {
		if u := profileOf(stroke.Tangential(60*mm, other, table)).Uneven(105*mm, 20); u < uneven {
			t.Errorf("%v strokes a turn are uneven by %v, %v by %v", q, uneven, other, u)
		}
	}
	if q, u := profileOf(stroke.Held(table)).EvenestStrokes(105*mm, 20, 1, 2); q != 0 || u > 1e-9 {
		t.Errorf("a held lap: %v strokes, uneven by %v", q, u)
	}
}

func TestEvennessInWords(t *testing.T) {
	p := profileOf(stroke.Held(table))
	if got, want := p.EvenText(105*mm, 12), "after 12 turns the wear around the circle at 105.0 mm differs by "; !strings.HasPrefix(got, want) {
		t.Errorf("got %q", got)
	}
	for _, test := range []struct {
		f    func()
		want string
	}{
		{func() { p.Uneven(20*mm, 5) }, "Profile.Uneven: r is 20 mm; it must be where the lap works, between 65.0 mm and 135.0 mm"},
		{func() { p.Uneven(unit.Length(math.NaN()), 5) }, "r is NaN"},
		{func() { p.Uneven(105*mm, 0) }, "turns is 0; it must be above 0"},
		{func() { p.FewestTurns(105*mm, 0, 5) }, "wish is 0"},
		{func() { p.FewestTurns(105*mm, 0.1, 0) }, "most is 0"},
		{func() { p.EvenestStrokes(105*mm, 5, 3, 2) }, "low and high are 3 and 2"},
	} {
		if got := stop(test.f); !strings.Contains(got, test.want) {
			t.Errorf("stopped with %q, want %q in it", got, test.want)
		}
	}
}
