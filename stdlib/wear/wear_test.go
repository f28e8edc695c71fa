package wear

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
)

const mm = unit.MM

func blank() *mirror.Mirror {
	return mirror.New(mirror.Spec{Diameter: 300 * mm, FocalLength: 1500 * mm})
}

func holed() *mirror.Mirror {
	return mirror.New(mirror.Spec{Diameter: 300 * mm, FocalLength: 1500 * mm, Hole: 80 * mm})
}

func lapOf(diameter unit.Length) *lap.Lap {
	return lap.Round(lap.Spec{Diameter: diameter, Load: 10})
}

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

func TestImpossibleSettingsAreRefusedByName(t *testing.T) {
	held := stroke.Held(table)
	l := lapOf(70 * mm)
	for _, test := range []struct {
		name string
		m    *mirror.Mirror
		s    Setting
		want string
	}{
		{"no mirror", nil, Setting{l, held, 118 * mm, 0}, "wear.New: the mirror is missing"},
		{"no lap", blank(), Setting{nil, held, 118 * mm, 0}, "Lap is missing"},
		{"no stroke", blank(), Setting{l, nil, 118 * mm, 0}, "Stroke is missing"},
		{"negative radius", blank(), Setting{l, held, -1 * mm, 0}, "At is -1 mm; it must be from 0 to the mirror's diameter, 300.0 mm"},
		{"radius not a number", blank(), Setting{l, held, unit.Length(math.NaN()), 0}, "At is NaN"},
		{"lap beyond sense", blank(), Setting{lapOf(610 * mm), held, 0, 0}, "Lap is 610.0 mm wide; it must be at most twice as wide as the mirror, 600.0 mm"},
		{"hand beside the lap", blank(), Setting{l, held, 100 * mm, 35 * mm}, "Press is 35 mm; the hand must press within the lap, less than 35.0 mm from its middle"},
		{"hand not a number", blank(), Setting{l, held, 100 * mm, unit.Length(math.NaN())}, "Press is NaN"},
		{"middle beyond the rim", blank(), Setting{l, held, 152 * mm, 0},
			"the 70 mm lap tips off the rim: its middle comes to 152.0 mm from the axis and it overhangs by 37.0 mm; it balances only while it overhangs by less than 35.0 mm"},
		{"stroke beyond the rim", blank(), Setting{l, stroke.Tangential(100*mm, 7, table), 145 * mm, 0},
			"the 70 mm lap tips off the rim: its middle comes to 153.4 mm from the axis and it overhangs by 38.4 mm; it balances only while it overhangs by less than 35.0 mm"},
		{"wander beyond the rim", blank(), Setting{l, held.Wander(10 * mm), 145 * mm, 0}, "tips off the rim"},
		{"pressed outward near the rim", blank(), Setting{l, held, 145 * mm, 8 * mm}, "tips off the rim"},
		{"a ring by its hollow", blank(), Setting{lap.Ring(lap.Spec{Diameter: 100 * mm, Load: 10}, 80*mm), held, 148 * mm, 0},
			"it balances only while it overhangs by less than 44.6 mm"}, // √(150²-40²)+50-150
		{"into the hole", holed(), Setting{lapOf(50 * mm), held, 30 * mm, 0},
			"the 50 mm lap tips into the hole: its middle comes to 30.0 mm from the axis; it balances only while that is more than 31.2 mm"}, // √(40²-25²)
		{"within the hole", holed(), Setting{lapOf(50 * mm), held, 0, 0}, "tips into the hole"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := stop(func() { New(test.m, test.s) }); !strings.Contains(got, test.want) {
				t.Errorf("stopped with %q, want %q in it", got, test.want)
			}
			if got := test.s.Fault(test.m); !strings.Contains("wear.New: "+got, test.want) {
				t.Errorf("fault %q, want %q in it", got, test.want)
			}
		})
	}
	if got := (Setting{l, held, 118 * mm, 0}).Fault(blank()); got != "" {
		t.Errorf("fault %q with a setting that works", got)
	}
	got := stop(func() {
		All(blank(), []Setting{{l, held, 118 * mm, 0}, {l, held, 200 * mm, 0}})
	})
	if want := "wear.All: setting 2: the 70 mm lap tips off the rim"; !strings.HasPrefix(got, want) {
		t.Errorf("stopped with %q, want %q", got, want)
	}
}

