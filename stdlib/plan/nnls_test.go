package plan

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/floats"
	"pgregory.net/rapid"
)

// leastSquares makes the quadratic of |A·x - y|², A by columns.
func leastSquares(a [][]float64, y []float64) (*quadratic, []float64) {
	n := len(a)
	q := &quadratic{n: n, q: make([]float64, 0, n*n)}
	b := make([]float64, n)
	for i := range a {
		for j := range a {
			q.q = append(q.q, floats.Dot(a[i], a[j]))
		}
		b[i] = floats.Dot(a[i], y)
	}
	return q, b
}

func residual(a [][]float64, y, x []float64) []float64 {
	r := append([]float64(nil), y...)
	for j, col := range a {
		floats.AddScaled(r, -x[j], col)
	}
	return r
}

func nonNegative(a [][]float64, y []float64) []float64 {
	q, b := leastSquares(a, y)
	var s box
	s.begin(q, all(q.n), b, caps(q.n, math.Inf(1)))
	s.descend(1e-12 * floats.Norm(y, 2))
	return s.x
}

func caps(n int, cap float64) []float64 {
	list := once(all(n))
	floats.Scale(cap, list)
	return list
}

func TestNonNegativeLeastSquaresMatchesTheManualPage(t *testing.T) {
	// Worked examples of the manual page of scipy.optimize.nnls [S].
	a := [][]float64{{1, 1, 0}, {0, 0, 1}}
	for _, c := range []struct {
		y, want []float64
		norm    float64
	}{
		{[]float64{2, 1, 1}, []float64{1.5, 1}, 0.7071067812},
		{[]float64{-1, -1, -1}, []float64{0, 0}, 1.7320508076},
	} {
		x := nonNegative(a, c.y)
		if !floats.EqualApprox(x, c.want, 1e-9) {
			t.Errorf("y = %v: x = %v, want %v", c.y, x, c.want)
		}
		if norm := floats.Norm(residual(a, c.y, x), 2); math.Abs(norm-c.norm) > 1e-9 {
			t.Errorf("y = %v: residual %v, want %v", c.y, norm, c.norm)
		}
	}
}

func TestNonNegativeLeastSquaresMatchesScipy(t *testing.T) {
	// Random problems worked by scipy.optimize.nnls; testdata/nnls.py makes them.
	data, err := os.ReadFile("testdata/nnls.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Problems []struct {
			A    [][]float64
			Y, X []float64
			Norm float64
		}
	}
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	for _, p := range file.Problems {
		x := nonNegative(p.A, p.Y)
		norm := floats.Norm(residual(p.A, p.Y, x), 2)
		if math.Abs(norm-p.Norm) > 1e-9 {
			t.Errorf("%d × %d: residual %v, scipy has %v", len(p.Y), len(p.A), norm, p.Norm)
		}
		// With more columns than rows the answer need not be the only one.
		if len(p.A) <= len(p.Y) && !floats.EqualApprox(x, p.X, 1e-8) {
			t.Errorf("%d × %d: x = %v, scipy has %v", len(p.Y), len(p.A), x, p.X)
		}
	}
}

func TestMinimumMeetsTheConditionsOfKarushKuhnAndTucker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := rapid.IntRange(1, 12).Draw(t, "columns"), rapid.IntRange(1, 15).Draw(t, "rows")
		entry := rapid.Float64Range(-3, 3)
		a := make([][]float64, n)
		for i := range a {
			a[i] = rapid.SliceOfN(entry, m, m).Draw(t, "column")
			a[i][i%m] += 4 // no column of zeros
		}
		y := rapid.SliceOfN(entry, m, m).Draw(t, "y")
		cap := rapid.Float64Range(0.01, 2).Draw(t, "cap")
		q, b := leastSquares(a, y)
		var s box
		if rapid.Bool().Draw(t, "from a start") {
			s.x = rapid.SliceOfN(rapid.Float64Range(0, 2), n, n).Draw(t, "start")
		}
		s.begin(q, all(n), b, caps(n, cap))
		s.descend(1e-10)
		r := residual(a, y, s.x)
		for i, x := range s.x {
			fall := floats.Dot(a[i], r) / floats.Norm(a[i], 2)
			switch {
			case x < 0 || x > cap:
				t.Fatalf("x[%d] = %v is not from 0 to %v", i, x, cap)
			case x > 0 && fall < -1e-6:
				t.Fatalf("x[%d] = %v, and less of it would lower the sum: %v", i, x, fall)
			case x < cap && fall > 1e-6:
				t.Fatalf("x[%d] = %v, and more of it would lower the sum: %v", i, x, fall)
			}
		}
	})
}

