package figure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// holed is f5 with a hole of the share eps of its diameter.
func holed(eps float64) *mirror.Mirror {
	return mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM, Hole: Length(eps) * 300 * MM})
}

// rings is λF in the focal plane of m.
func rings(m *mirror.Mirror) Length { return m.Wavelength() * Length(m.FocalRatio()) }

func TestPerfectStarHasAirysRings(t *testing.T) {
	f := Perfect(f5)
	// Zeros of Airy's pattern and its half width (V; Born & Wolf 8.5.2 [M]).
	for _, zero := range []float64{1.21967, 2.23313, 3.23832} {
		near(t, "dark ring", f.Spread(0, Length(zero)*rings(f5))[0], 0, 1e-9)
	}
	s := f.Spread(0, 0, 1.02899/2*rings(f5))
	near(t, "middle", s[0], 1, 1e-12)
	near(t, "half width", s[1], 0.5, 1e-5)
	// The first ring has 1.750 % of the peak.
	var at []Length
	for d := 1.3; d < 2; d += 0.01 {
		at = append(at, Length(d)*rings(f5))
	}
	near(t, "first ring", slices.Max(f.Spread(0, at...)), 0.01750, 1e-5)
	// Energy within the dark rings, 1 - J₀² - J₁² (Rayleigh; V).
	for i, e := range f.Encircled(1.21967*rings(f5), 2.23313*rings(f5), 3.23832*rings(f5), 0, 5.3*rings(f5)) {
		v := math.Pi * 5.3
		want := []float64{0.83778, 0.90993, 0.93765, 0, 1 - math.Pow(math.J0(v), 2) - math.Pow(math.J1(v), 2)}[i]
		near(t, "encircled", e.Value, want, 1e-5)
	}
}

func TestRingsBehindAnObstruction(t *testing.T) {
	// ε, first dark ring over λF, energy within it, peak of the first ring (V; the table
	// values agree with Schroeder and Mahajan from memory).
	for _, c := range []struct{ eps, ring, energy, peak float64 }{
		{0.20, 1.16651, 0.76376, 0.03035},
		{0.25, 1.14157, 0.72577, 0.03803},
		{0.33, 1.09768, 0.65426, 0.05397},
		{1. / 3, 1.09579, 0.65106, 0.05472},
		{0.50, 1.00091, 0.47862, 0.09634},
	} {
		for name, f := range map[string]*Figure{"hole": Perfect(holed(c.eps)), "secondary": Perfect(f5).Obstructed(Length(c.eps) * 300 * MM)} {
			near(t, name+", dark ring", f.Spread(0, Length(c.ring)*rings(f5))[0], 0, 1e-9)
			near(t, name+", energy", f.Encircled(Length(c.ring) * rings(f5))[0].Value, c.energy, 1e-5)
			var at []Length
			for d := c.ring; d < 2; d += 0.005 {
				at = append(at, Length(d)*rings(f5))
			}
			near(t, name+", first ring", slices.Max(f.Spread(0, at...)), c.peak, 1e-5)
		}
	}
}

