package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// shop is a 300 mm f/5 mirror without bevel.
func shop() *mirror.Mirror {
	return mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM, Thickness: 40 * MM})
}

func bell(r, at, wide float64) float64 { return math.Exp(-math.Pow((r-at)/wide, 2)) }

// heights returns a height in nm for each radius in mm of m's grid, in metres.
func heights(m *mirror.Mirror, nm func(r float64) float64) []float64 {
	h := figure.Grid(m)
	for i, r := range h {
		h[i] = nm(r*1e3) * 1e-9
	}
	return h
}

// ringed has a ring standing high at 118 mm, a broad hill and a low edge.
func ringed(r float64) float64 {
	return 40*bell(r, 118, 9) + 15*bell(r, 40, 25) - 10*bell(r, 148, 8)
}

// shopLoss is the loss of the ringed mirror with columns of held laps whose
// middle is spread along the tangent as by strokes of the given lengths. All in
// mm; the depth of a turn is 2φ·r/1000 in nm.
func shopLoss(laps, strokes []float64, step, low float64) *loss {
	m := shop()
	var cols [][]float64
	var lap []int
	for k, d := range laps {
		for c := 0.0; c+d/2 <= 160; c += step {
			for _, s := range strokes {
				cols = append(cols, heights(m, func(r float64) float64 {
					h := 0.0
					const parts = 8
					for q := range parts {
						u := s / 2 * math.Sin(math.Pi/2*(float64(q)+.5)/parts)
						h += heldTurn(r, math.Hypot(c, u), d/2) / parts * 1e-3
					}
					return h
				}))
				lap = append(lap, k)
			}
		}
	}
	return newLoss(figure.New(m, heights(m, ringed), nil), cols, lap, doubtOf(0.2, 0.17, len(laps)), low)
}

// doubtOf is the doubt of the rates of n laps with standard deviations of the
// logarithms of what they have in common and of what is their own.
func doubtOf(common, own float64, n int) doubt {
	q := doubt{mat.NewSymDense(n, nil)}
	for i := range n {
		for j := range i + 1 {
			q.cov.SetSym(i, j, common*common)
		}
		q.cov.SetSym(i, i, common*common+own*own)
	}
	return q
}

// open are limits that do not bind, for so many spells.
func open(l *loss, spells int) searchLimits {
	lim := searchLimits{
		spells: spells, laps: l.laps, most: 1e6,
		period: make([]float64, l.n), time: math.Inf(1), nodes: 100000,
	}
	for range l.n {
		lim.least = append(lim.least, 1)
	}
	return lim
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
			for n := lim.least[c]; n <= lim.most; n++ {
				try(c+1, append(cols[:len(cols):len(cols)], c), append(x[:len(x):len(x)], float64(n)), more, time+float64(n)*lim.period[c])
			}
		}
	}
	try(0, nil, nil, map[int]bool{}, 0)
	return least
}

