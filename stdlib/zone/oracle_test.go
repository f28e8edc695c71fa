package zone

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// regress is least squares by QR of a general-purpose library, with which the fit of
// means and zeros is compared. Columns are scaled to length 1 first. It returns the
// coefficients, their covariance and the standard deviation of the residuals.
func regress(t *testing.T, rows [][]float64, y []float64) (b []float64, cov *mat.SymDense, s float64) {
	t.Helper()
	n, p := len(rows), len(rows[0])
	x := mat.NewDense(n, p, nil)
	scale := make([]float64, p)
	for j := range p {
		for _, row := range rows {
			scale[j] = math.Hypot(scale[j], row[j])
		}
		for i, row := range rows {
			x.Set(i, j, row[j]/scale[j])
		}
	}
	var qr mat.QR
	qr.Factorize(x)
	var sol mat.VecDense
	if err := qr.SolveVecTo(&sol, false, mat.NewVecDense(n, y)); err != nil {
		t.Fatal(err)
	}
	squares := 0.0
	for i := range y {
		r := y[i] - mat.Dot(x.RowView(i), &sol)
		squares += r * r
	}
	s = math.Sqrt(squares / float64(n-p))
	var upper, inverse mat.Dense
	qr.RTo(&upper)
	if err := inverse.Inverse(upper.Slice(0, p, 0, p)); err != nil {
		t.Fatal(err)
	}
	cov = mat.NewSymDense(p, nil)
	for i := range p {
		b = append(b, sol.AtVec(i)/scale[i])
		for j := i; j < p; j++ {
			cov.SetSym(i, j, s*s*mat.Dot(inverse.RowView(i), inverse.RowView(j))/(scale[i]*scale[j]))
		}
	}
	return b, cov, s
}

// closeTo compares to a share of the value.
func closeTo(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	near(t, what, got, want, share*math.Abs(want))
}

func TestTheOracleGivesCertifiedValues(t *testing.T) {
	t.Run("GUM H.3", func(t *testing.T) {
		// JCGM 100:2008, H.3: calibration of a thermometer, b = y1 + y2·(t-20 °C). Data
		// seen in the documentation of a public library; results of table H.6 [S].
		at := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
		y := []float64{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160}
		var rows [][]float64
		for _, v := range at {
			rows = append(rows, []float64{1, v - 20})
		}
		b, cov, s := regress(t, rows, y)
		near(t, "y1", b[0], -0.1712, 5e-5)
		near(t, "y2", b[1], 0.00218, 5e-6)
		near(t, "s(y1)", math.Sqrt(cov.At(0, 0)), 0.0029, 5e-5)
		near(t, "s(y2)", math.Sqrt(cov.At(1, 1)), 0.00067, 5e-6)
		near(t, "r(y1, y2)", cov.At(0, 1)/math.Sqrt(cov.At(0, 0)*cov.At(1, 1)), -0.930, 5e-4)
		near(t, "s", s, 0.0035, 5e-5)
		near(t, "b(30 °C)", b[0]+10*b[1], -0.1494, 5e-5)
		near(t, "u(b(30 °C))", math.Sqrt(cov.At(0, 0)+20*cov.At(0, 1)+100*cov.At(1, 1)), 0.0041, 5e-5)
	})
	t.Run("Pontius", func(t *testing.T) {
		// NIST StRD: calibration of a load cell; data and certified values seen [S].
		y := []float64{
			.11019, .21956, .32949, .43899, .54803, .65694, .76562, .87487, .98292, 1.09146,
			1.20001, 1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844,
			.11052, .22018, .32939, .43886, .54798, .65739, .76596, .87474, .98300, 1.09150,
			1.20004, 1.30818, 1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829,
		}
		var rows [][]float64
		for i := range y {
			x := 150000 * float64(i%20+1)
			rows = append(rows, []float64{1, x, x * x})
		}
		b, cov, s := regress(t, rows, y)
		for i, want := range []struct{ value, sd float64 }{
			{6.73565789473684e-4, 1.07938612033077e-4}, {7.32059160401003e-7, 1.57817399981659e-10}, {-3.16081871345029e-15, 4.86652849992036e-17},
		} {
			closeTo(t, "coefficient", b[i], want.value, 1e-8)
			closeTo(t, "its standard deviation", math.Sqrt(cov.At(i, i)), want.sd, 1e-8)
		}
		closeTo(t, "s", s, 2.05177424076185e-4, 1e-8)
	})
	t.Run("Longley", func(t *testing.T) {
		// NIST StRD; data and certified values from memory: fitted with fifty digits, the
		// ones give the others [M, V].
		y := []float64{60323, 61122, 60171, 61187, 63221, 63639, 64989, 63761, 66019, 67857, 68169, 66513, 68655, 69564, 69331, 70551}
		columns := [][]float64{
			{83.0, 88.5, 88.2, 89.5, 96.2, 98.1, 99.0, 100.0, 101.2, 104.6, 108.4, 110.8, 112.6, 114.2, 115.7, 116.9},
			{234289, 259426, 258054, 284599, 328975, 346999, 365385, 363112, 397469, 419180, 442769, 444546, 482704, 502601, 518173, 554894},
			{2356, 2325, 3682, 3351, 2099, 1932, 1870, 3578, 2904, 2822, 2936, 4681, 3813, 3931, 4806, 4007},
			{1590, 1456, 1616, 1650, 3099, 3594, 3547, 3350, 3048, 2857, 2798, 2637, 2552, 2514, 2572, 2827},
			{107608, 108632, 109773, 110929, 112075, 113270, 115094, 116219, 117388, 118734, 120445, 121950, 123366, 125368, 127852, 130081},
		}
		var rows [][]float64
		for i := range y {
			row := []float64{1}
			for _, c := range columns {
				row = append(row, c[i])
			}
			rows = append(rows, append(row, float64(1947+i)))
		}
		b, _, s := regress(t, rows, y)
		for i, want := range []float64{-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355} {
			closeTo(t, "coefficient", b[i], want, 1e-7)
		}
		closeTo(t, "s", s, 304.854073561965, 1e-7)
	})
	t.Run("Wampler 1", func(t *testing.T) {
		// NIST StRD: y = 1 + x + … + x⁵ at x = 0 … 20, so that all coefficients are 1 [M, V].
		var rows [][]float64
		var y []float64
		for i := range 21 {
			row, sum, v := make([]float64, 6), 0.0, 1.0
			for j := range row {
				row[j] = v
				sum += v
				v *= float64(i)
			}
			rows, y = append(rows, row), append(y, sum)
		}
		b, _, _ := regress(t, rows, y)
		for _, v := range b {
			near(t, "coefficient", v, 1, 1e-8)
		}
	})
}

