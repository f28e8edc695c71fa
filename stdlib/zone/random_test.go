package zone

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// The random mirrors the bands are held against. They are made without the code
// of the reduction and without its picture of a mirror, in five families, each as
// often as the next: what hand work leaves (common practice, no source), with its
// sizes spread widely.
var families = [...]struct {
	name string
	make func(rng *rand.Rand, a float64) surface
}{
	{"conic", smoothError},
	{"rings", someRings},
	{"edge", rolledEdge},
	{"waves", randomWaves},
	{"worked", workedOver},
}

// between is log-uniform.
func between(rng *rand.Rand, low, high float64) float64 {
	return low * math.Exp(rng.Float64()*math.Log(high/low))
}

func sign(rng *rand.Rand) float64 { return float64(1 - 2*rng.IntN(2)) }

// smoothError is a wrong conic, and now and then some of the next order.
func smoothError(rng *rand.Rand, a float64) surface {
	h4, h6 := sign(rng)*between(rng, 5e-9, 300e-9), 0.0
	if rng.IntN(2) == 0 {
		h6 = sign(rng) * between(rng, 5e-9, 60e-9)
	}
	return func(r float64) (float64, float64) {
		x := r / a
		return h4*math.Pow(x, 4) + h6*math.Pow(x, 6), (4*h4*math.Pow(x, 3) + 6*h6*math.Pow(x, 5)) / a
	}
}

// someRings is a smooth error with one to four rings, each a bell.
func someRings(rng *rand.Rand, a float64) surface {
	list := []surface{smoothError(rng, a)}
	for range 1 + rng.IntN(4) {
		list = append(list, bell(sign(rng)*between(rng, 8e-9, 80e-9), a*math.Sqrt(rng.Float64()), a*between(rng, 0.08, 0.5)))
	}
	return sum(list...)
}

// rolledEdge is a smooth error with an edge that is turned down, or now and
// then up, and sometimes a low or high centre.
func rolledEdge(rng *rand.Rand, a float64) surface {
	h, w := -between(rng, 10e-9, 200e-9), a*between(rng, 0.02, 0.15)
	if rng.IntN(5) == 0 {
		h = -h
	}
	list := []surface{smoothError(rng, a), func(r float64) (float64, float64) {
		v := h * math.Exp((r-a)/w)
		return v, v / w
	}}
	if rng.IntN(2) == 0 {
		list = append(list, bell(sign(rng)*between(rng, 8e-9, 80e-9), 0, a*between(rng, 0.15, 0.6)))
	}
	return sum(list...)
}

// randomWaves is a sum of waves of random length and phase, the longer the
// higher; even in r near the centre only as far as chance has it.
func randomWaves(rng *rand.Rand, a float64) surface {
	const n = 24
	steep := 1 + rng.Float64() // height goes with length to this power
	shortest := between(rng, 0.1, 0.4)
	var k, phase, h [n]float64
	norm := 0.0
	for i := range n {
		length := between(rng, shortest, 2)
		k[i], phase[i] = 2*math.Pi/(length*a), 2*math.Pi*rng.Float64()
		h[i] = rng.NormFloat64() * math.Pow(length, steep)
		norm += h[i] * h[i] / 2
	}
	size := between(rng, 4e-9, 80e-9) / math.Sqrt(norm)
	return func(r float64) (e, slope float64) {
		for i := range n {
			sin, cos := math.Sincos(k[i]*r + phase[i])
			e, slope = e+size*h[i]*cos, slope-size*h[i]*k[i]*sin
		}
		return e, slope
	}
}

// workedOver is a smooth error after one to four spells of work: each takes off
// glass in proportion to r times the arc a round lap covers there, its edges
// blurred by its wander.
func workedOver(rng *rand.Rand, a float64) surface {
	list := []surface{smoothError(rng, a)}
	for range 1 + rng.IntN(4) {
		b := a * between(rng, 0.15, 0.6)
		c := (a - b) * rng.Float64()
		depth, wander := -between(rng, 8e-9, 80e-9), a*between(rng, 0.02, 0.06)
		list = append(list, tabled(a, func(r float64) float64 {
			const n = 41
			v := 0.0
			for i := range n {
				v += covered(r, c+wander*(2*float64(i)/(n-1)-1), b) / n
			}
			return r / a * v
		}, depth))
	}
	return sum(list...)
}