func TestSearchFindsWhatTryingEverythingFinds(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 0))
	m := shop()
	cov := covariance(m, 3, 20, 0)
	for trial := range 60 {
		a, b := random.Float64()*150, random.Float64()*150
		e := heights(m, func(r float64) float64 { return 30*bell(r, a, 15) + 20*bell(r, b, 30) })
		f := figure.New(m, e, cov)
		if trial%2 == 0 {
			f = figure.New(m, e, nil)
		}
		var cols [][]float64
		var lap []int
		for k, d := range []float64{40, 60, 90} {
			for range 2 + random.IntN(2) {
				c := random.Float64() * (150 - d/2)
				cols = append(cols, heights(m, func(r float64) float64 { return heldTurn(r, c, d/2) * 0.05 }))
				lap = append(lap, k)
			}
		}
		q := doubtOf(0.4*random.Float64(), 0.3*random.Float64(), 3)
		l := newLoss(f, cols, lap, q, float64(trial%3))
		lim := open(l, 1+trial%3)
		lim.most = 9
		switch trial % 4 {
		case 1:
			lim.laps = 1 + trial%2
		case 2:
			for i := range lim.least {
				lim.least[i] = 1 + 2*(i%3)
			}
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
			if best.turns[i] < lim.least[c] || best.turns[i] > lim.most {
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
	// Three columns that are the same in all: the first of them is named,
	// whatever the order of the search.
	m := shop()
	h := heights(m, func(r float64) float64 { return heldTurn(r, 80, 20) * 0.01 })
	f := figure.New(m, heights(m, func(r float64) float64 { return 30 * bell(r, 80, 15) }), nil)
	l := newLoss(f, [][]float64{h, h, h}, []int{0, 0, 0}, doubtOf(0, 0, 1), 0)
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

// covariance falls with distance as a bell, in nm and mm, and has besides a
// common height that is not known.
func covariance(m *mirror.Mirror, sd, wide, common float64) *mat.SymDense {
	r := figure.Grid(m)
	c := mat.NewSymDense(len(r), nil)
	for i := range r {
		for j := range i + 1 {
			c.SetSym(i, j, (sd*sd*bell(r[i]*1e3, r[j]*1e3, wide)+common*common)*1e-18)
		}
	}
	return c
}

func TestLossIsTheExpectedSquareOfManySamples(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 1))
	m := shop()
	f := figure.New(m, heights(m, ringed), covariance(m, 4, 25, 5))
	var cols [][]float64
	for _, c := range [][2]float64{{100, 30}, {90, 20}, {105, 20}} {
		cols = append(cols, heights(m, func(r float64) float64 { return heldTurn(r, c[0], c[1]) * 1e-3 }))
	}
	lap, turns := []int{0, 1, 1}, []float64{80, 40, 60}
	q := doubtOf(0.3, 0.2, 2)
	want := newLoss(f, cols, lap, q, 0).at(all(3), turns)

	sum, n := 0.0, 4000
	w := figure.Weights(m)
	for _, e := range f.Samples(n, 1) {
		rate := func(sd float64) float64 { return math.Exp(sd * random.NormFloat64()) }
		common, own := rate(0.3), []float64{rate(0.2), rate(0.2)}
		h := e.Heights()
		for j := range cols {
			floats.AddScaled(h, -common*own[lap[j]]*turns[j], cols[j])
		}
		for i, v := range figure.New(m, h, nil).Refocused().Heights() {
			sum += w[i] * v * v * 1e18
		}
	}
	if got := sum / float64(n); math.Abs(got-want) > 0.04*want {
		t.Errorf("loss %v, mean of %d samples %v", want, n, got)
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
				s.begin(&l.quadratic, cols, l.b, caps(l.n, math.Inf(1)))
				s.descend(1e-10)
			}
		})
	}
}

func TestLossHoldsWhatIsKnownOfEachLap(t *testing.T) {
	// Two laps whose rates were learned together: too high for one, then too low for
	// the other. The loss is the mean over rates drawn so, low glass included.
	random := rand.New(rand.NewPCG(8, 1))
	m := shop()
	f := figure.New(m, heights(m, ringed), nil)
	var cols [][]float64
	for _, c := range [][2]float64{{100, 30}, {90, 20}} {
		cols = append(cols, heights(m, func(r float64) float64 { return heldTurn(r, c[0], c[1]) * 1e-3 }))
	}
	turns := []float64{400, 700}
	q := doubt{mat.NewSymDense(2, []float64{0.09, -0.06, -0.06, 0.06})}
	l := newLoss(f, cols, []int{0, 1}, q, 0)
	want := l.at(all(2), turns)
	factor := q.factor()
	sum, n := 0.0, 40000
	w := figure.Weights(m)
	y, h := f.Refocused().Heights(), [2][]float64{}
	for j := range cols {
		h[j] = figure.New(m, cols[j], nil).Refocused().Heights()
	}
	for range n {
		a, b := random.NormFloat64(), random.NormFloat64()
		k := [2]float64{math.Exp(factor[0][0] * a), math.Exp(factor[1][0]*a + factor[1][1]*b)}
		for i := range w {
			e := y[i] - k[0]*turns[0]*h[0][i] - k[1]*turns[1]*h[1][i]
			sum += w[i] * e * e * 1e18
		}
	}
	if got := sum / float64(n); math.Abs(got-want) > 0.03*want {
		t.Errorf("loss %v, mean of %d samples %v", want, n, got)
	}
}

func TestSearchCutShortGivesAGoodPlan(t *testing.T) {
	l := shopLoss([]float64{40, 60, 90, 150}, []float64{20, 60}, 5, 2)
	for _, most := range []int{1e6, 150, 80} {
		for spells := 1; spells <= 4; spells++ {
			lim := open(l, spells)
			lim.most = most
			s := &search{loss: l, limits: lim}
			long, bound := s.run()
			lim.nodes = 0
			s = &search{loss: l, limits: lim}
			short, _ := s.run()
			if none := l.at(nil, nil); none-short.loss < 0.85*(none-long.loss) {
				t.Errorf("%d spells of at most %d turns: cut short it leaves %.4g of %.4g, searched through %.4g (no plan below %.4g)", spells, most, short.loss, none, long.loss, bound)
			}
		}
	}
}
