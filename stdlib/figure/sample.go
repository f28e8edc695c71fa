package figure

import (
	"math"
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
	u, middle := f.root()
	rng := rand.New(rand.NewPCG(seed, 0x6c6170))
	size := len(f.e)
	e := mat.NewVecDense(size, nil)
	z := mat.NewVecDense(size, nil)
	for range n {
		e.CopyVec(mat.NewVecDense(size, f.e))
		if u != nil {
			for i := range size {
				z.SetVec(i, rng.NormFloat64())
			}
			var a, b, moved mat.VecDense
			a.MulVec(u.T(), z)
			b.MulVec(middle, &a)
			moved.MulVec(u, &b)
			e.AddVec(e, &moved)
		}
		yield(e.RawVector().Data)
	}
}

// root returns the symmetric square root of the covariance as u·middle·uᵀ, or nil
// where the heights are exact.
//
// Of all roots the symmetric one alone moves no more than its covariance does, so
// that the last bits of that, which differ between processors, do not turn the
// samples into others. A covariance of heights has no full rank: piston and focus
// may be out of it, and a smooth surface has few free shapes. So it is factored
// first, C = U·Uᵀ by Cholesky with complete pivoting, down to where what is left of
// every variance is below rounding (Higham 1990, "Analysis of the Cholesky
// decomposition of a semi-definite matrix" [from memory]). Then with UᵀU = QDQᵀ the
// columns of U·Q·D^(-1/2) are the eigenvectors of C and D its eigenvalues, so that
// the root is U·(Q·D^(-1/2)·Qᵀ)·Uᵀ, whatever the order of the pivots.
func (f *Figure) root() (u, middle *mat.Dense) {
	if f.cov == nil {
		return nil, nil
	}
	var chol mat.PivotedCholesky
	chol.Factorize(f.cov, -1)
	rank := chol.Rank()
	if rank == 0 {
		return nil, nil
	}
	factor, pivots := chol.RawU(), chol.ColumnPivots(nil)
	u = mat.NewDense(len(f.e), rank, nil)
	for k := range rank {
		for i := k; i < len(f.e); i++ {
			u.Set(pivots[i], k, factor.At(k, i))
		}
	}
	var square mat.SymDense
	square.SymOuterK(1, u.T())
	var eigen mat.EigenSym
	if !eigen.Factorize(&square, true) {
		panic("figure: a covariance has no eigenvalues")
	}
	values := eigen.Values(nil)
	least := 1e-15 * values[rank-1]
	for i, v := range values {
		if v > least {
			values[i] = 1 / math.Sqrt(v)
		} else {
			values[i] = 0
		}
	}
	var q, half mat.Dense
	eigen.VectorsTo(&q)
	half.Mul(&q, mat.NewDiagDense(rank, values))
	middle = new(mat.Dense)
	middle.Mul(&half, q.T())
	return u, middle
}