// shop draws a setting of the shop that works on blank().
func shop(t *rapid.T) Setting {
	d := unit.Length(rapid.Float64Range(0.040, 0.150).Draw(t, "lap"))
	s := lap.Spec{Diameter: d, Load: unit.Force(rapid.Float64Range(2, 30).Draw(t, "load"))}
	length := unit.Length(rapid.Float64Range(0.020, 0.080).Draw(t, "length"))
	q := rapid.Float64Range(0.2, 12).Draw(t, "perTurn")
	rpm := unit.Rate(rapid.Float64Range(4, 10).Draw(t, "table")) * unit.RPM
	var st *stroke.Stroke
	switch rapid.IntRange(0, 4).Draw(t, "stroke") {
	case 0:
		st = stroke.Held(rpm)
	case 1:
		st = stroke.Tangential(length, q, rpm)
	case 2:
		st = stroke.Radial(length, q, rpm)
	case 3:
		st = stroke.Elliptical(length, length/3, q, rpm)
	case 4:
		st = stroke.Tangential(length, q, rpm).Steady()
	}
	l := lap.Round(s)
	switch rapid.IntRange(0, 2).Draw(t, "form") {
	case 1:
		l = lap.Ring(s, d/3)
	case 2:
		l = lap.Star(s, 5, d/4, 0.3)
	}
	switch rapid.IntRange(0, 2).Draw(t, "turning") {
	case 1:
		st = st.Following()
	case 2:
		st = st.Spinning(unit.Rate(rapid.Float64Range(-2, 3).Draw(t, "spin")) * rpm)
	}
	at := unit.Length(rapid.Float64Range(0.005, 0.140).Draw(t, "at"))
	if _, far := st.Reach(at); far > 142*mm {
		t.Skip("near tipping")
	}
	return Setting{Lap: l, Stroke: st, At: at}
}

func TestDepthsAreWhatPrestonsLawAllows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := blank()
		s := shop(t)
		p := New(m, s)
		h := p.PerTurn()
		_, peak := p.Peak()
		e := p.Edges()
		for i, r := range figure.Grid(m) {
			if !(h[i] >= 0) {
				t.Fatalf("%v: depth %v at %v", s, h[i], r)
			}
			off := r < float64(e.Work.Inner) || r > float64(e.Work.Outer)
			if off && h[i] != 0 {
				t.Fatalf("%v: depth %v at %v, where the lap does not reach", s, h[i], r)
			}
		}

		// Doubling the load doubles the depth (Preston).
		spec := s.Lap.Spec()
		twice := s
		spec.Load *= 2
		twice.Lap = lap.Shaped(lap.Spec{Diameter: spec.Diameter, Load: spec.Load}, shares(s.Lap)...)
		for i, h2 := range New(m, twice).PerTurn() {
			if math.Abs(h2-2*h[i]) > 1e-9*peak {
				t.Fatalf("%v: depth %v, with twice the load %v", s, h[i], h2)
			}
		}
		// Channels that lower the contact evenly change the pressure, not the wear.
		spec = s.Lap.Spec()
		thin := s
		thin.Lap = lap.Shaped(lap.Spec{Diameter: spec.Diameter, Load: spec.Load, Contact: 0.6}, shares(s.Lap)...)
		for i, h2 := range New(m, thin).PerTurn() {
			if math.Abs(h2-h[i]) > 1e-9*peak {
				t.Fatalf("%v: depth %v, with channels %v", s, h[i], h2)
			}
		}
	})
}

// shares writes a lap of full contact by its shares.
func shares(l *lap.Lap) (list []lap.Share) {
	for _, b := range l.Bands() {
		list = append(list, lap.Share{Radius: b.Inner, Share: b.From}, lap.Share{Radius: b.Outer, Share: b.To})
	}
	return list
}