// covered is the share of the circle of radius r that lies under a disc of radius b
// at the distance c: acos((r²+c²-b²)/2rc)/π.
func covered(r, c, b float64) float64 {
	c = math.Abs(c)
	switch {
	case r+c <= b:
		return 1
	case r <= math.Abs(c-b) || r >= c+b:
		return 0
	}
	return math.Acos((r*r+c*c-b*b)/(2*r*c)) / math.Pi
}

// tabled is a surface through a table of f, its greatest height h.
func tabled(a float64, f func(r float64) float64, h float64) surface {
	const n = 1000
	var y [n + 3]float64
	top := 0.0
	for i := range y {
		y[i] = f(math.Abs(float64(i-1)) * a / n)
		top = math.Max(top, math.Abs(y[i]))
	}
	// Cubic through four points of the table, and its slope.
	return func(r float64) (e, slope float64) {
		x := r / a * n
		i := min(max(int(x), 0), n-1)
		u := x - float64(i)
		p0, p1, p2, p3 := y[i], y[i+1], y[i+2], y[min(i+3, n+2)]
		c1, c2, c3 := (p2-p0)/2, p0-2.5*p1+2*p2-p3/2, (p3-p0)/2+1.5*(p1-p2)
		return h / top * (p1 + u*(c1+u*(c2+u*c3))), h / top * (c1 + u*(2*c2+3*u*c3)) * n / a
	}
}

// A trial is one mirror read once.
type trial struct {
	truth    *figure.Figure
	readings *Readings
}

// newTrial draws a mirror of a family, a mask that may leave out the centre or
// the edge, a source, up to eight sets, and a scatter. What is thought of the
// scatter beforehand is as good as it counts.
func newTrial(rng *rand.Rand, family func(*rand.Rand, float64) surface) trial {
	d, ratio := between(rng, 0.15, 0.5), between(rng, 3, 10)
	m := mirror.New(mirror.Spec{Diameter: Length(d), FocalLength: Length(d * ratio)})
	zones, power := 4+rng.IntN(9), 0.5+0.5*rng.Float64()
	from, to := 0.0, 1.0
	if rng.IntN(3) == 0 {
		from = 0.25 * rng.Float64()
	}
	if rng.IntN(3) == 0 {
		to = 1 - 0.04*rng.Float64()
	}
	var edges []Length
	for i := range zones + 1 {
		edges = append(edges, Length(d/2*(from+(to-from)*math.Pow(float64(i)/float64(zones), power))))
	}
	k := NewMask(m, edges...)
	truth := family(rng, d/2)
	source := []Source{Moving, Fixed}[rng.IntN(2)]
	scatter := 0.01e-3 * between(rng, 1, 5) * (ratio / 5) * (ratio / 5)
	thought := scatter * math.Sqrt(chiSquared(rng, priorFree)/priorFree)
	sets := noisy(rng, tester{m, source}.means(k, truth), 1+rng.IntN(8), scatter)
	return trial{exact(m, truth), Given(k, Sheet{Source: source, Scatter: Length(thought)}, sets...)}
}

// A tally is how much of the glass within the masks bands of one and of 1.96
// standard deviations hold, by area, and how many of the numbers of quality lie in
// their ranges, each mirror counting alike.
type tally struct {
	in68, in95, all float64
	ranges          [len(numbers)]float64
	judged          float64 // mirrors whose ranges were looked at
}

// The numbers of quality that are held against the truth: their names, and how often
// they must be held, in per cent. The last is known to be overstated: see Quality.
var numbers = [...]struct {
	name      string
	low, high float64
}{
	{"rms of the surface", 60, 76}, {"PV of the surface", 60, 76}, {"Strehl ratio", 60, 76}, {"conic constant", 60, 76},
	{"greatest ray error of the zones", 60, 80}, {"greatest ray error", 35, 60},
}

