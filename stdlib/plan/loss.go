package plan

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
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
// E[k k'] is given for each two laps (see doubt). The expected mean square is then
// the quadratic
//
//	|y|² + spread - 2 b·n + n·Q·n,  Q = E[k k']·AᵀA for the laps of each two columns.
//
// For low glass each ring's height is taken as normal with its mean m and
// variance v, so that E[min(e,0)²] = (m²+v)Φ(-m/√v) - m√v φ(m/√v). That is
// convex in n: the expectation of a convex function of something linear in n
// is convex, grows with √v, and √v is a norm of n. So is the whole loss.
// Asymmetric squares: Newey and Powell 1987, Econometrica 55, 819 [from memory].
type loss struct {
	quadratic
	b     []float64
	fixed float64 // |y|² + spread
	lap   []int   // of each column
	laps  int
	apart []float64 // E[k k'] - 1 for each two laps, by rows

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
		lap:       lap, laps: q.cov.SymmetricDim(), low: low,
		area: make([]float64, rings), vary: make([]float64, rings),
	}
	for i := range l.laps {
		for j := range l.laps {
			l.apart = append(l.apart, q.joint(i, j)-1)
		}
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
		floats.Scale(q.mean(lap[i]), h)
		l.ring = append(l.ring, l.byRing(w, h))
		rooted(w, h)
		l.b[i] = floats.Dot(h, y)
		a.Data = append(a.Data, h...)
	}
	if n == 0 {
		return l
	}
	blas64.Syrk(blas.NoTrans, 1, a, 0, blas64.Symmetric{N: n, Stride: n, Data: l.q, Uplo: blas.Upper})
	for i := range n {
		for j := i; j < n; j++ {
			l.q[i*n+j] *= 1 + l.together(lap[i], lap[j])
			l.q[j*n+i] = l.q[i*n+j]
		}
	}
	return l
}

// together returns E[k k'] - 1 for the rates of laps i and j.
func (l *loss) together(i, j int) float64 { return l.apart[i*l.laps+j] }

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
			sum += q - q/(1+l.together(l.lap[i], l.lap[j]))
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
	sum := 0.0
	for g := range l.whole {
		p, byMean, byVar := lowSquare(l.left(g))
		c := l.low * l.area[g]
		sum += c * p
		for k := range l.laps {
			l.pull[k*rings+g] = c * (byMean - 2*byVar*l.shared(k, g))
		}
	}
	return sum
}

// left returns the mean and the variance of the height of ring g at the x of the
// last call of price.
func (l *loss) left(g int) (mean, variance float64) {
	variance = l.vary[g]
	for k := range l.laps {
		if e := l.each[k*rings+g]; e != 0 {
			variance += e * l.shared(k, g)
		}
	}
	return l.start[g] - l.whole[g], variance
}

// shared returns the covariance of what all laps take off ring g with the rate of
// lap k.
func (l *loss) shared(k, g int) float64 {
	sum := 0.0
	for j, a := range l.apart[k*l.laps : (k+1)*l.laps] {
		sum += a * l.each[j*rings+g]
	}
	return sum
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
	tail := 0.5 * elementary.Erfc(m/s/math.Sqrt2)
	density := elementary.Exp(-0.5*m*m/v) / math.Sqrt(2*math.Pi)
	return (m*m+v)*tail - m*s*density, 2 * (m*tail - s*density), tail
}
