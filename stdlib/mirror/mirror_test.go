package mirror

import (
	"math"
	"strings"
	"testing"

	"lapwright/stdlib/host"
	. "lapwright/stdlib/unit"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.12g, want %.12g within %g", what, got, want, tolerance)
	}
}

func TestSurfaceMatchesExactConics(t *testing.T) {
	// Derived: a sphere's sag is R - √(R²-r²), a paraboloid's r²/2R.
	s := New(Spec{Diameter: 200 * MM, Radius: 2400 * MM, Shape: Sphere})
	near(t, "sphere sag", s.Sag(100*MM).In(MM), 2400-math.Sqrt(2400*2400-100*100), 1e-9)
	p := New(Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})
	near(t, "paraboloid sag", p.Sag(100*MM).In(MM), 1e4/4800., 1e-12)
	near(t, "paraboloid slope", p.Slope(100*MM), 100/2400., 1e-15)
	// D = 200, F = 6, edge, sphere less paraboloid: 905.01 nm exact, of which
	// r⁴/8R³ is 904.22 [D, V].
	near(t, "sphere less paraboloid", (s.Sag(100*MM) - p.Sag(100*MM)).In(NM), 905.01, 0.1)
	// 8 inch f/6: r⁴/8R³ = 3.62e-5 in, list post of February 2002, said there to agree
	// with Texereau, ch. II eq. 7 [S].
	s = New(Spec{Diameter: 8 * Inch, Radius: 96 * Inch, Shape: Sphere})
	p = New(Spec{Diameter: 8 * Inch, Radius: 96 * Inch})
	near(t, "8 in f/6 sphere less paraboloid", (s.Sag(4*Inch) - p.Sag(4*Inch)).In(Inch), 3.62e-5, 0.005*3.62e-5)
}

func TestSphereServesDownToTheRuleOfTheFocalRatio(t *testing.T) {
	// f³ = 88.6 D⁴ (inches), Couder's formula as Texereau gives it, How to Make a
	// Telescope, 2nd ed., p. 19 [S via two quotations]; λ = 0.560 µm. At that focal
	// length a sphere's wavefront is a quarter wave from the paraboloid's at best
	// focus, which is a quarter of twice the difference of the surfaces at the edge.
	for _, c := range []struct{ d, ratio float64 }{{6, 8.101}, {8, 8.916}, {10, 9.605}} {
		f := Length(math.Cbrt(88.6*math.Pow(c.d, 4))) * Inch
		d := Length(c.d) * Inch
		near(t, "focal ratio", float64(f/d), c.ratio, 0.001)
		s := New(Spec{Diameter: d, FocalLength: f, Shape: Sphere})
		p := New(Spec{Diameter: d, FocalLength: f})
		wave := 2 * (s.Sag(d/2) - p.Sag(d/2)) / 4
		near(t, "waves at best focus", float64(wave/(560*NM)), 0.25, 0.001)
	}
}

func TestNormalMeetsTheAxisWhereGeometrySaysItDoes(t *testing.T) {
	// Derived and traced: paraboloid R + r²/2R exactly, sphere R, any conic R - Kz.
	m := New(Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	near(t, "paraboloid", (m.Normal(100*MM) - 2400*MM).In(MM), 2.0833333333, 1e-9)
	m = New(Spec{Diameter: 200 * MM, Radius: 2400 * MM, Shape: Conic(-0.7)})
	near(t, "K = -0.7", (m.Normal(95*MM) - 2400*MM).In(MM), 1.316300534, 1e-9)
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(-5, 3).Draw(t, "K")
		ratio := rapid.Float64Range(2, 12).Draw(t, "F")
		m := New(Spec{Diameter: 1 * Metre, FocalLength: Length(ratio) * Metre, Shape: Conic(k)})
		r := Length(rapid.Float64Range(0.001, 0.5).Draw(t, "r"))
		other := float64(m.Sag(r)) + float64(r)/m.Slope(r)
		if math.Abs(float64(m.Normal(r))-other) > 1e-12*float64(m.Radius()) {
			t.Fatalf("R - Kz = %v, z + r/z' = %v", m.Normal(r), other)
		}
		// The slope is the derivative of the sag.
		const h = 1e-4
		diff := float64(m.Sag(r+h)-m.Sag(r-h)) / (2 * h)
		if math.Abs(diff-m.Slope(r)) > 1e-7 {
			t.Fatalf("slope %v, differences give %v", m.Slope(r), diff)
		}
	})
}