// heldTurn is what a held lap of radius b, its middle at c, wears in a turn at
// radius r for k·p = 1: 2φ·r with cos φ = (r²+c²-b²)/(2rc). Derived.
func heldTurn(r, c, b float64) float64 {
	switch {
	case r+c <= b:
		return 2 * math.Pi * r
	case math.Abs(r-c) >= b:
		return 0
	}
	return 2 * r * math.Acos((r*r+c*c-b*b)/(2*r*c))
}

// ringExample has radii 1, 3 … 99 mm weighted by √r, and columns of 2φ·r·1e-3 of
// a held lap of radius b centred at each of the given radii.
func ringExample(b float64, centres []float64) (a [][]float64, r []float64) {
	for x := 1.0; x < 100; x += 2 {
		r = append(r, x)
	}
	for _, c := range centres {
		col := make([]float64, len(r))
		for i := range r {
			col[i] = math.Sqrt(r[i]) * heldTurn(r[i], c, b) * 1e-3
		}
		a = append(a, col)
	}
	return a, r
}

func TestLapWiderThanTheRingCannotMendIt(t *testing.T) {
	// Constructed; two other solvers, nnls and a bounded one, agree to 1e-9. The
	// rms is by area and free of piston: 33.748 before. Derived.
	for _, c := range []struct{ b, rms, active, overcut float64 }{
		{8, 0.144, 22, 0.34}, {12, 3.763, 9, 8.2}, {20, 16.257, 9, 31.5}, {30, 23.965, 4, 38.3},
	} {
		var centres []float64
		for x := 0.0; x <= 100-c.b; x += 2 {
			centres = append(centres, x)
		}
		a, r := ringExample(c.b, centres)
		y := make([]float64, len(r))
		for i := range r {
			y[i] = math.Sqrt(r[i]) * 100 * math.Exp(-math.Pow((r[i]-70)/10, 2))
		}
		x := nonNegative(a, y)
		active := 0.0
		for _, v := range x {
			if v > 0 {
				active++
			}
		}
		left := residual(a, y, x)
		overcut, mean := 0.0, 0.0
		for i := range left {
			overcut = math.Max(overcut, -left[i]/math.Sqrt(r[i]))
			mean += left[i] * math.Sqrt(r[i]) / floats.Sum(r)
		}
		rms := math.Sqrt(floats.Dot(left, left)/floats.Sum(r) - mean*mean)
		if math.Abs(rms-c.rms) > 0.01*c.rms || math.Abs(active-c.active) > 1 || math.Abs(overcut-c.overcut) > 0.02*c.overcut {
			t.Errorf("b = %v: rms %.3f with %v active and %.2f cut too deep; want %v, %v, %v", c.b, rms, active, overcut, c.rms, c.active, c.overcut)
		}
	}
}

func TestTurnsWorkedAreFoundAgain(t *testing.T) {
	// Dwell 3, 0, 5, 1 at 10, 30, 50, 70 mm with b = 20. Derived.
	a, r := ringExample(20, []float64{10, 30, 50, 70})
	want := []float64{3, 0, 5, 1}
	y := make([]float64, len(r))
	for j, col := range a {
		floats.AddScaled(y, want[j], col)
	}
	if x := nonNegative(a, y); !floats.EqualApprox(x, want, 1e-9) {
		t.Errorf("turns %v, worked were %v", x, want)
	}
}