// With all lengths λ times as long, pressures fall by λ² and ways grow by λ: the
// depth in a turn falls by λ [D].
func TestDepthScalesWithTheShop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(0.040, 0.150).Draw(t, "lap")
		length := rapid.Float64Range(0.020, 0.080).Draw(t, "length")
		q := rapid.Float64Range(0.2, 12).Draw(t, "perTurn")
		at := rapid.Float64Range(0.005, 0.130).Draw(t, "at")
		const scale = 3.7
		sweepOf := func(k float64) *sweep {
			f := mustFace(lap.Round(lap.Spec{Diameter: unit.Length(k * d), Load: 10}), 0)
			return newSweep(glass{rim: 0.150 * k}, f, stroke.Tangential(unit.Length(k*length), q, table), k*at, 1)
		}
		one, other := sweepOf(1), sweepOf(scale)
		r := rapid.Float64Range(0, 0.150).Draw(t, "r")
		a, b := one.depth(r), other.depth(scale*r)
		if math.Abs(a-scale*b) > 1e-6*one.depth(at) {
			t.Fatalf("depth %v, at %v times the size %v", a, scale, b)
		}
	})
}

func TestGearedWearDoesNotDependOnTheTablesRate(t *testing.T) {
	profile := func(s *stroke.Stroke) []float64 {
		return New(blank(), Setting{Lap: lapOf(70 * mm), Stroke: s, At: 118 * mm}).PerTurn()
	}
	slow, fast := stroke.Tangential(60*mm, 7.3, 4*unit.RPM), stroke.Tangential(60*mm, 7.3, 10*unit.RPM)
	if diff := cmp.Diff(profile(slow), profile(fast)); diff != "" {
		t.Error("a geared stroke: ", diff)
	}
	if diff := cmp.Diff(profile(slow.Following()), profile(fast.Following())); diff != "" {
		t.Error("following: ", diff)
	}
	if cmp.Equal(profile(slow.Spinning(20*unit.RPM)), profile(fast.Spinning(20*unit.RPM))) {
		t.Error("a lap that spins at its own rate wears the same at any rate of the table")
	}
	// In proportion again it does.
	a, b := profile(slow.Spinning(20*unit.RPM)), profile(fast.Spinning(50*unit.RPM))
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-9*slices.Max(a) {
			t.Fatalf("in proportion: %v and %v", a[i], b[i])
		}
	}
}

func TestLimits(t *testing.T) {
	m := blank()
	l := lapOf(70 * mm)
	same := func(name string, a, b Setting, tolerance float64) {
		t.Helper()
		pa, pb := New(m, a).PerTurn(), New(m, b).PerTurn()
		for i := range pa {
			if math.Abs(pa[i]-pb[i]) > tolerance*slices.Max(pb) {
				t.Errorf("%s: %v and %v at grid radius %d", name, pa[i], pb[i], i)
				return
			}
		}
	}
	held := Setting{Lap: l, Stroke: stroke.Held(table), At: 100 * mm}
	with := func(s *stroke.Stroke) Setting { return Setting{Lap: l, Stroke: s, At: 100 * mm} }
	// A short stroke, slow enough, is none. At the edges the depth goes like a square
	// root, of a width of 1 µm over 35 mm.
	same("a stroke of no length", with(stroke.Tangential(1*unit.UM, 1, table)), held, 2e-3)
	same("a spin of no rate", with(stroke.Held(table).Spinning(1e-9*unit.RPM)), held, 1e-6)
	same("a spin of the table's rate", with(stroke.Held(table).Spinning(table)), with(stroke.Held(table).Following()), 1e-12)
	same("a wander of no size", with(stroke.Held(table).Wander(1*unit.UM)), held, 2e-3)
	// A slow stroke is a held lap in all its places, each for its share of the time.
	slow := New(m, with(stroke.Tangential(40*mm, 1e-9, table))).PerTurn()
	mean := make([]float64, len(slow))
	const n = 400
	for i := range n {
		y := 20 * mm * unit.Length(math.Sin(2*math.Pi*(float64(i)+0.5)/n))
		s := held
		s.At = unit.Length(math.Hypot(0.1, float64(y)))
		for j, h := range New(m, s).PerTurn() {
			mean[j] += h / n
		}
	}
	for i := range mean {
		near(t, "a slow stroke", slow[i], mean[i], 2e-3*slices.Max(mean))
	}
	// A lap of no size takes off its load times its way: volume 2πcF in a turn.
	p := New(m, Setting{Lap: lapOf(1 * mm), Stroke: stroke.Held(table), At: 100 * mm})
	near(t, "volume of a small lap", p.Volume(), 2*math.Pi*0.1*10, 1e-4)
}