func TestDefaultsAreFilledIn(t *testing.T) {
	m := New(Spec{Diameter: 300 * MM, FocalLength: 1500 * MM, Bevel: 1 * MM, Hole: 20 * MM})
	s := m.Spec()
	if s.Radius != 3000*MM || s.Glass != Borosilicate || s.Shop != MM || s.Wavelength != 550*NM || s.Shape != Paraboloid {
		t.Errorf("spec is %+v", s)
	}
	near(t, "clear", m.Clear().In(MM), 149, 1e-12)
	near(t, "rim", m.Rim().In(MM), 150, 1e-12)
	near(t, "hole", m.Hole().In(MM), 10, 1e-12)
	if k := s.Shape.Constant(); k != -1 {
		t.Errorf("conic constant %v", k)
	}
	if k := Sphere.Constant(); k != 0 {
		t.Errorf("conic constant of the sphere %v", k)
	}
	m = New(Spec{Diameter: 12 * Inch, Radius: 120 * Inch, Shop: Inch})
	near(t, "focal length", m.FocalLength().In(Inch), 60, 1e-12)
	near(t, "focal ratio", m.FocalRatio(), 5, 1e-12)
}

func TestAiryRadius(t *testing.T) {
	// R. Paris, aviatechno.net [S]: ρ = 1.22 λF = 5.5 µm at F/8 and 0.56 µm; computed 5.466.
	m := New(Spec{Diameter: 200 * MM, FocalLength: 1600 * MM, Wavelength: 560 * NM})
	near(t, "Airy radius, µm", m.Airy().In(UM), 5.466, 0.002)
}

func TestMass(t *testing.T) {
	// Ø200×25 of borosilicate 3.3: 1.751 kg [D]. A curve this flat takes nothing off.
	m := New(Spec{Diameter: 200 * MM, FocalLength: 200 * Metre, Thickness: 25 * MM})
	near(t, "kg", m.Mass(), 1.751, 0.001*1.751)
	// Derived: a paraboloid's bowl is half its cylinder, πa²·z/2.
	m = New(Spec{Diameter: 200 * MM, FocalLength: 400 * MM, Thickness: 25 * MM})
	z := 0.1 * 0.1 / (2 * 0.8)
	near(t, "kg", m.Mass(), 2230*math.Pi*0.01*(0.025-z/2), 1e-9)
	// The hole takes out what lies within it.
	h := New(Spec{Diameter: 200 * MM, FocalLength: 400 * MM, Thickness: 25 * MM, Hole: 50 * MM})
	zh := 0.025 * 0.025 / (2 * 0.8)
	plug := 2230 * math.Pi * 0.025 * 0.025 * (0.025 - z + zh/2)
	near(t, "kg", h.Mass(), m.Mass()-plug, 1e-9)
	// Warnings by weight stand on this: Ø510×51 reaches 23 kg, Ø500×50 does not (computed).
	if a, b := New(Spec{Diameter: 510 * MM, FocalLength: 50 * Metre, Thickness: 51 * MM}).Mass(), New(Spec{Diameter: 500 * MM, FocalLength: 50 * Metre, Thickness: 50 * MM}).Mass(); a < 23 || b > 23 {
		t.Errorf("masses %v, %v", a, b)
	}
	if m := New(Spec{Diameter: 200 * MM, FocalLength: 1 * Metre}); m.Mass() != 0 || m.Settling() != (Settling{}) || m.Bend(1) != 0 {
		t.Error("a blank of unknown thickness has a mass, a settling time or a bend")
	}
}

func TestThermalEstimates(t *testing.T) {
	// All derived; glass values as in the table of glasses [S].
	thick := func(l Length, g Glass) *Mirror {
		return New(Spec{Diameter: 200 * MM, FocalLength: 1200 * MM, Thickness: l, Glass: g})
	}
	near(t, "through 25 mm, s", float64(thick(25*MM, Borosilicate).Settling().Through), 93.7, 0.005*93.7)
	near(t, "through 50 mm, s", float64(thick(50*MM, Borosilicate).Settling().Through), 374.9, 0.005*374.9)
	s := thick(25*MM, Borosilicate).Settling()
	near(t, "film at h = 5, min", s.Long.In(Minute), 69.7, 0.005*69.7)
	near(t, "film at h = 10, min", s.Short.In(Minute), 69.7/2, 0.005*69.7/2)
	if short, long := s.Wait(); short != 3*s.Short || long != 3*s.Long {
		t.Errorf("wait %v to %v", short, long)
	}
	for _, c := range []struct {
		g  Glass
		nm float64
	}{{Borosilicate, 66.0}, {Crown, 142.0}, {FusedSilica, 10.4}, {SodaLime, 180}} {
		near(t, c.g.Name+" bend at 0.1 K, nm", thick(25*MM, c.g).Bend(0.1).In(NM), c.nm, 0.005*c.nm)
	}
	near(t, "bump, nm", thick(25*MM, Borosilicate).Bump(0.1).In(NM), 8.25, 1e-9)
	// G = E/2(1+ν) = 29.166 GPa for soda-lime, EN 572 sheet [S].
	near(t, "shear modulus, GPa", SodaLime.Young/(2*(1+SodaLime.Poisson))/1e9, 29.166, 0.001*29.166)
}

// stop returns the Stop that f ends with.
func stop(t *testing.T, f func()) (s *host.Stop) {
	t.Helper()
	defer func() {
		s, _ = recover().(*host.Stop)
	}()
	f()
	return nil
}

