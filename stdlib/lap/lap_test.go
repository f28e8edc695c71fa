package lap

import (
	"math"
	"strings"
	"testing"

	"lapwright/stdlib/host"
	. "lapwright/stdlib/unit"
)

func spec() Spec { return Spec{Diameter: 100 * MM, Load: 10 * Newton} }

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

func TestImpossibleLapsAreRefusedByName(t *testing.T) {
	nan := math.NaN()
	with := func(change func(*Spec)) func() {
		return func() {
			s := spec()
			change(&s)
			Round(s)
		}
	}
	tests := []struct {
		name string
		f    func()
		want string
	}{
		{"no diameter", with(func(s *Spec) { s.Diameter = 0 }), "lap.Round: Diameter is 0 mm; it must be above 0"},
		{"negative diameter", with(func(s *Spec) { s.Diameter = -3 * MM }), "Diameter is -3 mm"},
		{"diameter not a number", with(func(s *Spec) { s.Diameter = Length(nan) }), "Diameter is NaN"},
		{"endless diameter", with(func(s *Spec) { s.Diameter = Length(math.Inf(1)) }), "Diameter is +Inf"},
		{"metres for millimetres", with(func(s *Spec) { s.Diameter = 100 * Metre }), "at most 3 m"},
		{"no load", with(func(s *Spec) { s.Load = 0 }), "Load is 0 N; it must be above 0"},
		{"lifting load", with(func(s *Spec) { s.Load = -1 }), "Load is -1 N"},
		{"load not a number", with(func(s *Spec) { s.Load = Force(nan) }), "Load is NaN"},
		{"load of tonnes", with(func(s *Spec) { s.Load = 1e5 }), "at most"},
		{"negative contact", with(func(s *Spec) { s.Contact = -0.1 }), "Contact is -0.1; it must be above 0 and at most 1"},
		{"contact in per cent", with(func(s *Spec) { s.Contact = 80 }), "Contact is 80"},
		{"contact not a number", with(func(s *Spec) { s.Contact = nan }), "Contact is NaN"},
		{"negative limit", with(func(s *Spec) { s.Limit = -1 }), "Limit is -1 Pa"},
		{"limit not a number", with(func(s *Spec) { s.Limit = Pressure(nan) }), "Limit is NaN"},
		{"absurd pressure", with(func(s *Spec) { s.Diameter, s.Load = 1*UM, 1000 }), "no pitch bears"},
		{"ring without a middle", func() { Ring(spec(), 0) }, "lap.Ring: inner is 0 mm; it must be above 0 and below the lap's diameter, 100 mm"},
		{"ring of no width", func() { Ring(spec(), 100*MM) }, "inner is 100 mm"},
		{"one petal", func() { Star(spec(), 1, 20*MM, 0.2) }, "lap.Star: petals is 1"},
		{"core too large", func() { Star(spec(), 5, 100*MM, 0.2) }, "core is 100 mm"},
		{"tip above 1", func() { Star(spec(), 5, 20*MM, 1.2) }, "tip is 1.2; it must be from 0 to 1"},
		{"one share", func() { Shaped(spec(), Share{0, 1}) }, "lap.Shaped: 1 shares are given"},
		{"shares that fall", func() { Shaped(spec(), Share{20 * MM, 1}, Share{10 * MM, 1}) }, "share 2: Radius is 10 mm; it must be at least that of the share before it, 20 mm"},
		{"share beyond the lap", func() { Shaped(spec(), Share{0, 1}, Share{60 * MM, 1}) }, "share 2: Radius is 60 mm; it must be from 0 to the lap's radius, 50 mm"},
		{"share above 1", func() { Shaped(spec(), Share{0, 2}, Share{50 * MM, 1}) }, "share 1: Share is 2"},
		{"nothing touches", func() { Shaped(spec(), Share{0, 0}, Share{50 * MM, 0}) }, "at least one must be above 0"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := stop(test.f); !strings.Contains(got, test.want) {
				t.Errorf("stopped with %q, want %q in it", got, test.want)
			}
		})
	}
}

