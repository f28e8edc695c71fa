package figure

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// equalAreas are the edges of n zones of equal area.
func equalAreas(m *mirror.Mirror, n int) []Length {
	edges := make([]Length, n+1)
	for i := range edges {
		edges[i] = m.Clear() * Length(math.Sqrt(float64(i)/float64(n)))
	}
	return edges
}

func TestFewZonesUnderstateTheGreatestRay(t *testing.T) {
	// W = Aρ⁴ with A = 0.61 λ: the greatest of all rays is 1 Airy radius (Chebyshev [D]); of n
	// zones of equal area, taken at their rms radii, it comes out lower [D, V].
	f := of(f5, func(rho float64) float64 { return 0.61 * float64(f5.Wavelength()) / 2 * math.Pow(rho, 4) })
	for n, want := range map[int]float64{3: 0.752, 4: 0.770, 5: 0.833, 6: 0.876, 8: 0.898} {
		rays := f.Rays(equalAreas(f5, n)...)
		near(t, "greatest of zones", rays.Greatest.Value, want, 0.001)
		near(t, "everywhere", rays.Everywhere.Value, 1, 1e-3)
		most := 0.0
		for _, z := range rays.Zones {
			most = math.Max(most, math.Abs(z.Error.Value))
		}
		near(t, "of the zones shown", most, rays.Greatest.Value, 1e-6)
	}
	// Constructed example, D = 200, R = 2400, K = -0.8, λ 550 nm, four zones: 0.827 where it is
	// 1.078 in truth, an apparent pass [D, V].
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	rays := Conic(m, -0.8).Rays(equalAreas(m, 4)...)
	near(t, "greatest of four zones", rays.Greatest.Value, 0.827, 0.004) // 0.770 times 1.078 is 0.830
	near(t, "everywhere", rays.Everywhere.Value, 1.078, 0.002)
	// Under-corrected: the outer rays meet the axis short of the middle ones.
	if z := rays.Zones; z[3].Error.Value > 0 || z[1].Error.Value < 0 {
		t.Errorf("outer %+v, inner %+v", z[3].Error, z[1].Error)
	}
	if at := rays.Zones[0].At; math.Abs(at.In(MM)-35.3553) > 1e-3 {
		t.Errorf("the first zone is taken at %v", at)
	}
}

func TestEnvelopeIsTheRayToleranceOfReadings(t *testing.T) {
	// Half widths for D = 200 f/6, λ 0.55 µm, fixed source: 0.38650 mm at 50 mm, 0.19325 mm at
	// the rim with 1.22 for 1.2197 [D]; here for a moving source.
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	v := Conic(m, -0.8).Envelope()
	last := len(v.At) - 1
	near(t, "half width at the rim, mm", 2*v.Half[last].In(MM), 0.19325, 1e-4)
	for i, r := range v.At {
		near(t, "half width, mm", 2*v.Half[i].In(MM), 0.19325*100/r.In(MM), 4e-4)
		if r.In(MM) < 100./6-1e-9 {
			t.Errorf("the envelope begins at %v", r)
		}
	}
	if v.Inside != 0 {
		t.Error("a ray error of 1.078 lies within")
	}
	// The curve of a conic is that of its readings: -K r²/2R less r²/2R, with a zero that fits.
	first := v.Error[0].Value - -0.2*math.Pow(float64(v.At[0]), 2)/(2*2.4)
	for i, r := range v.At {
		near(t, "error of a reading, mm", 1e3*(v.Error[i].Value-first), 1e3*-0.2*math.Pow(float64(r), 2)/(2*2.4), 1e-3)
	}
	if v := Conic(m, -0.9).Envelope(); v.Inside != 1 {
		t.Error("a ray error of 0.54 does not lie within")
	}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(-1.3, -0.7).Draw(t, "k")
		f := Conic(m, k)
		if inside := f.Envelope().Inside == 1; inside != (f.Quality().Ray.Value <= 1) {
			t.Errorf("within %v, ray %v", inside, f.Quality().Ray.Value)
		}
	})
}