func TestImpossibleMirrorsAreRefusedByName(t *testing.T) {
	nan, inf := Length(math.NaN()), Length(math.Inf(1))
	good := Spec{Diameter: 300 * MM, FocalLength: 1500 * MM}
	for _, c := range []struct {
		name string
		with func(*Spec)
		want string
	}{
		{"no diameter", func(s *Spec) { s.Diameter = 0 }, "Diameter is 0 mm; it must be 10 mm to 10 m"},
		{"negative diameter", func(s *Spec) { s.Diameter = -300 * MM }, "Diameter is -300 mm"},
		{"NaN diameter", func(s *Spec) { s.Diameter = nan }, "Diameter is NaN"},
		{"infinite diameter", func(s *Spec) { s.Diameter = inf }, "Diameter is +Inf"},
		{"metres meant as millimetres", func(s *Spec) { s.Diameter = 300 }, "Diameter is 300 m"},
		{"no curve", func(s *Spec) { s.FocalLength = 0 }, "neither FocalLength nor Radius is given"},
		{"two curves", func(s *Spec) { s.Radius = 2990 * MM }, "Radius must be twice FocalLength, 3 m"},
		{"negative focal length", func(s *Spec) { s.FocalLength = -1 }, "FocalLength is -1 m; it must be 150 mm to 300 m"},
		{"NaN focal length", func(s *Spec) { s.FocalLength = nan }, "FocalLength is NaN"},
		{"NaN radius", func(s *Spec) { s.FocalLength, s.Radius = 0, nan }, "Radius is NaN"},
		{"short radius", func(s *Spec) { s.FocalLength, s.Radius = 0, 200*MM }, "Radius is 200 mm; it must be 300 mm to"},
		{"hole as wide as the glass", func(s *Spec) { s.Hole = 300 * MM }, "Hole is 300 mm; it must be less than the clear aperture, 300 mm"},
		{"hole beyond the bevel", func(s *Spec) { s.Hole, s.Bevel = 299*MM, 1*MM }, "less than the clear aperture, 298 mm"},
		{"negative hole", func(s *Spec) { s.Hole = -1 * MM }, "Hole is -1 mm; it must be more than 0"},
		{"NaN hole", func(s *Spec) { s.Hole = nan }, "Hole is NaN"},
		{"wide bevel", func(s *Spec) { s.Bevel = 31 * MM }, "Bevel is 31 mm; it must be more than 0 and at most 30 mm"},
		{"negative bevel", func(s *Spec) { s.Bevel = -1 * MM }, "Bevel is -1 mm"},
		{"NaN bevel", func(s *Spec) { s.Bevel = nan }, "Bevel is NaN"},
		{"thin", func(s *Spec) { s.Thickness = 3 * MM }, "Thickness is 3 mm; it must be more than the depth of the curve, 3.75 mm"},
		{"thicker than wide", func(s *Spec) { s.Thickness = 301 * MM }, "Thickness is 301 mm"},
		{"NaN thickness", func(s *Spec) { s.Thickness = nan }, "Thickness is NaN"},
		{"ultraviolet", func(s *Spec) { s.Wavelength = 200 * NM }, "Wavelength is 200 nm; it must be 300 nm to 1.1 µm"},
		{"NaN wavelength", func(s *Spec) { s.Wavelength = nan }, "Wavelength is NaN"},
		{"shop in centimetres", func(s *Spec) { s.Shop = CM }, "Shop is 10 mm; it must be MM or Inch"},
		{"NaN shop", func(s *Spec) { s.Shop = nan }, "Shop is NaN"},
		{"closed conic", func(s *Spec) { s.Shape = Conic(500) }, "it must be one with a constant below 399"},
		{"NaN conic", func(s *Spec) { s.Shape = Conic(math.NaN()) }, "a conic of constant NaN"},
		{"wild conic", func(s *Spec) { s.Shape = Conic(-1e6) }, "one from -1000 to 1000"},
		{"glass half described", func(s *Spec) { s.Glass = Glass{Name: "mystery"} }, "Glass.Density is 0; it must be 1000 to 10000 kg/m³"},
		{"glass with NaN", func(s *Spec) { s.Glass = Crown; s.Glass.Heat = math.NaN() }, "Glass.Heat is NaN"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := good
			c.with(&s)
			got := stop(t, func() { New(s) })
			if got == nil {
				t.Fatal("accepted")
			}
			if got.Call != "mirror.New" || !strings.Contains(got.Message, c.want) || strings.Contains(got.Message, "\n") {
				t.Errorf("got %q, want %q", got.Error(), c.want)
			}
		})
	}
	if got := stop(t, func() { New(Spec{Diameter: 300, FocalLength: 1500}) }); !strings.Contains(got.Hint, "300 * MM") {
		t.Errorf("hint %q", got.Hint)
	}
	both := good
	both.Radius = 3000 * MM
	if got := stop(t, func() { New(both) }); got != nil {
		t.Errorf("both curves given and agreeing: %v", got)
	}
}