// 1 kg on Ø200 is 0.312 kPa, 5 kg 1.561 kPa, 1 kg on Ø50 4.994 kPa (references,
// area 4, recomputed there: weight over area).
func TestPressureIsLoadOverContact(t *testing.T) {
	tests := []struct {
		diameter Length
		load     Force
		contact  float64
		want     Pressure
	}{
		{200 * MM, 1 * KGF, 1, 312.15},
		{200 * MM, 5 * KGF, 1, 1560.8},
		{50 * MM, 1 * KGF, 1, 4994.5},
		{50 * MM, 1 * KGF, 0.5, 9989},
	}
	for _, test := range tests {
		l := Round(Spec{Diameter: test.diameter, Load: test.load, Contact: test.contact})
		if got := l.Pressure(); math.Abs(float64(got/test.want)-1) > 1e-4 {
			t.Errorf("%v on %v, contact %v: %v, want %v", test.load, test.diameter, test.contact, got, test.want)
		}
	}
}

func TestPressureIsPrintedInTheUnitsOfTheWorkshop(t *testing.T) {
	// 1 psi = 6894.757 Pa, 1 g/cm² = 98.0665 Pa (ISO 80000-4).
	if got, want := PressureText(6894.757*Pascal), "6.89 kPa (1.00 psi, 70.3 g/cm²)"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// The areas are those of the shapes by elementary geometry: circle, ring, and
// the frustum ∫ share·2πt dt.
func TestAreaOfContact(t *testing.T) {
	near := func(name string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-12*want {
			t.Errorf("%s: area %v, want %v", name, got, want)
		}
	}
	disc := math.Pi * 0.05 * 0.05
	near("round", Round(spec()).Area(), disc)
	near("ring", Ring(spec(), 60*MM).Area(), disc-math.Pi*0.03*0.03)
	// Share falls from 1 at the middle to 0 at the rim: a cone, a third of the disc.
	near("pointed star", Star(spec(), 6, 0, 0).Area(), disc/3)
	near("star whose petals do not narrow", Star(spec(), 6, 20*MM, 1).Area(), disc)
	near("two rings", Shaped(spec(), Share{0, 1}, Share{10 * MM, 1}, Share{10 * MM, 0}, Share{40 * MM, 0}, Share{40 * MM, 1}, Share{50 * MM, 1}).Area(),
		math.Pi*(0.01*0.01+0.05*0.05-0.04*0.04))
	s := spec()
	s.Contact = 0.7
	near("channels", Round(s).Area(), 0.7*disc)
}

func TestShareOfContact(t *testing.T) {
	s := spec()
	s.Contact = 0.8
	star := Star(s, 6, 40*MM, 0.25)
	ring := Ring(spec(), 60*MM)
	tests := []struct {
		l    *Lap
		at   Length
		want float64
	}{
		{star, 0, 0.8}, {star, 20 * MM, 0.8}, {star, 35 * MM, 0.8 * 0.625}, {star, 50 * MM, 0.2}, {star, 51 * MM, 0},
		{ring, 29 * MM, 0}, {ring, 30 * MM, 1}, {ring, 50 * MM, 1}, {ring, 50.1 * MM, 0},
	}
	for _, test := range tests {
		if got := test.l.Share(test.at); math.Abs(got-test.want) > 1e-12 {
			t.Errorf("%v at %v: share %v, want %v", test.l, test.at, got, test.want)
		}
	}
}

func TestLapIsNamed(t *testing.T) {
	s := spec()
	if got, want := Ring(s, 20*MM).Name(), "100 mm ring lap"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	s.Name = "the small one"
	if got := Round(s).String(); got != s.Name {
		t.Errorf("got %q, want %q", got, s.Name)
	}
}

func TestWarningNamesTheLimit(t *testing.T) {
	s := spec()
	l := Round(s)
	if got := l.Warning(50 * KPa); got != "" {
		t.Errorf("without a limit: %q", got)
	}
	s.Limit = 2 * KPa
	l = Round(s)
	if got := l.Warning(l.Pressure()); got != "" {
		t.Errorf("within the limit: %q", got)
	}
	if got, want := l.Warning(2.5*KPa), "100 mm lap presses with 2.50 kPa, above its limit of 2.00 kPa: it may mark the glass"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestBandsAreACopy(t *testing.T) {
	l := Round(spec())
	l.Bands()[0].From = 7
	if got := l.Share(0); got != 1 {
		t.Errorf("the lap changed: share %v", got)
	}
}
