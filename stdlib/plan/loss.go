package plan

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// rings is how many rings of equal width the mirror is cut into to see what lies low.
const rings = 32

// A loss is what a plan is judged by: the expected mean square of the height
// left, by area, with piston and focus taken out, in nm², and for glass left
// low that mean square times low once more.
//
// Turns n of the columns leave the height E - Σ n k a, with E and the rates k
// uncertain. Every k has the expected value 1 (it is in the columns), and
// E[k k'] is common for columns of two laps and common·own for two of one lap.
// The expected mean square is then the quadratic
//
//	|y|² + spread - 2 b·n + n·Q·n,  Q = common·(own where the laps agree)·AᵀA.
//
// For low glass each ring's height is taken as normal with its mean m and
// variance v, so that E[min(e,0)²] = (m²+v)Φ(-m/√v) - m√v φ(m/√v). That is
// convex in n: the expectation of a convex function of something linear in n
// is convex, grows with √v, and √v is a norm of n. So is the whole loss.
// Asymmetric squares: Newey and Powell 1987, Econometrica 55, 819 [from memory].
type loss struct {
	quadratic
	b           []float64
	fixed       float64 // |y|² + spread
	lap         []int   // of each column
	laps        int
	common, own float64

	low   float64     // the further price of low glass, 0 for none
	area  []float64   // share of the area of each ring
	start []float64   // mean height of each ring before work
	vary  []float64   // its variance
	ring  [][]float64 // of each column: what a turn takes off each ring, refocused

	each, whole []float64 // scratch: by lap and ring, by ring
	pull        []float64 // by lap and ring: fall of the price of low glass with what a lap takes off a ring
}

// newLoss builds the loss from heights e and depths a turn a, both in nm on a
// grid with radii r and area weights w, and the covariance of e (nil for none).
func newLoss(r, w, e []float64, cov *mat.SymDense, a [][]float64, lap []int, common, own, low float64) *loss {
	n, m := len(a), len(r)
	p := newProjector(r, w)
	l := &loss{
		quadratic: quadratic{n: n, q: make([]float64, n*n)},
		b:         make([]float64, n),
		lap:       lap, common: common, own: own, low: low,
		area: make([]float64, rings), start: make([]float64, rings), vary: make([]float64, rings),
		ring: make([][]float64, n),
	}
	for _, k := range lap {
		l.laps = max(l.laps, k+1)
	}
	l.each, l.whole = make([]float64, l.laps*rings), make([]float64, rings)
	l.pull = make([]float64, l.laps*rings)

	y := p.apply(e)
	l.fixed = dot(y, y)
	cols := blas64.General{Rows: n, Cols: m, Stride: m, Data: make([]float64, 0, n*m)}
	for _, h := range a {
		cols.Data = append(cols.Data, p.apply(h)...)
	}
	blas64.Syrk(blas.NoTrans, common, cols, 0, blas64.Symmetric{N: n, Stride: n, Data: l.q, Uplo: blas.Upper})
	for i := range n {
		ai := cols.Data[i*m : (i+1)*m]
		l.b[i] = dot(ai, y)
		l.ring[i] = p.rings(ai)
		for j := i; j < n; j++ {
			if lap[i] == lap[j] {
				l.q[i*n+j] *= own
			}
			l.q[j*n+i] = l.q[i*n+j]
		}
	}
	copy(l.area, p.area)
	copy(l.start, p.rings(y))
	if cov != nil {
		l.fixed += p.spread(cov, l.vary)
	}
	return l
}

// at returns the loss at turns x of the columns cols, and sets pull.
func (l *loss) at(cols []int, x []float64) float64 {
	v := l.fixed
	for i, c := range cols {
		row := l.q[c*l.n:]
		s := -2 * l.b[c]
		for j, d := range cols {
			s += row[d] * x[j]
		}
		v += x[i] * s
	}
	return v + l.price(cols, x)
}