func TestPathsWearAsTheStrokesTheyAre(t *testing.T) {
	m := blank()
	point := func(r, a unit.Length) stroke.Point { return stroke.Point{Radial: r, Tangential: a} }
	for _, test := range []struct {
		name string
		a, b *stroke.Stroke
	}{
		{"tangential", stroke.Path(5.3, table, point(0, -30*mm), point(0, 30*mm)), stroke.Tangential(60*mm, 5.3, table).Steady()},
		{"radial", stroke.Path(5.3, table, point(-20*mm, 0), point(20*mm, 0)), stroke.Radial(40*mm, 5.3, table).Steady()},
		{"round a corner more", stroke.Path(5.3, table, point(0, -30*mm), point(0, 10*mm), point(0, 30*mm), point(0, 10*mm)), stroke.Tangential(60*mm, 5.3, table).Steady()},
		// Mirrored at the radius and run the other way round, a path wears alike.
		{"mirrored", stroke.Path(2.1, table, point(0, 0), point(20*mm, 30*mm), point(-10*mm, 25*mm)).Spinning(9 * unit.RPM),
			stroke.Path(2.1, table, point(-10*mm, -25*mm), point(20*mm, -30*mm), point(0, 0)).Spinning(9 * unit.RPM)},
	} {
		for _, at := range []unit.Length{20 * mm, 100 * mm, 125 * mm} {
			a := New(m, Setting{Lap: lapOf(70 * mm), Stroke: test.a, At: at}).PerTurn()
			b := New(m, Setting{Lap: lapOf(70 * mm), Stroke: test.b, At: at}).PerTurn()
			for i := range a {
				if math.Abs(a[i]-b[i]) > 2e-4*slices.Max(b) {
					t.Errorf("%s at %v: %v and %v at grid radius %d", test.name, at, a[i], b[i], i)
					break
				}
			}
		}
	}
}

// A free lap turns so that friction takes the least power: at the table's rate,
// by the argument in package stroke. Power is the volume the lap wears.
func TestFollowingTakesTheLeastPower(t *testing.T) {
	m := blank()
	for _, at := range []unit.Length{40 * mm, 90 * mm, 125 * mm} {
		power := func(turning float64) float64 {
			s := stroke.Tangential(40*mm, 2.7, table).Spinning(unit.Rate(turning) * table)
			return New(m, Setting{Lap: lapOf(70 * mm), Stroke: s, At: at}).Volume()
		}
		for _, d := range []float64{0.1, 0.5, 2} {
			if here, less, more := power(1), power(1-d), power(1+d); here >= less || here >= more {
				t.Errorf("at %v: power %v, %v slower, %v faster", at, here, less, more)
			}
		}
		const d = 1e-3
		if slope := (power(1+d) - power(1-d)) / (2 * d) / power(1); math.Abs(slope) > 1e-4 {
			t.Errorf("at %v: the power has slope %v at the table's rate", at, slope)
		}
	}
}

