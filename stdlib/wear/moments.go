package wear

import (
	"math"
	"slices"
)

// moments returns ∫ share·ξ^k dA, k = 0, 1, 2, over the part of the lap on the
// glass with ξ between lo and hi.
func (f *face) moments(g glass, rho, lo, hi float64) (m [3]float64) {
	for i := range f.bands {
		b := &f.bands[i]
		if !b.flat() {
			b.slopedMoments(g, rho, lo, hi, &m)
			continue
		}
		discMoments(g, rho, b.out, b.from, lo, hi, &m)
		if b.in > 0 {
			discMoments(g, rho, b.in, -b.from, lo, hi, &m)
		}
	}
	return m
}

// discMoments adds share times the moments of the disc of radius t about the
// lap's middle, as far as it lies on the glass.
func discMoments(g glass, rho, t, share, lo, hi float64, m *[3]float64) {
	lensMoments(rho, t, g.rim, share, lo, hi, m)
	if g.hole > 0 {
		lensMoments(rho, t, g.hole, -share, lo, hi, m)
	}
}

// lensMoments adds share times the moments of what is common to the disc of
// radius t about the lap's middle and the disc of radius r about the axis.
func lensMoments(rho, t, r, share, lo, hi float64, m *[3]float64) {
	if t >= r+rho {
		chordMoments(-rho, r, share, lo, hi, m)
		return
	}
	if r >= t+rho {
		chordMoments(0, t, share, lo, hi, m)
		return
	}
	if rho >= r+t {
		return
	}
	// Inward of where the circles cross the lap's disc is the narrower one.
	cross := (r*r - rho*rho - t*t) / (2 * rho)
	chordMoments(0, t, share, lo, min(hi, cross), m)
	chordMoments(-rho, r, share, max(lo, cross), hi, m)
}

// chordMoments adds share times the moments of the part between lo and hi of a
// disc of radius r with its middle at ξ = e.
func chordMoments(e, r, share, lo, hi float64, m *[3]float64) {
	lo, hi = max(lo-e, -r), min(hi-e, r)
	if lo >= hi {
		return
	}
	if hi-lo < 0.02*r {
		// The closed form loses digits in a thin slice of a large disc.
		ru := &rules()[24].ends
		for j, x := range ru.x {
			z := lo + (hi-lo)*x
			v := share * ru.w[j] * (hi - lo) * 2 * math.Sqrt(max(0, (r-z)*(r+z)))
			xi := z + e
			m[0] += v
			m[1] += v * xi
			m[2] += v * xi * xi
		}
		return
	}
	// With s = √(r²-z²): ∫2s = zs + r²asin(z/r), ∫2zs = -⅔s³,
	// ∫2z²s = -½zs³ + ¼r²(zs + r²asin(z/r)).
	at := func(z float64) (i0, i1, i2 float64) {
		s := math.Sqrt(max(0, (r-z)*(r+z)))
		i0 = z*s + r*r*math.Asin(z/r)
		i1 = -2. / 3 * s * s * s
		i2 = -z*s*s*s/2 + r*r/4*i0
		return
	}
	a0, a1, a2 := at(lo)
	b0, b1, b2 := at(hi)
	i0, i1, i2 := b0-a0, b1-a1, b2-a2
	m[0] += share * i0
	m[1] += share * (i1 + e*i0)
	m[2] += share * (i2 + 2*e*i1 + e*e*i0)
}

// slopedMoments adds the moments of a band by rings about the lap's middle. On
// the ring of radius t the contact is an arc on either side of the radius, known
// by the cosines of its ends; the rings are taken in pieces between the radii at
// which other limits begin to count.
func (b *band) slopedMoments(g glass, rho, lo, hi float64, m *[3]float64) {
	breaks := []float64{b.in, b.out}
	add := func(t float64) {
		if t > b.in && t < b.out {
			breaks = append(breaks, t)
		}
	}
	add(math.Abs(lo))
	add(math.Abs(hi))
	for _, r := range []float64{g.rim, g.hole} {
		if r == 0 {
			continue
		}
		add(math.Abs(r - rho))
		add(r + rho)
		// The corners at which lo and hi cut the edge of the glass.
		add(math.Sqrt(r*r - rho*rho - 2*rho*lo))
		add(math.Sqrt(r*r - rho*rho - 2*rho*hi))
	}
	slices.Sort(breaks)
	ru := &rules()[24].ends
	for i := range breaks[1:] {
		from, width := breaks[i], breaks[i+1]-breaks[i]
		if width <= 0 {
			continue
		}
		for j, x := range ru.x {
			t := from + width*x
			share := b.from + (b.to-b.from)*(t-b.in)/(b.out-b.in)
			b.ringMoments(g, rho, t, share*width*ru.w[j], lo, hi, m)
		}
	}
}

func (b *band) ringMoments(g glass, rho, t, weight, lo, hi float64, m *[3]float64) {
	least, greatest := max(-1, lo/t), min(1, hi/t)
	if rho > 0 {
		greatest = min(greatest, (g.rim*g.rim-rho*rho-t*t)/(2*rho*t))
		if g.hole > 0 {
			least = max(least, (g.hole*g.hole-rho*rho-t*t)/(2*rho*t))
		}
	} else if t > g.rim || t < g.hole {
		return
	}
	if least >= greatest {
		return
	}
	arc := math.Acos(least) - math.Acos(greatest)
	s1, s2 := math.Sqrt(1-greatest*greatest), math.Sqrt(1-least*least)
	m[0] += weight * t * 2 * arc
	m[1] += weight * t * t * 2 * (s2 - s1)
	m[2] += weight * t * t * t * (arc + s2*least - s1*greatest)
}