// price returns the further price of low glass at x, and sets pull.
func (l *loss) price(cols []int, x []float64) float64 {
	if l.low == 0 {
		return 0
	}
	clear(l.each)
	for i, c := range cols {
		each := l.each[l.lap[c]*rings:][:rings]
		for g, d := range l.ring[c] {
			each[g] += x[i] * d
		}
	}
	clear(l.whole)
	for g := range l.whole {
		for k := range l.laps {
			l.whole[g] += l.each[k*rings+g]
		}
	}
	together, apart := l.common-1, l.common*(l.own-1)
	sum := 0.0
	for g := range l.whole {
		d := l.whole[g]
		m, v := l.start[g]-d, l.vary[g]+together*d*d
		for k := range l.laps {
			e := l.each[k*rings+g]
			v += apart * e * e
		}
		p, byMean, byVar := lowSquare(m, v)
		c := l.low * l.area[g]
		sum += c * p
		for k := range l.laps {
			l.pull[k*rings+g] = c * (byMean - 2*byVar*(together*d+apart*l.each[k*rings+g]))
		}
	}
	return sum
}

// along returns how a price with that pull falls with turns of column c.
func (l *loss) along(pull []float64, c int) float64 {
	if l.low == 0 {
		return 0
	}
	return dot(pull[l.lap[c]*rings:][:rings], l.ring[c])
}

// lowSquare returns E[min(e,0)²] for e normal with mean m and variance v, and
// its derivatives by m and by v.
func lowSquare(m, v float64) (p, byMean, byVar float64) {
	if v <= 0 {
		if m >= 0 {
			return 0, 0, 0
		}
		return m * m, 2 * m, 1
	}
	s := math.Sqrt(v)
	tail := 0.5 * math.Erfc(m/s/math.Sqrt2)
	density := math.Exp(-0.5*m*m/v) / math.Sqrt(2*math.Pi)
	return (m*m+v)*tail - m*s*density, 2 * (m*tail - s*density), tail
}

// A projector takes piston and focus out of heights and scales them by the root
// of the area, so that dot products are means over the clear aperture.
type projector struct {
	root   []float64    // √w
	u      [2][]float64 // piston and focus, made orthonormal, times √w
	ringOf []int
	area   []float64
}

func newProjector(r, w []float64) *projector {
	p := &projector{root: make([]float64, len(r)), ringOf: make([]int, len(r)), area: make([]float64, rings)}
	for i := range w {
		p.root[i] = math.Sqrt(w[i])
		p.ringOf[i] = min(i*rings/(len(r)-1), rings-1)
		p.area[p.ringOf[i]] += w[i]
	}
	for k := range p.u {
		u := make([]float64, len(r))
		for i := range u {
			u[i] = p.root[i] * math.Pow(r[i]/r[len(r)-1], float64(2*k))
		}
		for range 2 { // twice is enough
			for j := range k {
				axpy(-dot(p.u[j], u), p.u[j], u)
			}
		}
		norm := math.Sqrt(dot(u, u))
		for i := range u {
			u[i] /= norm
		}
		p.u[k] = u
	}
	return p
}

// apply returns √w times h without piston and focus.
func (p *projector) apply(h []float64) []float64 {
	v := make([]float64, len(h))
	for i := range h {
		v[i] = p.root[i] * h[i]
	}
	p.project(v)
	return v
}

func (p *projector) project(v []float64) {
	for _, u := range p.u {
		axpy(-dot(u, v), u, v)
	}
}

// rings returns the mean height of each ring of what apply returned.
func (p *projector) rings(v []float64) []float64 {
	g := make([]float64, rings)
	for i := range v {
		g[p.ringOf[i]] += p.root[i] * v[i]
	}
	for k := range g {
		g[k] /= p.area[k]
	}
	return g
}

// spread returns the expected mean square of heights with covariance cov about
// their mean, piston and focus out, and adds the variance of each ring to vary.
func (p *projector) spread(cov *mat.SymDense, vary []float64) float64 {
	n := len(p.root)
	c := mat.NewDense(n, n, nil)
	for i := range n {
		row := c.RawRowView(i)
		for j := range row {
			row[j] = p.root[i] * p.root[j] * cov.At(i, j)
		}
		p.project(row)
	}
	sum, v := 0.0, make([]float64, n)
	for j := range n {
		mat.Col(v, j, c)
		p.project(v)
		c.SetCol(j, v)
		sum += v[j]
	}
	for g := range vary {
		for i := range n {
			if p.ringOf[i] != g {
				continue
			}
			for j := range n {
				if p.ringOf[j] == g {
					vary[g] += p.root[i] * p.root[j] * c.At(i, j) / (p.area[g] * p.area[g])
				}
			}
		}
	}
	return sum
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		s += v * b[i]
	}
	return s
}

func axpy(k float64, x, y []float64) {
	for i, v := range x {
		y[i] += k * v
	}
}