func TestFreeLapTurnsAsFrictionLetsIt(t *testing.T) {
	m := blank()
	s := Setting{Lap: lapOf(70 * mm), Stroke: stroke.Tangential(40*mm, 2.7, table).Free(), At: 90 * mm}
	if got := New(m, s).Turning(); got != 1 {
		t.Errorf("pressed at its middle a free lap turns at %v of the table's rate", got)
	}
	// Pressed off its middle it takes the rate at which the power, and so the volume,
	// is least: the torque is the power's slope.
	for _, press := range []unit.Length{-6 * mm, 4 * mm, 8 * mm} {
		s.Press = press
		p := New(m, s)
		power := func(turning float64) float64 {
			fixed := s
			fixed.Stroke = stroke.Tangential(40*mm, 2.7, table).Spinning(unit.Rate(turning) * table)
			return New(m, fixed).Volume()
		}
		w := p.Turning()
		for _, d := range []float64{0.03, 0.3} {
			if here, less, more := power(w), power(w-d), power(w+d); here >= less || here >= more {
				t.Errorf("pressed at %v it turns at %v: power %v, %v slower, %v faster", press, w, here, less, more)
			}
		}
		if math.Abs(w-1) < 0.01 {
			t.Errorf("pressed at %v it still turns at %v", press, w)
		}
	}
}

func TestAllGivesWhatNewGivesOnAnyNumberOfProcessors(t *testing.T) {
	m := blank()
	rng := rand.New(rand.NewPCG(7, 8))
	var settings []Setting
	for i := range 60 {
		kind := []string{"tangential", "overhanging", "radial", "held wandering"}[i%4]
		s, b, at := cases(kind, rng)
		settings = append(settings, Setting{Lap: lapOf(unit.Length(2 * b)), Stroke: s, At: unit.Length(at)})
	}
	run := func(processors int) (all [][]float64) {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		for _, p := range All(m, settings) {
			all = append(all, p.PerTurn())
		}
		return all
	}
	one := run(1)
	if diff := cmp.Diff(one, run(2)); diff != "" {
		t.Error("one and two processors: ", diff)
	}
	if diff := cmp.Diff(one, run(5)); diff != "" {
		t.Error("one and five processors: ", diff)
	}
	for i, s := range settings {
		if !slices.Equal(New(m, s).PerTurn(), one[i]) {
			t.Errorf("New and All differ for %v", s)
		}
	}
	if got := All(m, nil); len(got) != 0 {
		t.Errorf("of no settings came %d profiles", len(got))
	}
}

func TestReckoningAllocatesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	radii := figure.Grid(blank())
	dst := make([]float64, len(radii))
	for _, kind := range []string{"tangential", "overhanging", "elliptical", "wandering"} {
		s, b, at := cases(kind, rng)
		sw := newSweep(glass{rim: 0.150}, round(b), s, at, 1)
		var c curves
		sw.depths(dst, radii, &c)
		if n := testing.AllocsPerRun(3, func() { sw.depths(dst, radii, &c) }); n != 0 {
			t.Errorf("%s: %v allocations a profile", kind, n)
		}
	}
}

func TestDepthOfAProfile(t *testing.T) {
	m := holed()
	p := New(m, Setting{Lap: lapOf(70 * mm), Stroke: stroke.Tangential(60*mm, 7.3, table), At: 118 * mm})
	grid := figure.Grid(m)
	_, peak := p.Peak()
	for i, r := range grid {
		near(t, "on the grid", p.At(unit.Length(r)), p.PerTurn()[i], 1e-4*peak)
	}
	if got := p.At(39 * mm); got != 0 {
		t.Errorf("within the hole: %v", got)
	}
	if got := p.At(151 * mm); got != 0 {
		t.Errorf("beyond the rim: %v", got)
	}
	near(t, "depth of 40 turns", float64(p.Depth(118*mm, 5e-13, 40)), 40*5e-13*p.At(118*mm), 1e-20)
	if got := stop(func() { p.At(unit.Length(math.NaN())) }); !strings.Contains(got, "r is NaN") {
		t.Errorf("stopped with %q", got)
	}
	h := p.PerTurn()
	h[0] = 7
	if p.PerTurn()[0] == 7 {
		t.Error("PerTurn hands out the profile's own slice")
	}
}

