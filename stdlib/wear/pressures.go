package wear

import (
	"math"
	"slices"
)

// pressures gives the pressure for every radius of the lap's middle on a stroke.
// Where the lap is not wholly on the glass it is held as Chebyshev series, the
// balance being too dear to find at every place of every integral.
type pressures struct {
	stretches []stretch // of the radius of the lap's middle, rising
	lost      bool      // part of the lap loses contact on one of them
}

const terms = 16

// stretch holds the pressure between two radii of the lap's middle.
type stretch struct {
	lo, hi float64
	fixed  bool  // it is whole all along
	whole  press // with the whole lap on the glass
	lost   bool  // part of the lap has lost contact
	p0, g  [terms]float64
	n      int // of the terms that count
}

// pressures returns the pressures from radius least to greatest of the lap's
// middle, with bends at kinks.
func (f *face) pressures(g glass, least, greatest float64, kinks []float64) (p pressures) {
	lo := least
	for _, hi := range append(slices.Clone(kinks), greatest) {
		s := f.stretch(g, lo, hi)
		p.lost = p.lost || s.lost
		p.stretches = append(p.stretches, s)
		lo = hi
	}
	return p
}

func (f *face) stretch(g glass, lo, hi float64) stretch {
	s := stretch{lo: lo, hi: hi, whole: f.whole, lost: f.pulls(g, (lo+hi)/2)}
	switch {
	case f.inside(g, (lo+hi)/2):
		s.fixed = true
		return s
	case hi-lo < 1e-9*f.out:
		s.fixed = true
		s.whole, _ = f.balance(g, (lo+hi)/2)
		return s
	}
	var at [terms]press
	for j := range at {
		x := math.Cos(math.Pi * (float64(j) + 0.5) / terms)
		at[j], _ = f.balance(g, (lo+hi)/2+(hi-lo)/2*x)
	}
	for k := range terms {
		for j := range at {
			t := 2. / terms * math.Cos(math.Pi*float64(k)*(float64(j)+0.5)/terms)
			s.p0[k] += t * at[j].p0
			s.g[k] += t * at[j].g
		}
	}
	s.p0[0] /= 2
	s.g[0] /= 2
	size := math.Abs(s.p0[0]) + math.Abs(s.g[0])*f.out
	for s.n = terms; s.n > 1 && math.Abs(s.p0[s.n-1])+math.Abs(s.g[s.n-1])*f.out < 1e-7*size; s.n-- {
	}
	return s
}

// at returns the pressure with the lap's middle at radius rho.
func (p *pressures) at(rho float64) press {
	s := &p.stretches[0]
	for i := 1; i < len(p.stretches) && rho > s.hi; i++ {
		s = &p.stretches[i]
	}
	return s.at(rho)
}

func (s *stretch) at(rho float64) press {
	if s.fixed {
		return s.whole
	}
	x := (2*rho - s.lo - s.hi) / (s.hi - s.lo)
	// Clenshaw's recurrence on both series.
	var p1, p2, g1, g2 float64
	for k := s.n - 1; k > 0; k-- {
		p1, p2 = s.p0[k]+2*x*p1-p2, p1
		g1, g2 = s.g[k]+2*x*g1-g2, g1
	}
	return press{s.p0[0] + x*p1 - p2, s.g[0] + x*g1 - g2}
}

// touches returns the radius of the lap's middle on the stretch at which the line
// of no pressure touches the circle of radius r.
func (s *stretch) touches(r float64) (float64, bool) {
	if !s.lost {
		return 0, false
	}
	beyond := func(rho float64) bool {
		p := s.at(rho)
		return rho-p.p0/p.g > r
	}
	lo, hi := s.lo, s.hi
	first := beyond(lo)
	if first == beyond(hi) {
		return 0, false
	}
	for range 30 {
		if mid := (lo + hi) / 2; beyond(mid) == first {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, true
}

// kinks returns the radii of the lap's middle between least and greatest at
// which an edge of the lap touches an edge of the glass or part of the lap begins
// to lose contact, rising.
func (f *face) kinks(g glass, least, greatest float64) []float64 {
	if f.inside(g, least) && f.inside(g, greatest) || greatest-least < 1e-9*f.out {
		return nil
	}
	var k []float64
	add := func(v float64) {
		if v > least && v < greatest {
			k = append(k, v)
		}
	}
	for _, t := range f.cuts {
		add(g.rim - t)
		add(t - g.rim)
		if g.hole > 0 {
			add(math.Abs(t - g.hole))
			add(t + g.hole)
		}
	}
	slices.Sort(k)
	lo := least
	for _, hi := range append(slices.Clone(k), greatest) {
		if at, ok := f.onset(g, lo, hi); ok {
			k = append(k, at)
		}
		lo = hi
	}
	slices.Sort(k)
	return slices.Compact(k)
}

// onset returns where between lo and hi part of the lap begins to lose contact,
// or to have it again. The place need not be sharp.
func (f *face) onset(g glass, lo, hi float64) (float64, bool) {
	margin := 1e-6 * (hi - lo)
	lo, hi = lo+margin, hi-margin
	before := f.pulls(g, lo)
	if before == f.pulls(g, hi) {
		return 0, false
	}
	for range 14 {
		if mid := (lo + hi) / 2; f.pulls(g, mid) == before {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, true
}