func TestDefocusedStarFollowsClosedForms(t *testing.T) {
	// On the axis a defocus of n waves leaves (sin(πn)/(πn))² (Born & Wolf 8.8.2 [M]; it
	// follows from the integral of exp(2πinρ²) ρ dρ).
	f := Perfect(f5)
	wave := f5.Wavelength() * Length(8*f5.FocalRatio()*f5.FocalRatio())
	for _, n := range []float64{-0.25, 0.25, 0.5, 1, 2.5, 7.5, 19.5} {
		near(t, "waves", f.Defocus(Length(n)*wave), n, 1e-12)
		want := math.Pow(math.Sin(math.Pi*n)/(math.Pi*n), 2)
		near(t, "middle", f.Spread(Length(n)*wave, 0)[0], want, 1e-7)
	}
	near(t, "quarter wave", f.Spread(wave/4, 0)[0], 8/(math.Pi*math.Pi), 1e-8)
	// A perfect mirror looks the same on both sides of focus; one with spherical
	// aberration does not.
	a, b := f.Spread(5*wave, 3*rings(f5))[0], f.Spread(-5*wave, 3*rings(f5))[0]
	near(t, "both sides", a, b, 1e-12)
	g := Conic(f5, -0.8)
	if a, b := g.Spread(5*wave, 2*rings(f5))[0], g.Spread(-5*wave, 2*rings(f5))[0]; math.Abs(a-b) < 0.1*a {
		t.Errorf("spherical aberration looks alike on both sides of focus: %v and %v", a, b)
	}
	// What is seen far out of focus is the mirror itself: its light is found again. Of the
	// integral of brightness times v over all v, with the area that of the aperture.
	sum := 0.0
	const step = 0.1
	var at []Length
	for v := step / 2; v < 250; v += step {
		at = append(at, Length(v/math.Pi)*rings(f5))
	}
	for i, s := range g.Spread(8*wave, at...) {
		sum += s * (float64(i) + 0.5) * step * step / 2
	}
	near(t, "all light", sum, 1, 0.005)
}

func TestStarOfAnImperfectMirrorAgreesWithStrehl(t *testing.T) {
	// A second way: the middle of the image at the focus of least mean square is below the
	// greatest over focus by little where the error is small.
	f := of(f5, func(rho float64) float64 { return f5.Wavelength().In(Metre) / 2 * math.Pow(rho, 4) })
	near(t, "quarter wave of spherical aberration", f.Spread(0, 0)[0], 0.80030, 1e-5) // Born & Wolf ch. 9 [M], V
	near(t, "encircled of nothing", f.Encircled(0)[0].Value, 0, 0)
	e := ring(f5).Encircled(f5.Airy())[0]
	if !(e.Low < e.Value && e.Value < e.High && e.High < 0.838) {
		t.Errorf("within the Airy radius: %+v", e)
	}
	// Light scattered out of the middle is scattered, not lost.
	if far := ring(f5).Encircled(20 * f5.Airy())[0]; far.Low < 0.97 || far.High > 1 {
		t.Errorf("within 20 Airy radii: %+v", far)
	}
}

func TestContrastOfPerfectApertures(t *testing.T) {
	// Clear: (2/π)(acos ν - ν√(1-ν²)); with a hole: area of overlap, O'Neill 1956, J. Opt.
	// Soc. Am. 46, 285 [M]; V by closed form and autocorrelation.
	shares := []float64{0.10, 0.25, 0.50, 0.75, 0.90}
	for eps, want := range map[float64][]float64{
		0:    {0.87289, 0.68504, 0.39100, 0.14429, 0.03739},
		0.20: {0.84222, 0.63025, 0.36740, 0.15031, 0.03894},
		0.33: {0.81093, 0.54120, 0.32516, 0.16193, 0.04195},
		0.50: {0.74620, 0.37705, 0.22360, 0.19239, 0.04985},
	} {
		for i, c := range Perfect(f5).Obstructed(Length(eps) * 300 * MM).Contrast(shares...) {
			near(t, "contrast", c.Value, want[i], 1e-5)
		}
	}
	for i, c := range Perfect(f5).Contrast(0, 1, 0.33) {
		want := []float64{1, 0, 2 / math.Pi * (math.Acos(0.33) - 0.33*math.Sqrt(1-0.33*0.33))}[i]
		near(t, "contrast", c.Value, want, 1e-6)
	}
}