// A lap that overhangs wears right up to the rim.
func TestWearReachesTheRim(t *testing.T) {
	m := blank()
	for _, s := range []*stroke.Stroke{stroke.Held(table), stroke.Held(table).Spinning(20 * unit.RPM), stroke.Tangential(40*mm, 3, table)} {
		p := New(m, Setting{Lap: lapOf(70 * mm), Stroke: s, At: 125 * mm})
		h := p.PerTurn()
		if last, before := h[len(h)-1], h[len(h)-2]; !(last > 0.9*before && last < 1.1*before) || math.Abs(last-p.At(m.Clear())) > 1e-9*last {
			t.Errorf("%v: %v at the rim, %v before, %v reckoned", s, last, before, p.At(m.Clear()))
		}
	}
}

func TestContact(t *testing.T) {
	m := blank()
	l := lap.Round(lap.Spec{Name: "small", Diameter: 40 * mm, Load: 10, Contact: 0.8, Limit: 12 * unit.KPa})
	inside := New(m, Setting{Lap: l, Stroke: stroke.Tangential(40*mm, 3, table), At: 100 * mm})
	c := inside.Contact()
	near(t, "mean inside", float64(c.Mean), float64(l.Pressure()), 1e-9*float64(l.Pressure()))
	near(t, "greatest inside", float64(c.Greatest), float64(l.Pressure()), 1e-9*float64(l.Pressure()))
	if w := inside.Warnings(); c.Lost || len(w) != 0 {
		t.Errorf("inside: lost %v, warnings %q", c.Lost, w)
	}
	// 10 N on 0.8 of Ø40 is 9.947 kPa; a fifth of the width over a straight edge makes
	// 1.773 of it at the edge (area 6), over a round one a little more.
	over := New(m, Setting{Lap: l, Stroke: stroke.Held(table), At: 138 * mm})
	c = over.Contact()
	if r := float64(c.Greatest / l.Pressure()); math.Abs(r-1.773) > 0.1 {
		t.Errorf("at the edge %v of the nominal pressure", r)
	}
	if w := over.Warnings(); len(w) != 1 || !strings.Contains(w[0], "small presses with") || !strings.Contains(w[0], "at the edge where it presses most") {
		t.Errorf("warnings %q", w)
	}
	far := New(m, Setting{Lap: l, Stroke: stroke.Held(table), At: 143 * mm})
	if w := far.Warnings(); !far.Contact().Lost || len(w) != 2 || !strings.Contains(w[1], "loses contact") {
		t.Errorf("far over: lost %v, warnings %q", far.Contact().Lost, w)
	}
}

func TestWarningWhereTheTablesRateCounts(t *testing.T) {
	s := stroke.Held(table).Spinning(20 * unit.RPM)
	w := New(blank(), Setting{Lap: lapOf(70 * mm), Stroke: s, At: 100 * mm}).Warnings()
	if want := "the lap spins at a rate of its own: the wear in a turn holds for the table at 6 rpm only"; len(w) != 1 || w[0] != want {
		t.Errorf("got %q, want %q", w, want)
	}
}

