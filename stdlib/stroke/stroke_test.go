package stroke

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lapwright/stdlib/host"
	. "lapwright/stdlib/unit"
)

const table = 6 * RPM

// stop returns the message f stops the recipe with, "" where it does not.
func stop(f func()) (message string) {
	defer func() {
		if r := recover(); r != nil {
			message = r.(*host.Stop).Error()
		}
	}()
	f()
	return ""
}

func TestImpossibleStrokesAreRefusedByName(t *testing.T) {
	nan := math.NaN()
	tests := []struct {
		name string
		f    func()
		want string
	}{
		{"table at rest", func() { Held(0) }, "stroke.Held: table is 0 rpm; it must be above 0 and at most 600 rpm"},
		{"table backwards", func() { Held(-table) }, "table is -6 rpm"},
		{"table not a number", func() { Held(Rate(nan)) }, "table is NaN"},
		{"table in rad/s for rpm", func() { Held(1000 * RPM) }, "table is 1000 rpm"},
		{"no length", func() { Tangential(0, 3, table) }, "stroke.Tangential: length is 0 mm; it must be above 0 and at most 5 m"},
		{"negative length", func() { Radial(-1*MM, 3, table) }, "stroke.Radial: length is -1 mm"},
		{"length not a number", func() { Tangential(Length(nan), 3, table) }, "length is NaN"},
		{"radial length not a number", func() { Radial(Length(nan), 3, table) }, "length is NaN"},
		{"metres for millimetres", func() { Tangential(60*Metre, 3, table) }, "length is 60 m"},
		{"no strokes", func() { Tangential(60*MM, 0, table) }, "perTurn is 0; it must be above 0 and at most 1000"},
		{"strokes not a number", func() { Tangential(60*MM, nan, table) }, "perTurn is NaN"},
		{"ellipse of no height", func() { Elliptical(60*MM, 0, 3, table) }, "stroke.Elliptical: radial is 0 mm"},
		{"ellipse at rest", func() { Elliptical(60*MM, 20*MM, 0, table) }, "perTurn is 0"},
		{"one point", func() { Path(3, table, Point{}) }, "stroke.Path: 1 points are given; there must be from 2 to 200"},
		{"a point twice", func() { Path(3, table, Point{}, Point{}, Point{1 * MM, 0}) }, "point 2 lies on the point before it"},
		{"last point on the first", func() { Path(3, table, Point{}, Point{1 * MM, 0}, Point{}) }, "point 1 lies on the point before it"},
		{"point not a number", func() { Path(3, table, Point{}, Point{Length(nan), 0}) }, "point 2 is NaN"},
		{"path backwards", func() { Path(-3, table, Point{}, Point{1 * MM, 0}) }, "perTurn is -3"},
		{"wander negative", func() { Held(table).Wander(-1 * MM) }, "stroke.Wander: by is -1 mm"},
		{"wander not a number", func() { Held(table).Wander(Length(nan)) }, "by is NaN"},
		{"spin not a number", func() { Held(table).Spinning(Rate(nan)) }, "stroke.Spinning: rate is NaN"},
		{"steady hold", func() { Held(table).Steady() }, "stroke.Steady: the stroke is held in place; only a tangential or a radial stroke"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := stop(test.f); !strings.Contains(got, test.want) {
				t.Errorf("stopped with %q, want %q in it", got, test.want)
			}
		})
	}
}

func TestStrokesInWords(t *testing.T) {
	tests := []struct {
		s    *Stroke
		want string
	}{
		{Held(table), "held in place"},
		{Held(table).Wander(4 * MM), "held in place, wandering 4 mm in and out"},
		{Tangential(62.5*MM, 7.3, table), "tangential, 62.5 mm, 7.3 double strokes a turn"},
		{Radial(40*MM, 3, table).Steady(), "radial, 40 mm, steady, 3 double strokes a turn"},
		{Elliptical(60*MM, 20*MM, -2, table), "elliptical, 60 mm along and 20 mm in and out, 2 rounds a turn against the table"},
		{Path(2, table, Point{}, Point{10 * MM, 0}), "path of 2 points, 2 rounds a turn"},
		{Tangential(60*MM, 7.3, table).Following(), "tangential, 60 mm, 7.3 double strokes a turn, the lap following the table"},
		{Held(table).Free(), "held in place, the lap free to turn"},
		{Held(table).Spinning(-20 * RPM), "held in place, the lap spinning at -20 rpm"},
	}
	for _, test := range tests {
		if got := test.s.String(); got != test.want {
			t.Errorf("got %q, want %q", got, test.want)
		}
	}
	if got, want := Tangential(2*Inch, 3, table).Text(Inch), "tangential, 2.00 in, 3 double strokes a turn"; got != want {
		t.Errorf("in inches: got %q, want %q", got, want)
	}
}

