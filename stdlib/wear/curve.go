package wear

import (
	"math"
	"slices"
)

// A profile is smooth except at a few radii, those to which an edge of the lap
// reaches at an end of the stroke and the like. Between them it is found at a few
// places and carried to the radii wanted by a Chebyshev series, as long as that is
// fewer than the radii wanted themselves.

const (
	leastSeries = 6  // intervals of the first series of a panel
	mostSeries  = 48 // intervals of the last; the series doubles until it converges
	// A series will do when the one before it, of half as many places, is within
	// this of the new places' depths, over the peak: doubling the places makes the
	// error at least eight times smaller.
	converged = 2e-4
)

// curve is the profile between two special radii. The variable of the series is
// t with r = lo + (hi-lo)·(1-cos πt)/2, which takes out what is like a square
// root at the ends.
type curve struct {
	lo, hi float64
	first  int // of the radii wanted
	count  int
	n      int
	value  [mostSeries + 1]float64
}

// curves is the working store of depths, one for each goroutine.
type curves struct {
	special []float64
	panels  []curve
}

// depths sets dst[i] to h(radii[i]). The radii must rise.
func (s *sweep) depths(dst, radii []float64, c *curves) {
	clear(dst)
	inner, outer := s.reach()
	first, _ := slices.BinarySearch(radii, inner)
	if s.direct() {
		for i := first; i < len(radii) && radii[i] <= outer; i++ {
			dst[i] = s.depth(radii[i])
		}
		return
	}
	s.specials(c)
	c.panels = c.panels[:0]
	peak := 0.0
	lo := inner
	for _, hi := range c.special {
		if hi <= lo {
			continue
		}
		next := first
		for next < len(radii) && radii[next] <= hi {
			next++
		}
		if next-first <= leastSeries+1 {
			for ; first < next; first++ {
				dst[first] = s.depth(radii[first])
				peak = max(peak, dst[first])
			}
		} else {
			c.panels = append(c.panels, curve{lo: lo, hi: hi, first: first, count: next - first, n: leastSeries})
			p := &c.panels[len(c.panels)-1]
			for k := 0; k <= p.n; k++ {
				p.value[k] = s.depth(p.radius(k, p.n))
				peak = max(peak, p.value[k])
			}
		}
		first, lo = next, hi
	}
	for i := range c.panels {
		c.panels[i].draw(s, dst, radii, peak)
	}
}

// radius returns the radius of place k of n: t = (1-cos(πk/n))/2.
func (p *curve) radius(k, n int) float64 {
	t := (1 - math.Cos(math.Pi*float64(k)/float64(n))) / 2
	return p.lo + (p.hi-p.lo)*(1-math.Cos(math.Pi*t))/2
}

// draw sets the depths at the radii of the panel.
func (p *curve) draw(s *sweep, dst, radii []float64, peak float64) {
	var series [mostSeries + 1]float64
	for close := false; !close; {
		if 2*p.n > mostSeries || 2*p.n+1 >= p.count {
			for i := p.first; i < p.first+p.count; i++ {
				dst[i] = s.depth(radii[i])
			}
			return
		}
		p.series(&series)
		for k := p.n; k > 0; k-- {
			p.value[2*k] = p.value[k]
		}
		p.n *= 2
		close = true
		for k := 1; k < p.n; k += 2 {
			p.value[k] = s.depth(p.radius(k, p.n))
			x := -cosines[k*mostSeries/p.n]
			if math.Abs(chebyshev(&series, p.n/2, x)-p.value[k]) > converged*peak {
				close = false
			}
		}
	}
	p.series(&series)
	for i := p.first; i < p.first+p.count; i++ {
		t := math.Acos(1-2*(radii[i]-p.lo)/(p.hi-p.lo)) / math.Pi
		dst[i] = max(0, chebyshev(&series, p.n, 2*t-1))
	}
}

// chebyshev returns the sum of the series at x by Clenshaw's recurrence.
func chebyshev(a *[mostSeries + 1]float64, n int, x float64) float64 {
	var b1, b2 float64
	for k := n; k > 0; k-- {
		b1, b2 = a[k]+2*x*b1-b2, b1
	}
	return a[0] + x*b1 - b2
}

// series makes the Chebyshev series through the values.
func (p *curve) series(a *[mostSeries + 1]float64) {
	n := p.n
	for k := 0; k <= n; k++ {
		sum := 0.0
		for j := 0; j <= n; j++ {
			v := p.value[j] * cosines[(j*k*(mostSeries/n))%(2*mostSeries)]
			if j == 0 || j == n {
				v /= 2
			}
			sum += v
		}
		// Place j is at x = -cos(πj/n).
		if k%2 == 1 {
			sum = -sum
		}
		a[k] = sum * 2 / float64(n)
	}
	a[0] /= 2
	a[n] /= 2
}

// cosines[i] is cos(πi/mostSeries).
var cosines = func() (c [2 * mostSeries]float64) {
	for i := range c {
		c[i] = math.Cos(math.Pi * float64(i) / mostSeries)
	}
	return c
}()

// direct reports whether the profile is as soon found at each radius.
func (s *sweep) direct() bool {
	return len(s.legs) == 1 && s.legs[0].still && s.wander == 0
}

// reach returns the radii between which the lap touches at some time.
func (s *sweep) reach() (inner, outer float64) {
	inner, outer = math.Inf(1), 0
	for i := range s.legs {
		l := &s.legs[i]
		in := max(0, l.near-s.face.out, s.face.in-l.far)
		inner, outer = min(inner, in), max(outer, l.far+s.face.out)
	}
	return max(inner, s.glass.hole), min(outer, s.glass.rim)
}

// specials sets c.special to the radii at which the profile is not smooth, from
// the innermost the lap reaches to the outermost.
func (s *sweep) specials(c *curves) {
	inner, outer := s.reach()
	c.special = append(c.special[:0], outer)
	add := func(r float64) {
		if r > inner && r < outer {
			c.special = append(c.special, r)
		}
	}
	for i := range s.legs {
		l := &s.legs[i]
		for _, at := range [2]float64{s.at - s.wander, s.at + s.wander} {
			near, far := l.Reach(at, at)
			for _, rho := range [4]float64{near, far, l.radius(at, 0), l.radius(at, l.End)} {
				for _, t := range s.face.cuts {
					add(math.Abs(rho - t))
					add(rho + t)
				}
				// Where the pressure vanishes under a lap that has lost contact.
				if p := s.press.at(rho); p.g != 0 {
					add(rho - p.p0/p.g)
				}
			}
			if s.wander == 0 {
				break
			}
		}
		if !l.Curved && s.turn == 0 {
			// The pole stands still.
			add(math.Abs(l.Speed) * math.Hypot(l.XA, l.YA))
		}
	}
	slices.Sort(c.special)
	// Radii all but the same are one.
	kept := c.special[:0]
	for _, r := range c.special {
		if len(kept) > 0 && r-kept[len(kept)-1] < 1e-6*outer {
			continue
		}
		kept = append(kept, r)
	}
	kept[len(kept)-1] = outer
	c.special = kept
}