// Any setting that is not refused gives depths that can be: no less than nothing,
// no more than the greatest pressure on the fastest way all around.
func TestNoSettingMakesNonsense(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := blank()
		if rapid.Bool().Draw(t, "hole") {
			m = holed()
		}
		length := func(name string, lo, hi float64) unit.Length {
			return unit.Length(rapid.Float64Range(lo, hi).Draw(t, name))
		}
		d := length("lap", 0.005, 0.35)
		spec := lap.Spec{Diameter: d, Load: 10, Contact: rapid.Float64Range(0.1, 1).Draw(t, "contact")}
		l := lap.Round(spec)
		switch rapid.IntRange(0, 3).Draw(t, "form") {
		case 1:
			l = lap.Ring(spec, d*unit.Length(rapid.Float64Range(0.05, 0.95).Draw(t, "inner")))
		case 2:
			l = lap.Star(spec, 6, d*unit.Length(rapid.Float64Range(0, 0.9).Draw(t, "core")), rapid.Float64Range(0, 1).Draw(t, "tip"))
		case 3:
			l = lap.Shaped(spec, lap.Share{Radius: d / 8, Share: 0.3}, lap.Share{Radius: d / 4, Share: 0}, lap.Share{Radius: d / 3, Share: 0}, lap.Share{Radius: d / 3, Share: 1}, lap.Share{Radius: d / 2, Share: 0.5})
		}
		q := rapid.SampledFrom([]float64{1e-6, 0.1, 1, 3.3, 11, 60}).Draw(t, "perTurn")
		a, b := length("a", 1e-5, 0.2), length("b", 1e-5, 0.2)
		st := []*stroke.Stroke{
			stroke.Held(table), stroke.Tangential(a, q, table), stroke.Tangential(a, q, table).Steady(), stroke.Radial(a, q, table),
			stroke.Radial(a, q, table).Steady(), stroke.Elliptical(a, b, q, table), stroke.Elliptical(a, a, -q, table),
			stroke.Path(q, table, stroke.Point{}, stroke.Point{Radial: a}, stroke.Point{Radial: b / 2, Tangential: -a}),
		}[rapid.IntRange(0, 7).Draw(t, "stroke")]
		st = st.Wander(rapid.SampledFrom([]unit.Length{0, 0, 1 * mm, 20 * mm}).Draw(t, "wander"))
		st = []*stroke.Stroke{st, st.Following(), st.Spinning(-30 * unit.RPM), st.Spinning(5.9 * unit.RPM)}[rapid.IntRange(0, 3).Draw(t, "turning")]
		s := Setting{
			Lap: l, Stroke: st,
			At:    rapid.SampledFrom([]unit.Length{0, 10 * mm, d / 2, 100 * mm, 150*mm - d/2, 140 * mm, 149 * mm}).Draw(t, "at"),
			Press: d * rapid.SampledFrom([]unit.Length{0, 0, 0.1, -0.3}).Draw(t, "press"),
		}
		if s.At < 0 || s.Fault(m) != "" {
			t.Skip("refused")
		}
		p := New(m, s)
		c := p.Contact()
		if !(c.Mean > 0 && c.Greatest >= c.Mean*0.999) {
			t.Fatalf("%v: contact %+v", s, c)
		}
		fastest := float64(m.Rim())*(1+math.Abs(1-st.Turning())+math.Abs(st.Turning())) + 2*math.Pi*float64(st.Travel())
		for i, h := range p.PerTurn() {
			if !(h >= 0 && h <= 2*math.Pi*float64(c.Greatest)*1.01*fastest) {
				t.Fatalf("%v: depth %v at grid radius %d; greatest pressure %v", s, h, i, c.Greatest)
			}
		}
	})
}