func TestChanceThatAWishIsMet(t *testing.T) {
	// A figure whose only freedom is its conic, normal about K = -0.95 with sigma 0.05: it has
	// a ray error of 5.39·|K+1| (1.078 at -0.8), so that 0.5 is kept with the chance that a
	// normal number lies within (-1 ± 0.0928 + 0.95)/0.05.
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	one := Conic(m, -0.99).Heights()
	cov := mat.NewSymDense(GridSize, nil)
	for i := range one {
		for j := range i + 1 {
			cov.SetSym(i, j, one[i]*one[j]*25)
		}
	}
	f := New(m, Conic(m, -0.95).Heights(), cov)
	normal := func(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
	bound := 0.5 / 5.39
	want := normal((bound-0.05)/0.05) - normal((-bound-0.05)/0.05)
	o := f.Outlook(Wish{Ray: 0.5})
	near(t, "chance", o.Meets, want, 0.06) // of 400 samples, 2.5 sigma
	worked := 2*normal(bound/0.05) - 1
	near(t, "chance when worked", o.Worked, worked, 0.04)
	near(t, "seen", o.Seen, 0.05*5.39/0.5, 0.005)
	near(t, "doubt", o.Doubt, 0.6745*0.05*5.39/0.5, 0.04) // median of |z| is 0.6745
	if o.Wish.Sure != 0.9 {
		t.Errorf("%+v", o)
	}
}

func TestAdviceGoesWhereMostIsMissing(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	with := func(k, sigma float64) *Figure {
		one := Conic(m, -0.99).Heights()
		cov := mat.NewSymDense(GridSize, nil)
		for i := range one {
			for j := range i + 1 {
				cov.SetSym(i, j, one[i]*one[j]*sigma*sigma*1e4)
			}
		}
		return New(m, Conic(m, k).Heights(), cov)
	}
	for _, c := range []struct {
		k, sigma float64
		want     Advice
	}{
		{-0.99, 0.01, Leave},
		{-0.7, 0.01, Work},  // surely off: polish
		{-0.5, 0.2, Work},   // off by more than the doubt, though that alone breaks the wish
		{-0.95, 0.2, Test},  // may be anything: polishing is blind
		{-0.8, 0.09, Work},  // off, and known well enough
		{-0.95, 0.07, Test}, // perhaps good already
	} {
		o := with(c.k, c.sigma).Outlook(Wish{Ray: 0.5})
		if o.Advice != c.want {
			t.Errorf("K %v ± %v: %+v, want %q", c.k, c.sigma, o, c.want)
		}
	}
	exact := Conic(m, -0.8).Outlook(Wish{Strehl: 0.95})
	if exact.Meets != 0 || exact.Worked != 1 || exact.Advice != Work || exact.Seen <= 1 || exact.Doubt > 1e-9 {
		t.Errorf("%+v", exact)
	}
	if done := Perfect(m).Outlook(Wish{Strehl: 0.99, Ray: 0.1}); done.Meets != 1 || done.Advice != Leave {
		t.Errorf("%+v", done)
	}
	if got := (Wish{Strehl: 0.95, Ray: 1}).String(); got != "a Strehl ratio (by diffraction) of at least 0.95 and no ray off by more than the Airy radius" {
		t.Error(got)
	}
}

func TestBadQuestionsOfQualityStop(t *testing.T) {
	f := Perfect(f5)
	for want, ask := range map[string]func(){
		"nothing is asked for":                    func() { f.Outlook(Wish{}) },
		"Strehl is 1; it must be":                 func() { f.Outlook(Wish{Strehl: 1}) },
		"Strehl is NaN":                           func() { f.Outlook(Wish{Strehl: math.NaN()}) },
		"Ray is -1":                               func() { f.Outlook(Wish{Ray: -1}) },
		"Sure is 1":                               func() { f.Outlook(Wish{Ray: 1, Sure: 1}) },
		"there are 2 edges; give at least 3":      func() { f.Rays(0, 150*MM) },
		"edge 2 is 0.00 mm; it must be more than": func() { f.Rays(0, 0, 150*MM) },
		"edge 1 is NaN":                           func() { f.Rays(Length(math.NaN()), 1*MM, 150*MM) },
		"figure.Figure.Rays: r is 160.00 mm":      func() { f.Rays(0, 80*MM, 160*MM) },
	} {
		if got := stop(t, ask); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func BenchmarkOutlook(b *testing.B) {
	f := ring(f5)
	for b.Loop() {
		f.Outlook(Wish{Strehl: 0.95, Ray: 1})
	}
}
