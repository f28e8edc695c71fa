package plan

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/figure"
)

// rings is how many rings of equal width the mirror is cut into to see what lies low.
const rings = 32

// A loss is what a plan is judged by: the expected mean square of the height
// left, by area, with piston and focus taken out, in nm², and for glass left
// low that mean square times low once more.
//
// Turns n of the columns leave the height E - Σ n k a, with E and the rates k
// uncertain. Every k has the expected value 1 (it is in the columns), and
// E[k k'] is common for columns of two laps and common·own for two of one lap
// (see doubt).
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

// newLoss builds the loss of work on figure f, where a turn of each column takes
// the given depths off the grid, in metres, at the rate K.
func newLoss(f *figure.Figure, columns [][]float64, lap []int, q doubt, low float64) *loss {
	m, n := f.Mirror(), len(columns)
	w := figure.Weights(m)
	l := &loss{
		quadratic: quadratic{n: n, q: make([]float64, n*n)},
		b:         make([]float64, n),
		lap:       lap, common: q.common(), own: q.own(), low: low,
		area: make([]float64, rings), vary: make([]float64, rings),
	}
	for _, k := range lap {
		l.laps = max(l.laps, k+1)
	}
	l.each, l.whole = make([]float64, l.laps*rings), make([]float64, rings)
	l.pull = make([]float64, l.laps*rings)
	for i, v := range w {
		l.area[ringOf(i)] += v
	}

	f = f.Refocused()
	y := f.Heights()
	l.start = l.byRing(w, y)
	rooted(w, y)
	l.fixed = floats.Dot(y, y)
	if cov := f.Covariance(); cov != nil {
		l.spread(w, cov)
	}
	a := blas64.General{Rows: n, Cols: len(w), Stride: len(w), Data: make([]float64, 0, n*len(w))}
	for i, h := range columns {
		h := figure.New(m, h, nil).Refocused().Heights()
		floats.Scale(q.mean(), h)
		l.ring = append(l.ring, l.byRing(w, h))
		rooted(w, h)
		l.b[i] = floats.Dot(h, y)
		a.Data = append(a.Data, h...)
	}
	if n == 0 {
		return l
	}
	blas64.Syrk(blas.NoTrans, l.common, a, 0, blas64.Symmetric{N: n, Stride: n, Data: l.q, Uplo: blas.Upper})
	for i := range n {
		for j := i; j < n; j++ {
			if lap[i] == lap[j] {
				l.q[i*n+j] *= l.own
			}
			l.q[j*n+i] = l.q[i*n+j]
		}
	}
	return l
}

// ringOf returns the ring that a radius of the grid belongs to.
func ringOf(i int) int { return min(i*rings/(figure.GridSize-1), rings-1) }

// byRing returns the mean of h, in metres, over each ring in nm.
func (l *loss) byRing(w, h []float64) []float64 {
	mean := make([]float64, rings)
	for i, v := range h {
		mean[ringOf(i)] += w[i] * v * 1e9
	}
	for g := range mean {
		mean[g] /= l.area[g]
	}
	return mean
}

// rooted turns heights in metres into nm times the root of the area, so that dot
// products are means over the aperture.
func rooted(w, h []float64) {
	for i := range h {
		h[i] *= 1e9 * math.Sqrt(w[i])
	}
}

// spread adds the expected mean square of heights with covariance cov about
// their mean, and sets the variance of each ring.
func (l *loss) spread(w []float64, cov *mat.SymDense) {
	for i := range w {
		l.fixed += 1e18 * w[i] * cov.At(i, i)
		for j := range w {
			if g := ringOf(i); ringOf(j) == g {
				l.vary[g] += 1e18 * w[i] * w[j] * cov.At(i, j) / (l.area[g] * l.area[g])
			}
		}
	}
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

// doubtful returns how much of the loss the doubt of the rates is, with one turn
// of each column: n·(Q - AᵀA)·n, or the part of it that belongs to column c.
func (l *loss) doubtful(c ...int) float64 {
	if len(c) == 0 {
		c = all(l.n)
	}
	sum := 0.0
	for _, i := range c {
		for j, q := range l.row(i) {
			certain := q / l.common
			if l.lap[i] == l.lap[j] {
				certain /= l.own
			}
			sum += q - certain
		}
	}
	return sum
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
	for g, d := range l.whole {
		p, byMean, byVar := lowSquare(l.left(g))
		c := l.low * l.area[g]
		sum += c * p
		for k := range l.laps {
			l.pull[k*rings+g] = c * (byMean - 2*byVar*(together*d+apart*l.each[k*rings+g]))
		}
	}
	return sum
}

// left returns the mean and the variance of the height of ring g at the x of the
// last call of price.
func (l *loss) left(g int) (mean, variance float64) {
	d := l.whole[g]
	variance = l.vary[g] + (l.common-1)*d*d
	for k := range l.laps {
		e := l.each[k*rings+g]
		variance += l.common * (l.own - 1) * e * e
	}
	return l.start[g] - d, variance
}

// along returns how a price with that pull falls with turns of column c.
func (l *loss) along(pull []float64, c int) float64 {
	if l.low == 0 {
		return 0
	}
	return floats.Dot(pull[l.lap[c]*rings:][:rings], l.ring[c])
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
