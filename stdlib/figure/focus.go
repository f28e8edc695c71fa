package figure

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Refocused returns the figure with piston and focus taken out by least squares
// weighted by area, covariance included. Focus is a change of height in
// proportion to r², which for a paraboloid is exactly a change of R, and for
// any mirror is so far below the figure's own doubt for changes of height of
// some micrometres.
func (f *Figure) Refocused() *Figure {
	p := newFocus(f.r)
	return &Figure{f.m, f.r, p.remove(f.e), p.removeBoth(f.cov)}
}

// A focus takes piston and focus out of heights on a grid: e - q·<q,e> over the
// two functions q, which are orthonormal in the weights.
type focus struct {
	w []float64
	q [2][]float64
}

func newFocus(r []float64) focus {
	p := focus{w: weights(r)}
	mean := 0.0
	for i, w := range p.w {
		mean += w * r[i] * r[i]
	}
	p.q[0], p.q[1] = make([]float64, len(r)), make([]float64, len(r))
	norm := 0.0
	for i := range r {
		p.q[0][i] = 1
		p.q[1][i] = r[i]*r[i] - mean
		norm += p.w[i] * p.q[1][i] * p.q[1][i]
	}
	norm = math.Sqrt(norm)
	for i := range r {
		p.q[1][i] /= norm
	}
	return p
}

// dot returns the mean of a·b over the aperture.
func (p focus) dot(a, b []float64) float64 {
	sum := 0.0
	for i, w := range p.w {
		sum += w * a[i] * b[i]
	}
	return sum
}

func (p focus) remove(e []float64) []float64 {
	out := append([]float64(nil), e...)
	for _, q := range p.q {
		c := p.dot(q, e)
		for i := range out {
			out[i] -= c * q[i]
		}
	}
	return out
}

// removeBoth takes piston and focus out of both sides of a covariance.
func (p focus) removeBoth(c *mat.SymDense) *mat.SymDense {
	if c == nil {
		return nil
	}
	n := len(p.w)
	// a[k] = <q_k, C>, b[k][l] = <q_k, C q_l>.
	var a [2][]float64
	var b [2][2]float64
	for k, q := range p.q {
		a[k] = make([]float64, n)
		for i := range n {
			sum := 0.0
			for j, w := range p.w {
				sum += w * q[j] * c.At(j, i)
			}
			a[k][i] = sum
		}
	}
	for k := range p.q {
		for l := range p.q {
			b[k][l] = p.dot(a[k], p.q[l])
		}
	}
	out := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := c.At(i, j)
			for k, q := range p.q {
				v -= q[i]*a[k][j] + a[k][i]*q[j]
				for l := range p.q {
					v += q[i] * b[k][l] * p.q[l][j]
				}
			}
			out.SetSym(i, j, v)
		}
	}
	return out
}
