package plan

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/wear"
)

// A doubt is how well the rates of some laps are known: the covariance of their
// logarithms, zeros where they are exact.
type doubt struct{ cov *mat.SymDense }

// newDoubt returns the doubt of the rates of laps.
func newDoubt(r wear.Rate, laps []*lap.Lap) doubt {
	_, cov := r.Joint(laps...)
	q := doubt{mat.NewSymDense(max(len(laps), 1), nil)}
	for i := range laps {
		for j := range i + 1 {
			q.cov.SetSym(i, j, cov.At(i+1, j+1))
		}
	}
	return q
}

// checkRate stops the recipe where a rate is none.
func checkRate(call string, r wear.Rate) {
	if !(r.K > 0 && r.K < 1) {
		host.StopArg(call, "Rate.K", r.K, "above 0, like 5e-13 m²/N")
	}
	if !(r.Factor >= 1 && r.Factor <= 100) {
		host.StopArg(call, "Rate.Factor", fmt.Sprintf("%.4g", r.Factor), "from 1 (exact) to 100")
	}
}

// exact reports whether all rates are exact.
func (q doubt) exact() bool { return mat.Norm(q.cov, 1) == 0 }

// mean returns E[k]/K for the rate k of lap i with the median K.
func (q doubt) mean(i int) float64 { return elementary.Exp(q.cov.At(i, i) / 2) }

// joint returns E[k k']/(E[k]·E[k']) for the rates of laps i and j.
func (q doubt) joint(i, j int) float64 { return elementary.Exp(q.cov.At(i, j)) }

// spread returns a covariance of k/K and k'/K' for laps i and j, as normals with
// the 68 % ranges of the lognormal rates.
func (q doubt) spread(i, j int) float64 {
	v := q.cov.At(i, j)
	if v == 0 {
		return 0
	}
	a, b := math.Sqrt(q.cov.At(i, i)), math.Sqrt(q.cov.At(j, j))
	return v / (a * b) * elementary.Sinh(a) * elementary.Sinh(b)
}

// factor returns the rows of the lower triangular L with L·Lᵀ the covariance.
// Where a pivot is nothing but rounding its column is left out.
func (q doubt) factor() [][]float64 {
	n := q.cov.SymmetricDim()
	l := make([][]float64, n)
	for i := range l {
		l[i] = make([]float64, n)
		for j := range i + 1 {
			v := q.cov.At(i, j)
			for k := range j {
				v -= l[i][k] * l[j][k]
			}
			switch {
			case i == j && v > 1e-14*q.cov.At(i, i):
				l[i][i] = math.Sqrt(v)
			case i > j && l[j][j] > 0:
				l[i][j] = v / l[j][j]
			}
		}
	}
	return l
}

// estimate returns the sum of depths, one for each lap at its median rate, and
// the range it lies in: for one lap exactly, for several to first order.
func (q doubt) estimate(depths []float64) figure.Estimate {
	sum := 0.0
	for _, d := range depths {
		sum += d
	}
	if sum == 0 {
		return figure.Estimate{}
	}
	d := mat.NewVecDense(len(depths), depths)
	s := math.Sqrt(mat.Inner(d, q.cov, d)) / math.Abs(sum)
	return figure.Estimate{Value: sum, Low: sum * elementary.Exp(-s), High: sum * elementary.Exp(s)}
}
