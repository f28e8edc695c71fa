package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// shopLoss is the loss of a 300 mm mirror with a ring standing high at 118 mm,
// and columns of held laps whose middle is spread along the tangent as by
// strokes of the given lengths. All in mm, nm a turn.
func shopLoss(laps, strokes []float64, step, low float64) *loss {
	r, w := shopGrid(257)
	e := make([]float64, len(r))
	for i := range r {
		e[i] = 40*bell(r[i], 118, 9) + 15*bell(r[i], 40, 25) - 10*bell(r[i], 148, 8)
	}
	var a [][]float64
	var lap []int
	for k, d := range laps {
		for c := 0.0; c+d/2 <= 160; c += step {
			for _, s := range strokes {
				h := make([]float64, len(r))
				const parts = 8
				for i := range h {
					for q := range parts {
						u := s / 2 * math.Sin(math.Pi/2*(float64(q)+.5)/parts)
						h[i] += heldTurn(r[i], math.Hypot(c, u), d/2) / parts * 1e-3
					}
				}
				a, lap = append(a, h), append(lap, k)
			}
		}
	}
	return newLoss(r, w, e, nil, a, lap, 1.04, 1.03, low)
}

func shopGrid(n int) (r, w []float64) {
	r, w = make([]float64, n), make([]float64, n)
	sum := 0.0
	for i := range r {
		r[i] = 150 * float64(i) / float64(n-1)
		w[i] = r[i]
		if i == n-1 {
			w[i] /= 2
		}
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return r, w
}

func bell(r, at, wide float64) float64 { return math.Exp(-math.Pow((r-at)/wide, 2)) }

// open are limits that do not bind, for so many spells.
func open(l *loss, spells int) searchLimits {
	return searchLimits{
		spells: spells, laps: l.laps, least: 1, most: 1e6,
		period: make([]float64, l.n), time: math.Inf(1), nodes: 100000,
	}
}

// bruteForce tries everything that the limits allow.
func bruteForce(l *loss, lim searchLimits) (least float64) {
	least = l.at(nil, nil)
	var try func(c int, cols []int, x []float64, laps map[int]bool, time float64)
	try = func(c int, cols []int, x []float64, laps map[int]bool, time float64) {
		if len(laps) > lim.laps || time > lim.time {
			return
		}
		least = math.Min(least, l.at(cols, x))
		if len(cols) == lim.spells {
			return
		}
		for ; c < l.n; c++ {
			more := map[int]bool{l.lap[c]: true}
			for k := range laps {
				more[k] = true
			}
			for n := lim.least; n <= lim.most; n++ {
				try(c+1, append(cols[:len(cols):len(cols)], c), append(x[:len(x):len(x)], float64(n)), more, time+float64(n)*lim.period[c])
			}
		}
	}
	try(0, nil, nil, map[int]bool{}, 0)
	return least
}

func TestSearchFindsWhatTryingEverythingFinds(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 0))
	r, w := shopGrid(65)
	for trial := range 60 {
		e := make([]float64, len(r))
		cov := mat.NewSymDense(len(r), nil)
		a, b := random.Float64()*150, random.Float64()*150
		for i := range r {
			e[i] = 30*bell(r[i], a, 15) + 20*bell(r[i], b, 30)
			for j := range i + 1 {
				cov.SetSym(i, j, 9*bell(r[i], r[j], 20))
			}
		}
		var cols [][]float64
		var lap []int
		for k, d := range []float64{40, 60, 90} {
			for range 2 + random.IntN(2) {
				c := random.Float64() * (150 - d/2)
				h := make([]float64, len(r))
				for i := range h {
					h[i] = heldTurn(r[i], c, d/2) * 0.05
				}
				cols, lap = append(cols, h), append(lap, k)
			}
		}
		if trial%2 == 0 {
			cov = nil
		}
		l := newLoss(r, w, e, cov, cols, lap, 1+0.2*random.Float64(), 1+0.1*random.Float64(), float64(trial%3))
		lim := open(l, 1+trial%3)
		lim.most = 9
		switch trial % 4 {
		case 1:
			lim.laps = 1 + trial%2
		case 2:
			lim.least = 3
		case 3:
			lim.time = 10
			for i := range lim.period {
				lim.period[i] = 0.5 + random.Float64()
			}
		}
		s := &search{loss: l, limits: lim}
		best, bound := s.run()
		want := bruteForce(l, lim)
		if math.Abs(best.loss-want) > 1e-6*want {
			t.Errorf("trial %d: loss %v with %v of %v, trying everything finds %v", trial, best.loss, best.turns, best.cols, want)
		}
		if bound > want*(1+1e-9) || bound < best.loss*(1-1e-6) {
			t.Errorf("trial %d: says no loss is below %v; the least is %v", trial, bound, want)
		}
		time, laps := 0.0, map[int]bool{}
		for i, c := range best.cols {
			time += float64(best.turns[i]) * lim.period[c]
			laps[l.lap[c]] = true
			if best.turns[i] < lim.least || best.turns[i] > lim.most {
				t.Errorf("trial %d: %d turns", trial, best.turns[i])
			}
		}
		if time > lim.time || len(laps) > lim.laps || len(best.cols) > lim.spells {
			t.Errorf("trial %d: %v turns of %v break the limits", trial, best.turns, best.cols)
		}
	}
}

