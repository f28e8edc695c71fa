package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// Perfect returns the exact figure without any error.
func Perfect(m *mirror.Mirror) *Figure { return New(m, make([]float64, GridSize), nil) }

// Obstructed returns the figure of the glass that is in the light behind an
// obstruction of diameter d about the axis, as a secondary mirror is: that of the
// same mirror with a hole of that size. All that quality says of it is then said
// of the ring that is left. Where the mirror's own hole is as large the figure is
// returned as it is. It stops the recipe where d is not from 0 to nine tenths of
// the clear diameter.
func (f *Figure) Obstructed(d unit.Length) *Figure {
	clear := 2 * f.m.Clear()
	if !(d >= 0 && d <= 0.9*clear) {
		host.StopArg("figure.Figure.Obstructed", "d", d, fmt.Sprintf("from 0 to %v, nine tenths of the clear diameter", 0.9*clear))
	}
	if d <= 2*f.m.Hole() {
		return f
	}
	spec := f.m.Spec()
	spec.Hole = d
	m := mirror.New(spec)
	take := between(f.r, Grid(m))
	var e mat.VecDense
	e.MulVec(take, mat.NewVecDense(len(f.e), f.e))
	var cov *mat.SymDense
	if f.cov != nil {
		var half, full mat.Dense
		half.Mul(take, f.cov)
		full.Mul(&half, take.T())
		cov = mat.NewSymDense(GridSize, nil)
		for i := range GridSize {
			for j := i; j < GridSize; j++ {
				cov.SetSym(i, j, (full.At(i, j)+full.At(j, i))/2)
			}
		}
	}
	return New(m, e.RawVector().Data, cov)
}

// between returns the matrix that takes values at the even radii r to values at the
// radii to, by the cubic through the four nearest.
func between(r, to []float64) *mat.Dense {
	take := mat.NewDense(len(to), len(r), nil)
	for k, v := range to {
		first, shares := cubic(r, v)
		for i, share := range shares {
			take.Set(k, first+i, share)
		}
	}
	return take
}

// cubic returns the shares that values at four of the even radii r, from the first
// on, have in the value at v: Lagrange's polynomial.
func cubic(r []float64, v float64) (first int, shares [4]float64) {
	n := len(r)
	x := (v - r[0]) / (r[n-1] - r[0]) * float64(n-1)
	first = min(max(int(math.Floor(x))-1, 0), n-4)
	for i := range shares {
		shares[i] = 1
		for j := range shares {
			if j != i {
				shares[i] *= (x - float64(first+j)) / float64(i-j)
			}
		}
	}
	return first, shares
}
