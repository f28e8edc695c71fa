package wear

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/lap"
	"lapwright/stdlib/unit"
)

func TestLapNotLearnedDiffersFromTheOthersByItsOwnFactor(t *testing.T) {
	a, b := weighing(60, 4), weighing(90, 9)
	r := NewRate(4e-13, 1.5)
	ln, cov := r.Joint(a, b)
	for i, v := range ln {
		near(t, "median", math.Exp(v), 4e-13, 1e-25)
		for j := range ln {
			want := math.Pow(math.Log(1.5), 2)
			if i == j && i > 0 {
				want += math.Pow(math.Log(1.2), 2)
			}
			near(t, "covariance", cov.At(i, j), want, 1e-15)
		}
	}
	// Factors multiply like independent errors: their logarithms add in squares.
	near(t, "factor", r.Of(a).Factor, math.Exp(math.Hypot(math.Log(1.5), math.Log(1.2))), 1e-12)
	if exact := NewRate(4e-13, 1).Of(a); exact.Factor != 1 {
		t.Errorf("an exact rate is uncertain for one lap: %v", exact)
	}
}

func TestLearnedLapsHaveTheirOwnRates(t *testing.T) {
	a, b, c := weighing(60, 4), weighing(90, 9), weighing(150, 30)
	cov := mat.NewSymDense(3, []float64{0.04, 0.03, 0.02, 0.03, 0.05, 0.01, 0.02, 0.01, 0.03})
	r := Learned([]*lap.Lap{a, b}, []float64{math.Log(4e-13), math.Log(5e-13), math.Log(3e-13)}, cov)
	cov.SetSym(0, 0, 9) // the rate keeps what it was given
	near(t, "common", float64(r.K), 4e-13, 1e-25)
	near(t, "common factor", r.Factor, math.Exp(0.2), 1e-12)
	near(t, "of a", float64(r.Of(a).K), 5e-13, 1e-25)
	near(t, "factor of b", r.Of(b).Factor, math.Exp(math.Sqrt(0.03)), 1e-12)
	near(t, "of c, never worked", float64(r.Of(c).K), 4e-13, 1e-25)
	near(t, "factor of c", r.Of(c).Factor, math.Exp(math.Sqrt(0.04+math.Pow(math.Log(1.2), 2))), 1e-12)
	_, joint := r.Joint(c, b, a)
	for _, want := range []struct {
		i, j int
		v    float64
	}{{1, 2, 0.02}, {1, 3, 0.03}, {2, 3, 0.01}, {3, 3, 0.05}, {0, 1, 0.04}} {
		near(t, "covariance", joint.At(want.i, want.j), want.v, 1e-15)
	}
	if got, want := r.String(), "4e-13 m²/N, uncertain by a factor of 1.2: 3.27e-13 to 4.89e-13; 60 mm lap: 5e-13 m²/N, by a factor of 1.3; 90 mm lap: 3e-13 m²/N, by a factor of 1.2"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if n := len(r.Laps()); n != 2 {
		t.Errorf("%d laps were learned", n)
	}
}

// weighing is a round lap of so many mm under so many newtons.
func weighing(mm, newtons float64) *lap.Lap {
	return lap.Round(lap.Spec{Diameter: unit.Length(mm) * unit.MM, Load: unit.Force(newtons)})
}