func TestSearchThatIsCutShortStatesABoundThatHolds(t *testing.T) {
	l := shopLoss([]float64{150, 100, 70, 45}, []float64{20, 60}, 4, 2)
	whole := &search{loss: l, limits: open(l, 3)}
	best, _ := whole.run()
	for _, nodes := range []int{1, 5, 20, 80} {
		short := &search{loss: l, limits: open(l, 3)}
		short.limits.nodes = nodes
		got, bound := short.run()
		if bound > best.loss || got.loss < best.loss*(1-1e-9) {
			t.Errorf("after %d nodes: loss %v, bound %v, where the least is %v", nodes, got.loss, bound, best.loss)
		}
	}
}

func TestEqualPlansAreSettledByOrder(t *testing.T) {
	// Two laps that are the same in all: the first of them is named, whatever
	// the order of the search.
	r, w := shopGrid(65)
	e, h := make([]float64, len(r)), make([]float64, len(r))
	for i := range r {
		e[i] = 30 * bell(r[i], 80, 15)
		h[i] = heldTurn(r[i], 80, 20) * 0.01
	}
	l := newLoss(r, w, e, nil, [][]float64{h, h, h}, []int{0, 0, 0}, 1, 1, 0)
	s := &search{loss: l, limits: open(l, 2)}
	best, _ := s.run()
	if len(best.cols) != 1 || best.cols[0] != 0 {
		t.Errorf("the plan uses columns %v, not the first of three equal ones", best.cols)
	}
}

func TestLowSquareMatchesItsIntegral(t *testing.T) {
	// E[min(e,0)²] by Simpson's rule over ten standard deviations; the
	// derivatives by central differences.
	byIntegral := func(m, v float64) float64 {
		s, sum := math.Sqrt(v), 0.0
		const n = 4000
		for i := range n + 1 {
			z := -10 + 20*float64(i)/n
			c := 2.0
			if i%2 == 1 {
				c = 4
			}
			if i == 0 || i == n {
				c = 1
			}
			e := math.Min(m+s*z, 0)
			sum += c * e * e * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * 20 / n / 3
		}
		return sum
	}
	for _, c := range [][2]float64{{0, 1}, {1, 1}, {-2, 0.5}, {3, 4}, {-5, 0.01}, {5, 30}} {
		m, v := c[0], c[1]
		p, byMean, byVar := lowSquare(m, v)
		if want := byIntegral(m, v); math.Abs(p-want) > 1e-5*(1+want) {
			t.Errorf("m %v, v %v: %v, want %v", m, v, p, want)
		}
		const d = 1e-5
		up, _, _ := lowSquare(m+d, v)
		down, _, _ := lowSquare(m-d, v)
		if math.Abs((up-down)/(2*d)-byMean) > 1e-5 {
			t.Errorf("m %v, v %v: slope with the mean %v, want %v", m, v, byMean, (up-down)/(2*d))
		}
		up, _, _ = lowSquare(m, v*(1+d))
		down, _, _ = lowSquare(m, v*(1-d))
		if math.Abs((up-down)/(2*d*v)-byVar) > 1e-5 {
			t.Errorf("m %v, v %v: slope with the variance %v, want %v", m, v, byVar, (up-down)/(2*d*v))
		}
	}
	if p, _, _ := lowSquare(-3, 0); p != 9 {
		t.Errorf("3 nm low for certain costs %v, want 9", p)
	}
}