func TestMeansAndTheirDoubtAreThoseOfLeastSquares(t *testing.T) {
	// Sets with gaps against the oracle: one column a zone, one a set but the first. The
	// scatter beforehand is taken as what the residuals give and the same for all zones,
	// so that it adds nothing.
	rng := rand.New(rand.NewPCG(31, 1))
	for range 20 {
		zones, sets := 3+rng.IntN(5), 3+rng.IntN(5)
		m := mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM})
		k := EqualAreas(m, zones)
		var design [][]float64
		var y []float64
		given := make([][]float64, sets)
		for s := range given {
			for i := range zones {
				v := float64(i*i) + 3*float64(s) + 0.1*rng.NormFloat64()
				if (s+i)%4 == 3 {
					v = math.NaN()
				} else {
					row := make([]float64, zones+sets-1)
					row[i] = 1
					if s > 0 {
						row[zones+s-1] = 1
					}
					design, y = append(design, row), append(y, v)
				}
				given[s] = append(given[s], v)
			}
		}
		b, cov, s := regress(t, design, y)
		all := make([][]bool, sets)
		values := make([][]float64, sets)
		for n, row := range given {
			for _, v := range row {
				all[n] = append(all[n], !math.IsNaN(v))
				values[n] = append(values[n], v)
			}
		}
		shape := make([]float64, zones)
		f := fit{mean: make([]float64, zones), zero: make([]float64, sets), variance: make([]float64, zones), taken: make([]int, zones), shape: shape}
		var list []set
		for n := range values {
			list = append(list, set{values: values[n]})
		}
		for i := range zones {
			f.variance[i] = s * s
		}
		if !f.leastSquares(list, all) {
			t.Fatal("the sets do not hang together")
		}
		for i := 1; i < zones; i++ {
			near(t, "mean", f.mean[i]-f.mean[0], b[i]-b[0], 1e-9)
			got := f.cov.At(i, i) + f.cov.At(0, 0) - 2*f.cov.At(0, i)
			want := cov.At(i, i) + cov.At(0, 0) - 2*cov.At(0, i)
			closeTo(t, "variance of a difference", got, want, 1e-6)
		}
		for n := 1; n < sets; n++ {
			near(t, "zero", f.zero[n]-f.zero[0], b[zones+n-1], 1e-9)
		}
		// And whole, where each zone's scatter is drawn so near to that of all that it moves
		// the means by a fiftieth of the scatter at most.
		for i, mean := range Given(k, Sheet{Scatter: 10 * MM}, given...).Means() {
			near(t, "mean, mm", mean.Reading.In(MM), b[i]-b[0], 2e-3)
		}
	}
}

func TestTheDoubtOfAMeanIsThatOfTheGuide(t *testing.T) {
	// JCGM 100:2008, 4.4.3: twenty readings of a temperature, mean 100.145 °C, s 1.489,
	// standard uncertainty of the mean 0.333 [M; mean and s recomputed]. Here they are
	// what a zone reads, in mm, beside a neighbour at 100; one reading then scatters by
	// s/√2, which is what is thought beforehand as well.
	list := []float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
		100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72}
	k := EqualAreas(mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM}), 2)
	var sets [][]float64
	for _, v := range list {
		sets = append(sets, []float64{100, v})
	}
	r := Given(k, Sheet{Scatter: 1.489 / math.Sqrt2 * MM}, sets...)
	scatter, _ := r.Scatter()
	near(t, "s, mm", scatter.In(MM)*math.Sqrt2, 1.489, 0.0005)
	near(t, "mean, mm", r.Means()[1].Reading.In(MM), 100.145-100, 1e-9)
	near(t, "uncertainty, mm", math.Sqrt(r.fit.cov.At(0, 0)+r.fit.cov.At(1, 1)-2*r.fit.cov.At(0, 1))*1e3, 0.333, 0.0005)
}
