package figure

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

func TestConicOfTheConstructedExample(t *testing.T) {
	// D = 200, R = 2400, K = -0.8 under a paraboloid, λ 550 nm: W040 = 361.69 nm, best-focus
	// PV 90.4 nm, rms 0.04902 λ, Strehl by rms 0.9095, continuous ray error 1.078 [D, V].
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	f := Conic(m, -0.8)
	near(t, "wave at the edge, nm", 2*f.At(100*MM).In(NM), 361.69, 0.3)
	q := f.Quality()
	near(t, "PV, nm", q.PVWave.Value*550, 90.4, 0.1)
	near(t, "rms", q.RMSWave.Value, 0.04902, 2e-5)
	near(t, "Strehl by rms", q.StrehlRMS.Value, 0.9095, 1e-4)
	near(t, "ray", q.Ray.Value, 1.078, 0.002)
	c := f.BestConic()
	near(t, "fitted constant", c.Constant.Value, -0.8, 1e-6)
	near(t, "correction, %", c.Correction.Value, 80, 1e-4)
	near(t, "rest, nm", c.Rest.Value*1e9, 0, 1e-3)
	if c.Constant.Low != c.Constant.Value {
		t.Error("an exact figure has a range")
	}
	for _, k := range []float64{-1, 0, -5, 3} {
		near(t, "fitted constant", Conic(m, k).BestConic().Constant.Value, k, 1e-5)
	}
	if got := stop(t, func() { Conic(m, 600) }); !strings.Contains(got, "k is 600; it must be from -1000 to less than 575") {
		t.Errorf("closed conic: %q", got)
	}
	if got := stop(t, func() { Conic(m, math.NaN()) }); !strings.Contains(got, "k is NaN") {
		t.Errorf("NaN: %q", got)
	}
}

func TestConicHasTheDoubtOfTheFigure(t *testing.T) {
	// A figure whose only freedom is its conic, K = -1 ± 0.02147 [D: a reading of 0.05 mm
	// at four zones of D = 200, R = 2400].
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	unit := Conic(m, -0.99).Heights()
	cov := mat.NewSymDense(GridSize, nil)
	for i := range unit {
		for j := range i + 1 {
			cov.SetSym(i, j, unit[i]*unit[j]*math.Pow(0.02147/0.01, 2))
		}
	}
	f := New(m, make([]float64, GridSize), cov)
	c := f.BestConic()
	near(t, "doubt", (c.Constant.High-c.Constant.Low)/2, 0.02147, 1e-5)
	near(t, "doubt of the correction", (c.Correction.High-c.Correction.Low)/2, 2.147, 1e-3)
	if ball := Conic(mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM, Shape: mirror.Sphere}), 0.1).BestConic(); ball.Correction != (Estimate{}) {
		t.Errorf("a sphere has the correction %v", ball.Correction)
	}
}

func TestFormInTheTermsOfTheStandard(t *testing.T) {
	// h = aρ⁴, a = 100 nm: 3/ A = 100, B = C = 25 nm, RMSi = a/(6√5) = 7.4536 nm. Meanings
	// of ISO 10110-5 [S], numbers [D].
	f := of(f5, func(rho float64) float64 { return 100e-9 * math.Pow(rho, 4) })
	g := f.Form()
	near(t, "A, nm", g.Sagitta.Value*1e9, 100, 0.01)
	near(t, "B, nm", g.Irregularity.Value*1e9, 25, 0.01)
	near(t, "C, nm", g.Rotational.Value*1e9, 25, 0.01)
	near(t, "RMSi, nm", g.RMSi.Value*1e9, 7.4536, 0.001)
	// Derived: the variance of ρ⁴ over the area is 1/5 - 1/9.
	near(t, "RMSt, nm", g.RMSt.Value*1e9, 100*math.Sqrt(1./5-1./9), 0.001)
}

func TestFormAndRestHaveTheDoubtOfTheFigure(t *testing.T) {
	f := ring(f5)
	g, c := f.Form(), f.BestConic()
	for name, e := range map[string]Estimate{"A": g.Sagitta, "B": g.Irregularity, "RMSt": g.RMSt, "RMSi": g.RMSi, "rest": c.Rest} {
		if !(e.Low < e.Value && e.Value < e.High) {
			t.Errorf("%s: %+v", name, e)
		}
	}
	if g.RMSa != (Estimate{}) || g.Rotational != g.Irregularity {
		t.Error("a figure of revolution varies around the axis")
	}
	near(t, "RMSi is the rms at best focus", g.RMSi.Value, f.Quality().RMSSurface.Value, 0.01*g.RMSi.Value)
	// Of a conic all is the conic, of a narrow ring little.
	if s := Conic(f5, -0.9).BestConic().Share; math.Abs(s-1) > 1e-9 {
		t.Errorf("share of a conic %v", s)
	}
	if c.Share > 0.5 {
		t.Errorf("share of a conic in a ring %v", c.Share)
	}
}