func TestLossIsTheExpectedSquareOfManySamples(t *testing.T) {
	// E and the rates drawn at random; piston and focus taken out by ordinary
	// least squares with area weights.
	random := rand.New(rand.NewPCG(3, 1))
	r, w := shopGrid(65)
	n := len(r)
	e := make([]float64, n)
	cov := mat.NewSymDense(n, nil)
	for i := range r {
		e[i] = 30 * bell(r[i], 100, 15)
		for j := range i + 1 {
			cov.SetSym(i, j, 16*bell(r[i], r[j], 25)+25) // and a common height not known
		}
	}
	a := [][]float64{make([]float64, n), make([]float64, n), make([]float64, n)}
	for i := range r {
		a[0][i], a[1][i], a[2][i] = heldTurn(r[i], 100, 30)*1e-3, heldTurn(r[i], 90, 20)*1e-3, heldTurn(r[i], 105, 20)*1e-3
	}
	lap := []int{0, 1, 1}
	const sc, so = 0.3, 0.2
	l := newLoss(r, w, e, cov, a, lap, math.Exp(sc*sc), math.Exp(so*so), 0)
	turns := []float64{80, 40, 60}
	want := l.at([]int{0, 1, 2}, turns)

	jitter := mat.NewSymDense(n, nil)
	jitter.CopySym(cov)
	for i := range n {
		jitter.SetSym(i, i, cov.At(i, i)+1e-6)
	}
	var chol mat.Cholesky
	if !chol.Factorize(jitter) {
		t.Fatal("covariance is not positive")
	}
	var lower mat.TriDense
	chol.LTo(&lower)
	const samples = 20000
	sum := 0.0
	for range samples {
		z := mat.NewVecDense(n, nil)
		for i := range n {
			z.SetVec(i, random.NormFloat64())
		}
		var d mat.VecDense
		d.MulVec(&lower, z)
		// Rates with expected value 1.
		common := math.Exp(sc*random.NormFloat64() - sc*sc/2)
		own := []float64{math.Exp(so*random.NormFloat64() - so*so/2), math.Exp(so*random.NormFloat64() - so*so/2)}
		h := make([]float64, n)
		for i := range h {
			h[i] = e[i] + d.AtVec(i)
			for j := range a {
				h[i] -= common * own[lap[j]] * turns[j] * a[j][i]
			}
		}
		// Least squares of h on 1 and r².
		var s0, s2, s4, h0, h2 float64
		for i := range h {
			q := r[i] * r[i]
			s0, s2, s4 = s0+w[i], s2+w[i]*q, s4+w[i]*q*q
			h0, h2 = h0+w[i]*h[i], h2+w[i]*q*h[i]
		}
		c2 := (h2*s0 - h0*s2) / (s4*s0 - s2*s2)
		c0 := (h0 - c2*s2) / s0
		for i := range h {
			v := h[i] - c0 - c2*r[i]*r[i]
			sum += w[i] * v * v / samples
		}
	}
	if math.Abs(sum-want) > 0.03*want {
		t.Errorf("loss %v, mean of %d samples %v", want, samples, sum)
	}
}

func BenchmarkSearch(b *testing.B) {
	for _, c := range []struct {
		strokes []float64
		step    float64
	}{{[]float64{20}, 8}, {[]float64{20, 60}, 4}, {[]float64{10, 20, 40, 60, 80}, 1}} {
		l := shopLoss([]float64{150, 100, 70, 45}, c.strokes, c.step, 2)
		b.Run(fmt.Sprintf("best 3 of %d", l.n), func(b *testing.B) {
			for b.Loop() {
				s := &search{loss: l, limits: open(l, 3)}
				if best, bound := s.run(); bound < best.loss*(1-1e-6) {
					b.Fatal("not proven")
				}
			}
		})
	}
}

func BenchmarkNonNegativeLeastSquares(b *testing.B) {
	for _, step := range []float64{8, 1} {
		l := shopLoss([]float64{150, 100, 70, 45}, []float64{20}, step, 0)
		cols := all(l.n)
		b.Run(fmt.Sprintf("%d columns", l.n), func(b *testing.B) {
			var s box
			for b.Loop() {
				s.x = s.x[:0]
				s.minimise(&l.quadratic, l.b, cols, math.Inf(1))
			}
		})
	}
}