func TestEdgesInWords(t *testing.T) {
	l := lapOf(70 * mm)
	still, moved := stroke.Held(table), stroke.Tangential(60*mm, 7.3, table)
	inch := mirror.New(mirror.Spec{Diameter: 12 * unit.Inch, FocalLength: 60 * unit.Inch, Shop: unit.Inch})
	for _, test := range []struct {
		m    *mirror.Mirror
		s    Setting
		want string
	}{
		{blank(), Setting{l, still, 103 * mm, 0}, "from 68.0 mm to 138.0 mm; stays 12.0 mm inside the rim; stays 68.0 mm clear of the centre"},
		{blank(), Setting{l, still, 123 * mm, 0}, "from 88.0 mm to 158.0 mm; overhangs the rim by 8.0 mm (0.31 in); stays 88.0 mm clear of the centre"},
		{blank(), Setting{l, still, 115 * mm, 0}, "from 80.0 mm to 150.0 mm; is tangent to the rim; stays 80.0 mm clear of the centre"},
		// √(118²+30²) = 121.754.
		{blank(), Setting{l, moved, 118 * mm, 0}, "from 83.0 mm to 153.0 mm at rest, 83.0 mm to 156.8 mm at work; overhangs the rim by 6.8 mm (0.27 in); stays 83.0 mm clear of the centre"},
		{blank(), Setting{l, still, 20 * mm, 0}, "from 15.0 mm beyond the centre to 55.0 mm; stays 95.0 mm inside the rim; covers the centre"},
		{blank(), Setting{l, moved, 20 * mm, 0}, "from 15.0 mm beyond the centre to 55.0 mm at rest, 15.0 mm beyond the centre to 71.1 mm at work; stays 78.9 mm inside the rim; covers the centre at times"},
		{blank(), Setting{l, still, 35 * mm, 0}, "from 0.0 mm to 70.0 mm; stays 80.0 mm inside the rim; is tangent to the centre"},
		{holed(), Setting{l, still, 70 * mm, 0}, "from 35.0 mm to 105.0 mm; stays 45.0 mm inside the rim; overhangs the hole by 5.0 mm (0.20 in)"},
		{holed(), Setting{l, still, 80 * mm, 0}, "from 45.0 mm to 115.0 mm; stays 35.0 mm inside the rim; stays 5.0 mm clear of the hole"},
		{inch, Setting{lapOf(3 * unit.Inch), still, 5 * unit.Inch, 0}, "from 3.50 in to 6.50 in; overhangs the rim by 0.50 in (12.7 mm); stays 3.50 in clear of the centre"},
		{inch, Setting{lapOf(3 * unit.Inch), still, 4 * unit.Inch, 0}, "from 2.50 in to 5.50 in; stays 0.50 in inside the rim; stays 2.50 in clear of the centre"},
	} {
		if got := EdgesOf(test.m, test.s).String(); got != test.want {
			t.Errorf("%v:\n got %s\nwant %s", test.s, got, test.want)
		}
	}
	if got := New(blank(), Setting{l, moved, 118 * mm, 0}).Edges(); got != EdgesOf(blank(), Setting{l, moved, 118 * mm, 0}) {
		t.Errorf("a profile's edges are %v", got)
	}
	if got := stop(func() { EdgesOf(blank(), Setting{l, still, 200 * mm, 0}) }); !strings.Contains(got, "wear.EdgesOf: the 70 mm lap tips off the rim") {
		t.Errorf("stopped with %q", got)
	}
}

func TestSettingInWords(t *testing.T) {
	s := Setting{Lap: lapOf(70 * mm), Stroke: stroke.Tangential(60*mm, 7.3, table), At: 118 * mm, Press: -4 * mm}
	if got, want := s.String(), "70 mm lap at 118.0 mm, tangential, 60 mm, 7.3 double strokes a turn, pressed 4.0 mm inward of its middle"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A bevel does not touch: the worked face ends where it begins.
func TestBevelIsNotWorked(t *testing.T) {
	bevelled := mirror.New(mirror.Spec{Diameter: 304 * mm, FocalLength: 1500 * mm, Bevel: 2 * mm})
	s := Setting{Lap: lapOf(70 * mm), Stroke: stroke.Held(table), At: 130 * mm}
	if a, b := New(bevelled, s), New(blank(), s); !slices.Equal(a.PerTurn(), b.PerTurn()) || a.Edges().RimText() != b.Edges().RimText() {
		t.Error("a bevel of 2 mm on 304 mm is not as no bevel on 300 mm")
	}
}

// Pressing beside the middle shifts the wear that way and leaves the load.
func TestPressingOutwardWearsOutward(t *testing.T) {
	m := blank()
	s := Setting{Lap: lapOf(70 * mm), Stroke: stroke.Tangential(40*mm, 3, table), At: 90 * mm}
	middle := New(m, s)
	s.Press = 6 * mm
	outward := New(m, s)
	if a, b := outward.At(115*mm), middle.At(115*mm); a <= b {
		t.Errorf("outside: %v pressed outward, %v in the middle", a, b)
	}
	if a, b := outward.At(65*mm), middle.At(65*mm); a >= b {
		t.Errorf("inside: %v pressed outward, %v in the middle", a, b)
	}
}