func TestContrastOfAnErrorIsLess(t *testing.T) {
	// The contrast summed over all frequencies of the plane is the Strehl ratio (Hopkins;
	// it is the transform at the origin): ∫ C ν dν over that of a perfect mirror.
	f := of(f5, func(rho float64) float64 { return f5.Wavelength().In(Metre) / 2 * math.Pow(rho, 4) })
	var shares []float64
	for i := range 100 {
		shares = append(shares, (float64(i)+0.5)/100)
	}
	sum := func(list []Estimate) (total float64) {
		for i, c := range list {
			total += c.Value * shares[i]
		}
		return total
	}
	near(t, "Strehl by contrast", sum(f.Contrast(shares...))/sum(Perfect(f5).Contrast(shares...)), 0.80030, 2e-4)
	exact, perfect := ring(f5).Contrast(0.3), Perfect(f5).Contrast(0.3)
	if !(exact[0].Low < exact[0].Value && exact[0].Value < exact[0].High && exact[0].High < perfect[0].Value) {
		t.Errorf("contrast %+v, of a perfect mirror %+v", exact[0], perfect[0])
	}
}

func TestObstructedFigureIsTheSameGlass(t *testing.T) {
	f := ring(f5)
	g := f.Obstructed(90 * MM)
	if got := g.Mirror().Hole(); got != 45*MM {
		t.Errorf("hole %v", got)
	}
	for _, r := range []Length{45 * MM, 77.7 * MM, 120 * MM, 150 * MM} {
		near(t, "height", float64(g.At(r)), float64(f.At(r)), 2e-11)
		near(t, "doubt", float64(g.SigmaAt(r)), float64(f.SigmaAt(r)), 1e-12)
	}
	if f.Obstructed(0) != f {
		t.Error("no obstruction makes another figure")
	}
	own := Perfect(holed(0.3))
	if own.Obstructed(80*MM) != own {
		t.Error("a secondary within the hole makes another figure")
	}
	// Derived: defocus is all that a ring ever thinner keeps of ρ⁴.
	h := of(f5, func(rho float64) float64 { return 100e-9 * math.Pow(rho, 4) })
	if a, b := h.Obstructed(240*MM).Quality().RMSSurface.Value, h.Quality().RMSSurface.Value; a > b/5 {
		t.Errorf("rms %v behind an obstruction, %v without", a, b)
	}
	// Balanced spherical aberration over an annulus: rms A(1-ε²)²/(6√5) (Mahajan 1981, J. Opt.
	// Soc. Am. 71, 75 [M]; it is Legendre's second polynomial in ρ²).
	eps := 0.4
	near(t, "rms over the ring", h.Obstructed(Length(eps)*300*MM).Quality().RMSSurface.Value*1e9, 100*math.Pow(1-eps*eps, 2)/(6*math.Sqrt(5)), 1e-4)
}

func TestBadQuestionsToTheImageStop(t *testing.T) {
	f := Perfect(f5)
	for want, ask := range map[string]func(){
		"d is 280 mm; it must be from 0 to 270 mm": func() { f.Obstructed(280 * MM) },
		"d is -1 mm":                                func() { f.Obstructed(-1 * MM) },
		"share 2 is 1.5; it must be from 0 to 1":    func() { f.Contrast(0.5, 1.5) },
		"share 1 is NaN":                            func() { f.Contrast(math.NaN()) },
		"radius 1 is -1":                            func() { f.Encircled(-1 * MM) },
		"distance 2 is 10 mm; it must be from 0 to": func() { f.Spread(0, 0, 10*MM) },
		"defocus is 20 mm; it must be at most":      func() { f.Spread(20 * MM) },
		"defocus is NaN":                            func() { f.Spread(Length(math.NaN())) },
	} {
		if got := stop(t, ask); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func BenchmarkEncircled(b *testing.B) {
	f := ring(f5)
	for b.Loop() {
		f.Encircled(f5.Airy(), 2*f5.Airy(), 5*f5.Airy())
	}
}

func BenchmarkContrast(b *testing.B) {
	f := ring(f5)
	shares := spread(0, 1, 21)
	for b.Loop() {
		f.Contrast(shares...)
	}
}