func (x trial) numbers(f *figure.Figure) [len(numbers)]figure.Estimate {
	var edges []Length
	for _, e := range x.readings.mask.edges {
		edges = append(edges, Length(e))
	}
	q := f.Quality()
	return [...]figure.Estimate{q.RMSSurface, q.PVSurface, q.Strehl, f.BestConic().Constant, f.Rays(edges...).Greatest, q.Ray}
}

func (t *tally) add(x trial, judge bool) {
	f := Reduce(x.readings)
	m, k := f.Mirror(), x.readings.mask
	h, s, e := f.Heights(), f.Sigma(), x.truth.Heights()
	var one tally
	for i, w := range figure.Weights(m) {
		if k.holding(figure.Grid(m)[i]) == 0 {
			continue
		}
		one.all += w
		switch z := math.Abs(h[i]-e[i]) / s[i]; {
		case z < 1:
			one.in68 += w
			one.in95 += w
		case z < 1.96:
			one.in95 += w
		}
	}
	t.in68 += one.in68 / one.all
	t.in95 += one.in95 / one.all
	t.all++
	if !judge {
		return
	}
	t.judged++
	truth := x.numbers(x.truth)
	for i, r := range x.numbers(f) {
		if v := truth[i].Value; r.Low <= v && v <= r.High {
			t.ranges[i]++
		}
	}
}

func (t *tally) join(more tally) {
	t.in68, t.in95, t.all, t.judged = t.in68+more.in68, t.in95+more.in95, t.all+more.all, t.judged+more.judged
	for i, n := range more.ranges {
		t.ranges[i] += n
	}
}

func (t tally) String() string {
	text := fmt.Sprintf("68 %% bands hold %.1f %%, 95 %% bands %.1f %%; ranges:", 100*t.in68/t.all, 100*t.in95/t.all)
	for i, n := range t.ranges {
		text += fmt.Sprintf(" %s %.0f %%,", numbers[i].name, 100*n/t.judged)
	}
	return strings.TrimSuffix(text, ",")
}

// How many mirrors the bands are held against, and by which seed. 500 take half a
// minute. What Reduce says of itself is by 500 mirrors and seed 2026; its scales, and
// the ranges of quality, were set by seeds 11 to 14.
var (
	mirrors = flag.Int("mirrors", 150, "random mirrors to hold the bands against")
	seed    = flag.Uint64("seed", 1, "of the random mirrors")
)

func TestBandsAndRangesHoldTheTruthAsOftenAsTheySay(t *testing.T) {
	var tallies [len(families)]tally
	t.Run("families", func(t *testing.T) {
		for n, family := range families {
			t.Run(family.name, func(t *testing.T) {
				t.Parallel()
				rng := rand.New(rand.NewPCG(*seed, uint64(n)))
				for i := range *mirrors / len(families) {
					tallies[n].add(newTrial(rng, family.make), i%3 == 0) // the ranges cost as much again
				}
				t.Log(tallies[n])
			})
		}
	})
	var pooled tally
	for _, one := range tallies {
		pooled.join(one)
	}
	t.Log(pooled)
	if a, b := pooled.in68/pooled.all, pooled.in95/pooled.all; a < 0.63 || a > 0.73 || b < 0.92 || b > 0.98 {
		t.Error("bands must hold 63 to 73 % and 92 to 98 %")
	}
	for i, n := range pooled.ranges {
		if c, held := numbers[i], 100*n/pooled.judged; held < c.low || held > c.high {
			t.Errorf("the range of the %s holds %.0f %%; it must hold %v to %v %%", c.name, held, c.low, c.high)
		}
	}
}

func chiSquared(rng *rand.Rand, k int) (sum float64) {
	for range k {
		sum += math.Pow(rng.NormFloat64(), 2)
	}
	return sum
}
