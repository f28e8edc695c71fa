package session

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/zone"
)

// A seen is what the readings after some work say of it:
//
//	off = Z·(error of the figure before) - Σ k·Z·g + scatter,
//
// where off is what the zones read more than they would on the figure before the
// work, Z the change of the readings with the heights, and g what each spell takes
// off for k = 1. The readings are free in one common shift.
type seen struct {
	change  *mat.Dense // Z
	scatter []float64  // standard deviation of each of off, from the scatter of readings alone
	off     []float64
	each    [][]float64     // of each spell: -Z·g
	lap     []int           // of each spell: the place of its lap
	cov     *mat.SymDense   // of off, but for the rates and the shapes
	shape   []*mat.SymDense // of each spell: doubt of the shape of its profile, for k = 1
}

// anyShift stands for a common shift of the readings that is not known, as a
// standard deviation in metres: far more than readings are off by, far less than
// would spoil the arithmetic.
const anyShift = 5e-3

// shapeDoubt is by how much the depth at one radius may miss that of the model
// once the rate is right: pitch flows, slurry runs dry, the hand drifts. An extended
// Preston model misses measured removal by up to about 22 % all told (see package
// wear); half of that is taken here. Common practice, no source.
const shapeDoubt = 0.1

// see looks at a work. It does not depend on the rates.
func see(w Work, laps []*lap.Lap) *seen {
	m := w.Before.Mirror()
	off, z, noise := zone.Misfit(w.After, w.Before)
	s := &seen{change: z, off: off, cov: noise}
	n := len(off)
	for i := range n {
		s.scatter = append(s.scatter, math.Sqrt(noise.At(i, i)))
		for j := i; j < n; j++ {
			s.cov.SetSym(i, j, s.cov.At(i, j)+anyShift*anyShift)
		}
	}
	if c := w.Before.Covariance(); c != nil {
		addCongruent(s.cov, z, c)
	}
	for _, sp := range w.Spells {
		g := sp.depth(m)
		floats.Scale(-1, g)
		var change mat.VecDense
		change.MulVec(z, mat.NewVecDense(len(g), g))
		s.each = append(s.each, change.RawVector().Data)
		s.lap = append(s.lap, slices.Index(laps, sp.Lap))

		// The depth is off by g·ε with ε alike over about half the lap's radius.
		length := float64(sp.Lap.Radius()) / 2
		grid := figure.Grid(m)
		e := mat.NewSymDense(len(g), nil)
		for i := range g {
			for j := i; j < len(g); j++ {
				d := (grid[i] - grid[j]) / length
				e.SetSym(i, j, shapeDoubt*shapeDoubt*g[i]*g[j]*elementary.Exp(-d*d/2))
			}
		}
		shape := mat.NewSymDense(n, nil)
		addCongruent(shape, z, e)
		s.shape = append(s.shape, shape)
	}
	return s
}

// addCongruent adds a·c·aᵀ to sum.
func addCongruent(sum *mat.SymDense, a *mat.Dense, c mat.Symmetric) {
	var half, full mat.Dense
	half.Mul(a, c)
	full.Mul(&half, a.T())
	n := sum.SymmetricDim()
	for i := range n {
		for j := i; j < n; j++ {
			sum.SetSym(i, j, sum.At(i, j)+(full.At(i, j)+full.At(j, i))/2)
		}
	}
}

// left returns what is left of off at rates whose logarithms are ln, the common
// one first; how that changes with ln; and its covariance at those rates.
func (s *seen) left(ln []float64) (left *mat.VecDense, change *mat.Dense, cov *mat.SymDense) {
	n := len(s.off)
	left = mat.NewVecDense(n, slices.Clone(s.off))
	change = mat.NewDense(n, len(ln), nil)
	cov = mat.NewSymDense(n, nil)
	cov.CopySym(s.cov)
	for i, each := range s.each {
		at := s.lap[i] + 1
		k := elementary.Exp(ln[at])
		left.AddScaledVec(left, -k, mat.NewVecDense(n, each))
		for z, v := range each {
			change.Set(z, at, change.At(z, at)-k*v)
		}
		var shape mat.SymDense
		shape.ScaleSym(k*k, s.shape[i])
		cov.AddSym(cov, &shape)
	}
	return left, change, cov
}
