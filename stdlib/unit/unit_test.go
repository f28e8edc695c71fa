package unit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestUnitsAreThoseOfTheStandards(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
		rel       float64
	}{
		// The international inch, 25.4 mm: ISO 80000-3:2006, annex C [from memory].
		{"inch", float64(Inch), 0.0254, 0},
		{"thou", float64(Thou), 0.0000254, 0},
		// Standard gravity and the pound: ISO 80000-4 [from memory].
		{"kgf", float64(KGF), 9.80665, 0},
		{"lbf", float64(LBF), 4.4482216152605, 1e-15},
		// NIST SP 811, appendix B.8: 1 psi = 6.894757e3 Pa [from memory].
		{"psi", float64(PSI), 6894.757, 1e-7},
		{"g/cm2", float64(GramCM2), 98.0665, 0},
		{"degree", float64(Degree), math.Pi / 180, 1e-16},
		{"arcsec", float64(Arcsec), math.Pi / 648000, 1e-15},
		{"rpm", float64(RPM), 2 * math.Pi / 60, 1e-15},
	} {
		if math.Abs(c.got-c.want) > c.rel*c.want {
			t.Errorf("%s is %v, want %v", c.name, c.got, c.want)
		}
	}
}

func TestLengthPrintsInTheUnitThatSuitsIt(t *testing.T) {
	for _, c := range []struct {
		l    Length
		want string
	}{
		{0, "0 mm"},
		{Length(math.Copysign(0, -1)), "0 mm"},
		{118 * MM, "118 mm"},
		{-118.04 * MM, "-118 mm"},
		{1.5 * Metre, "1.5 m"},
		{999.96 * MM, "1 m"},
		{999.94 * MM, "999.9 mm"},
		{20 * NM, "20 nm"},
		{0.5 * NM, "0.5 nm"},
		{1 * UM, "1 µm"},
		{Inch, "25.4 mm"},
		{1234567 * Metre, "1234567 m"},
		{1e-15 * Metre, "1e-06 nm"},
		{Length(math.NaN()), "NaN nm"},
		{Length(math.Inf(-1)), "-Inf m"},
	} {
		if got := c.l.String(); got != c.want {
			t.Errorf("%g m prints as %q, want %q", float64(c.l), got, c.want)
		}
	}
}

func TestNoughtPrintsInTheUsualUnit(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Length(0).String(), "0 mm"},
		{Angle(0).String(), "0 deg"},
		{Force(0).String(), "0 N"},
		{Pressure(0).String(), "0 Pa"},
		{Time(0).String(), "0 s"},
		{Rate(0).String(), "0 rpm"},
		{Preston(0).String(), "0 m²/N"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestQuantitiesPrintAsTheShopSaysThem(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{(30 * Degree).String(), "30 deg"},
		{(2 * Arcsec).String(), "2 arcsec"},
		{(20 * Newton).String(), "20 N"},
		{(3.25 * KPa).String(), "3.25 kPa"},
		{(400 * Pascal).String(), "400 Pa"},
		{(90 * Second).String(), "1.5 min"},
		{(6 * RPM).String(), "6 rpm"},
		{Preston(5e-13).String(), "5e-13 m²/N"},
		{(118 * MM).Text(MM, 1), "118.0 mm"},
		{(118 * MM).Text(Inch, 3), "4.646 in"},
		{(-0.04 * MM).Text(MM, 1), "0.0 mm"},
		{(-0.06 * MM).Text(MM, 1), "-0.1 mm"},
		{(5 * MM).Text(MM, -3), "5 mm"},
		{(5 * MM).Text(7*MM, 3), "5 mm"}, // 7 mm is no unit
		{(3 * KPa).Text(PSI, 2), "0.44 psi"},
		{Inch.Symbol(), "in"},
		{(3 * MM).Symbol(), ""},
		{(6 * RPM).Period().String(), "10 s"},
		{Rate(0).Period().String(), "+Inf h"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestLengthsAreReadAsThePeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		text string
		want Length
	}{
		{"118mm", 118 * MM},
		{" 118 mm ", 118 * MM},
		{"8 in", 8 * Inch},
		{`8"`, 8 * Inch},
		{`8 1/2"`, 8.5 * Inch},
		{"8  1/2 inches", 8.5 * Inch},
		{"-1 1/2 in", -1.5 * Inch},
		{"3/8 in", 0.375 * Inch},
		{"−3 µm", -3 * UM},
		{"3μm", 3 * UM}, // Greek mu
		{"3um", 3 * UM},
		{"1e3 nm", 1000 * NM},
		{"2.5E-1 m", 250 * MM},
		{".5 mm", 0.5 * MM},
		{"5. mm", 5 * MM},
		{"+4 cm", 40 * MM},
		{"12 thou", 12 * Thou},
		{"0", 0},
		{"0.0", 0},
	} {
		got, err := ParseLength(c.text)
		if err != nil || math.Abs(float64(got-c.want)) > 1e-15*math.Abs(float64(c.want)) {
			t.Errorf("ParseLength(%q) = %v, %v; want %v", c.text, got, err, c.want)
		}
	}
}

func TestWhatIsNoLengthIsRefusedWithWhatIsAllowed(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "write a number and a unit"},
		{"mm", "write a number and a unit"},
		{"118", "has no unit"},
		{"118 furlongs", "the units are nm, µm, mm, cm, m, in, thou"},
		{"118 MM", "no unit known"},
		{"5 Pa", "no unit known for a length"},
		{"1,5 mm", "a point before decimals"},
		{"1,000 mm", "no comma"},
		{"NaN mm", "write a number"},
		{"Inf mm", "write a number"},
		{"1e999 mm", "write a number"},
		{"0x1p4 mm", "write a number"},
		{"1_000 mm", "write a number"},
		{"1/0 in", "write a number"},
		{"1/2/3 in", "write a number"},
		{"--3 mm", "write a number"},
		{"3 4 mm", "write a number"},
		{"-1 -1/2 in", "write a number"},
		{"5 mm.", "write a number"},
	} {
		got, err := ParseLength(c.text)
		if err == nil {
			t.Errorf("ParseLength(%q) = %v, want an error", c.text, got)
			continue
		}
		if msg := err.Error(); !strings.Contains(msg, c.want) || strings.Contains(msg, "\n") {
			t.Errorf("ParseLength(%q): %q does not say %q in one line", c.text, msg, c.want)
		}
	}
}