// A sine between its ends covers them twice a period: mean speed 2L/T [D].
func TestPeriodTravelAndSpeed(t *testing.T) {
	near := func(name string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
	s := Tangential(60*MM, 7.5, table) // the table takes 10 s
	near("period", float64(s.Period()), 10/7.5)
	near("travel", float64(s.Travel()), 7.5*0.120)
	near("speed", s.MeanSpeed(), 0.09)
	near("steady speed", s.Steady().MeanSpeed(), 0.09)
	near("radial travel", float64(Radial(60*MM, 7.5, table).Travel()), 0.9)
	// A circle.
	near("circle", float64(Elliptical(60*MM, 60*MM, -1, table).Travel()), math.Pi*0.06)
	// Circumference of the ellipse with half axes 3 and 1: 4a·E(e), E from
	// Ramanujan's series to 1e-9 of it: 13.364893220555.
	near("ellipse", float64(Elliptical(6*CM, 2*CM, 1, table).Travel()), 0.13364893220555)
	near("path", float64(Path(2, table, Point{}, Point{30 * MM, 0}, Point{0, 40 * MM}).Travel()), 2*0.120)
	if p := Held(table).Period(); !math.IsInf(float64(p), 1) {
		t.Errorf("a held lap's period is %v", p)
	}
	if v := Held(table).MeanSpeed(); v != 0 {
		t.Errorf("a held lap's speed is %v", v)
	}
}

func TestTurningIsOverTheTables(t *testing.T) {
	s := Tangential(60*MM, 7, table)
	for _, test := range []struct {
		s      *Stroke
		want   float64
		geared bool
	}{
		{s, 0, true}, {s.Following(), 1, true}, {s.Free(), 1, true},
		{s.Spinning(-9 * RPM), -1.5, false}, {s.Spinning(0), 0, true}, {s.Spinning(9 * RPM).Following(), 1, true},
	} {
		if got := test.s.Turning(); math.Abs(got-test.want) > 1e-12 || test.s.Geared() != test.geared {
			t.Errorf("%v: turning %v, geared %v; want %v, %v", test.s, got, test.s.Geared(), test.want, test.geared)
		}
	}
}

// anyStroke draws a stroke of any kind.
func anyStroke(t *rapid.T) *Stroke {
	length := rapid.Float64Range(0.001, 0.3)
	q := rapid.Float64Range(0.01, 30).Draw(t, "perTurn")
	var s *Stroke
	switch rapid.IntRange(0, 6).Draw(t, "form") {
	case 0:
		s = Held(table)
	case 1:
		s = Tangential(Length(length.Draw(t, "length")), q, table)
	case 2:
		s = Radial(Length(length.Draw(t, "length")), q, table)
	case 3:
		s = Tangential(Length(length.Draw(t, "length")), q, table).Steady()
	case 4:
		s = Radial(Length(length.Draw(t, "length")), q, table).Steady()
	case 5:
		s = Elliptical(Length(length.Draw(t, "along")), Length(length.Draw(t, "in and out")), q, table)
	case 6:
		x := rapid.Float64Range(-0.2, 0.2)
		var points []Point
		for range rapid.IntRange(2, 5).Draw(t, "points") {
			points = append(points, Point{Length(x.Draw(t, "x")), Length(x.Draw(t, "y"))})
		}
		for i, p := range points {
			if p == points[(i+1)%len(points)] {
				t.Skip("a point twice")
			}
		}
		s = Path(q, table, points...)
	}
	return s.Wander(Length(rapid.SampledFrom([]float64{0, 0.003, 0.02}).Draw(t, "wander")))
}

// Its wander takes the lap over the axis where the path crosses the level of the axis,
// between its corners.
func TestReachOfAWanderingPathGoesDownToTheAxis(t *testing.T) {
	s := Path(1, table, Point{0.2, 0.2}, Point{-0.2, 0.2}, Point{0.015625, -0.0625}).Wander(0.02)
	if least, _ := s.Reach(0.05); least != 0 {
		t.Errorf("comes within %v of the axis, want 0", least)
	}
}

func TestReachIsThatOfThePlacesOnTheStroke(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStroke(t)
		at := rapid.SampledFrom([]float64{0, 0.01, 0.05, 0.118}).Draw(t, "at")
		low, high := s.Reach(Length(at))
		seenLow, seenHigh := math.Inf(1), 0.0
		const n = 200
		shifts := []float64{-s.wander, s.wander}
		if s.wander > 0 {
			for i := range 40 {
				shifts = append(shifts, s.wander*(2*float64(i)/39-1))
			}
		}
		for _, leg := range s.Legs() {
			for i := range n + 1 {
				x, y := leg.Place(leg.End * float64(i) / n)
				if s.form == held {
					shifts = []float64{0} // its wander is the leg
				}
				for _, shift := range shifts {
					d := math.Hypot(at+shift+x, y)
					seenLow, seenHigh = min(seenLow, d), max(seenHigh, d)
				}
			}
		}
		// Places lie within the reach, and come as near its ends as their spacing lets them.
		if seenLow < float64(low)-1e-9 || seenHigh > float64(high)+1e-9 {
			t.Fatalf("%v at %v: places from %v to %v, reach %v to %v", s, at, seenLow, seenHigh, low, high)
		}
		if seenLow > float64(low)+0.004 || seenHigh < float64(high)-0.004 {
			t.Fatalf("%v at %v: places only from %v to %v, reach %v to %v", s, at, seenLow, seenHigh, low, high)
		}
	})
}

func TestLegsShareTheWholeTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStroke(t)
		sum, travel := 0.0, 0.0
		for _, leg := range s.Legs() {
			sum += leg.Share
			if leg.Curved {
				continue
			}
			// Way in a turn: speed for each radian, times 2π, times the share.
			travel += leg.Share * math.Hypot(leg.XA, leg.YA) * math.Abs(leg.Speed) * 2 * math.Pi
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Fatalf("%v: shares add up to %v", s, sum)
		}
		if want := float64(s.Travel()); travel != 0 && math.Abs(travel-want) > 1e-9*want {
			t.Fatalf("%v: the legs travel %v, the stroke %v", s, travel, want)
		}
	})
}

// Legs and Motion describe one stroke in two ways: means over the time agree, and
// Motion's velocity is the slope of its place.
func TestMotionIsThatOfTheLegs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStroke(t).Wander(0)
		const n = 4000
		var a, b [3]float64
		for i := range n {
			m := s.Motion((float64(i) + 0.5) / n)
			for k, v := range []float64{m.X * m.X, m.Y * m.Y, m.UX*m.UX + m.UY*m.UY} {
				a[k] += v / n
			}
		}
		for _, l := range s.Legs() {
			for i := range n {
				f := l.End * (float64(i) + 0.5) / n
				x, y := l.Place(f)
				ux, uy := l.XA*l.Speed, l.YA*l.Speed
				if l.Curved {
					ux, uy = -ux*math.Sin(f), uy*math.Cos(f)
				}
				for k, v := range []float64{x * x, y * y, ux*ux + uy*uy} {
					b[k] += v * l.Share / n
				}
			}
		}
		for k := range a {
			if math.Abs(a[k]-b[k]) > 2e-3*(b[k]+1e-9) {
				t.Fatalf("%v: mean square %d is %v by Motion, %v by the legs", s, k, a[k], b[k])
			}
		}
		if s.form == held {
			return
		}
		phase, d := rapid.Float64Range(0, 3).Draw(t, "phase"), 1e-7
		p, m, q := s.Motion(phase-d), s.Motion(phase), s.Motion(phase+d)
		perPhase := 2 * math.Pi / s.perTurn // radians of the table in a round
		ux, uy := (q.X-p.X)/(2*d)/perPhase, (q.Y-p.Y)/(2*d)/perPhase
		if (q.UX-p.UX)*(q.UX-p.UX)+(q.UY-p.UY)*(q.UY-p.UY) > 1e-6*(m.UX*m.UX+m.UY*m.UY) {
			return // at a corner
		}
		if size := math.Hypot(m.UX, m.UY); math.Hypot(ux-m.UX, uy-m.UY) > 1e-4*size+1e-6 {
			t.Fatalf("%v at phase %v: velocity (%v, %v), slope of the place (%v, %v)", s, phase, m.UX, m.UY, ux, uy)
		}
	})
}

func TestWithPerTurn(t *testing.T) {
	if got := Tangential(60*MM, 7, table).WithPerTurn(7.3).PerTurn(); got != 7.3 {
		t.Errorf("got %v", got)
	}
	if got := Held(table).WithPerTurn(3).PerTurn(); got != 0 {
		t.Errorf("a held lap strokes %v times a turn", got)
	}
	if got := stop(func() { Radial(60*MM, 7, table).WithPerTurn(-1) }); !strings.Contains(got, "stroke.WithPerTurn: perTurn is -1") {
		t.Errorf("stopped with %q", got)
	}
}

func TestExtent(t *testing.T) {
	r, a := Tangential(60*MM, 3, table).Wander(4 * MM).Extent()
	if r != 4*MM || a != 30*MM {
		t.Errorf("tangential: %v in and out, %v along", r, a)
	}
	r, a = Path(3, table, Point{-20 * MM, 0}, Point{10 * MM, -30 * MM}).Extent()
	if r != 20*MM || a != 30*MM {
		t.Errorf("path: %v in and out, %v along", r, a)
	}
	if got := Path(3, table, Point{0, 0}, Point{30 * MM, 40 * MM}, Point{1 * MM, 1 * MM}).Length(); got != 50*MM {
		t.Errorf("path's length is %v", got)
	}
}
