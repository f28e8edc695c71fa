package figure

import (
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/host"
)

// Samples returns n figures drawn from the heights and their covariance, taken
// as normal: surfaces the mirror may have, each as likely as the next. The same
// seed gives the same figures. It stops the recipe where n is not from 1 to
// 100,000. Where the heights are exact all samples are the figure itself.
func (f *Figure) Samples(n int, seed uint64) []*Figure {
	if n < 1 || n > 100_000 {
		host.StopArg("figure.Figure.Samples", "n", n, "from 1 to 100000")
	}
	list := make([]*Figure, 0, n)
	f.draw(n, seed, func(e []float64) {
		list = append(list, &Figure{f.m, f.r, append([]float64(nil), e...), nil})
	})
	return list
}

// draw calls yield with n samples, one after another, in the same slice.
func (f *Figure) draw(n int, seed uint64, yield func([]float64)) {
	rows := f.factor()
	rng := rand.New(rand.NewPCG(seed, 0x6c6170))
	e := make([]float64, len(f.e))
	for range n {
		copy(e, f.e)
		for _, row := range rows {
			z := rng.NormFloat64()
			for i, v := range row {
				e[i] += z * v
			}
		}
		yield(e)
	}
}

// factor returns rows u with C = Σ u uᵀ, by Cholesky with complete pivoting.
// A covariance of heights has no full rank: piston and focus may be out of it,
// and a smooth surface has few free shapes. The factoring stops where what is
// left of every variance is below rounding, n·ε of the largest (Higham 1990,
// "Analysis of the Cholesky decomposition of a semi-definite matrix" [from memory]).
func (f *Figure) factor() [][]float64 {
	if f.cov == nil {
		return nil
	}
	var c mat.PivotedCholesky
	c.Factorize(f.cov, -1)
	u := c.RawU()
	pivots := c.ColumnPivots(nil)
	rows := make([][]float64, c.Rank())
	for k := range rows {
		rows[k] = make([]float64, len(f.e))
		for i := k; i < len(f.e); i++ {
			rows[k][pivots[i]] = u.At(k, i)
		}
	}
	return rows
}