func TestEverySpellingOfEveryUnitIsRead(t *testing.T) {
	for _, s := range []scale{lengths, angles, forces, pressures, times, rates, prestons} {
		for _, u := range s.units {
			for _, spelling := range u.spellings {
				for _, gap := range []string{"", " "} {
					got, err := s.parse("2.5" + gap + spelling)
					if err != nil || got != 2.5*u.size {
						t.Errorf("%s: %q reads as %v, %v; want %v", s.quantity, "2.5"+gap+spelling, got, err, 2.5*u.size)
					}
				}
			}
		}
	}
}

func TestTheOtherQuantitiesAreRead(t *testing.T) {
	check := func(got float64, err error, want float64) {
		t.Helper()
		if err != nil || math.Abs(got-want) > 1e-14*math.Abs(want) {
			t.Errorf("got %v, %v; want %v", got, err, want)
		}
	}
	a, err := ParseAngle("90°")
	check(float64(a), err, math.Pi/2)
	f, err := ParseForce("2 kgf")
	check(float64(f), err, 19.6133)
	p, err := ParsePressure("30 g/cm2")
	check(float64(p), err, 2941.995)
	d, err := ParseTime("1.5 h")
	check(float64(d), err, 5400)
	r, err := ParseRate("60 rpm")
	check(float64(r), err, 2*math.Pi)
	k, err := ParsePreston("5e-13 m2/N")
	check(float64(k), err, 5e-13)
	n, err := ParseNumber("-2 1/2")
	check(n, err, -2.5)
	if _, err := ParseAngle("1e308 turns"); err == nil {
		t.Error("an angle beyond the largest number is read")
	}
	if _, err := ParseNumber("2 mm"); err == nil || !strings.Contains(err.Error(), "without a unit") {
		t.Errorf("a number with a unit: %v", err)
	}
}

func TestWhatIsPrintedReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e9, 1e9).Draw(t, "v") * math.Pow(10, float64(rapid.IntRange(-18, 0).Draw(t, "e")))
		for _, s := range []scale{lengths, angles, forces, pressures, times, rates, prestons} {
			text := s.auto(v)
			got, err := s.parse(text)
			if err != nil || math.Abs(got-v) > 0.51e-3*math.Abs(v) {
				t.Fatalf("%s: %v prints as %q and reads back as %v, %v", s.quantity, v, text, got, err)
			}
			for _, u := range s.units {
				text := s.fixed(v, u.size, 3)
				got, err := s.parse(text)
				if err != nil || math.Abs(got-v) > 0.501e-3*u.size+1e-12*math.Abs(v) {
					t.Fatalf("%s: %v prints as %q and reads back as %v, %v", s.quantity, v, text, got, err)
				}
			}
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"118mm", `8 1/2"`, "-3 µm", "2 arcsec", "30 g/cm²", "1e-12 /Pa", "1,5 mm", "−1/3 in", "9 rad/s"} {
		f.Add(s)
	}
	all := []scale{lengths, angles, forces, pressures, times, rates, prestons, numbers}
	f.Fuzz(func(t *testing.T, text string) {
		for _, s := range all {
			v, err := s.parse(text)
			if err != nil {
				if strings.ContainsAny(err.Error(), "\n\r") {
					t.Errorf("%s: the error for %q is not one line", s.quantity, text)
				}
				continue
			}
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s: %q reads as %v", s.quantity, text, v)
			}
		}
	})
}
