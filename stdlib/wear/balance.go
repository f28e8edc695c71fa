package wear

import (
	"math"
	"slices"

	"lapwright/stdlib/lap"
)

// glass is the worked face of a mirror: between hole and rim, in metres.
type glass struct{ hole, rim float64 }

// face is a lap as the reckoning needs it.
type face struct {
	bands   []band
	cuts    []float64 // radii at which bands begin or end, rising, without 0
	in, out float64   // radii between which it touches
	load    float64   // N
	hand    float64   // ξ of the point where the hand presses
	whole   press     // with the whole lap on the glass
	lifted  bool      // part of it loses contact even then
}

// band is a lap.Band in bare metres.
type band struct{ in, out, from, to float64 }

func (b *band) flat() bool { return b.from == b.to }

// newFace returns the face of a lap pressed at ξ = hand. It reports false where
// it does not balance even on a glass without end.
func newFace(l *lap.Lap, hand float64) (*face, bool) {
	f := &face{load: float64(l.Load()), hand: hand}
	for _, b := range l.Bands() {
		f.bands = append(f.bands, band{float64(b.Inner), float64(b.Outer), b.From, b.To})
	}
	for _, b := range f.bands {
		f.cuts = append(f.cuts, b.in, b.out)
	}
	f.cuts = slices.Compact(f.cuts)
	if f.cuts[0] == 0 {
		f.cuts = f.cuts[1:]
	}
	f.in, f.out = f.bands[0].in, f.bands[len(f.bands)-1].out
	var ok bool
	f.whole, f.lifted, ok = f.solve(glass{rim: math.Inf(1)}, 0)
	return f, ok
}

// press is the contact pressure under a rigid lap in Pa: p0 + g·ξ, or 0 where
// that is negative. ξ is the distance outward from the lap's middle along the
// radius through it, in metres.
type press struct{ p0, g float64 }

func (p press) at(xi float64) float64 { return max(0, p.p0+p.g*xi) }

// inside reports whether the whole lap is on the glass with its middle at radius rho.
func (f *face) inside(g glass, rho float64) bool {
	return rho+f.out <= g.rim && (g.hole == 0 || rho-f.out >= g.hole)
}

// span returns the least and the greatest ξ of the contact with the lap's middle
// at radius rho. The lap can balance where the hand's point lies between them;
// lo >= hi where nothing touches.
func (f *face) span(g glass, rho float64) (lo, hi float64) {
	// Outward: the lap's rim, or the glass's on the radius through the middle, or,
	// where a ring's hollow reaches over the edge there, the place at which the
	// hollow's edge crosses the glass's.
	hi = f.out
	if rim := g.rim - rho; rim < f.out {
		hi = rim
		if rim < f.in {
			hi = (g.rim*g.rim - rho*rho - f.in*f.in) / (2 * rho)
		}
	}
	// Inward, alike; a hole takes the near part of the lap away.
	lo = -f.out
	if rim := -g.rim - rho; rim > lo {
		lo = rim
	}
	if g.hole > 0 && math.Abs(rho-f.out) < g.hole {
		lo = (g.hole*g.hole - rho*rho - f.out*f.out) / (2 * rho)
		if rho == 0 {
			lo = hi
		}
	}
	return lo, hi
}

// balance returns the pressure of a rigid lap with its middle at radius rho: force
// and moment balance on the part of the lap that is on the glass. It reports false
// where there is none.
func (f *face) balance(g glass, rho float64) (press, bool) {
	if f.inside(g, rho) {
		return f.whole, true
	}
	p, _, ok := f.solve(g, rho)
	return p, ok
}

// solve finds the balance, and whether contact is lost for it. With moments m_k = ∫ share·ξ^k dA over the contact, a
// load F and the hand at ξ = d it is
//
//	p0·m0 + g·m1 = F,  p0·m1 + g·m2 = F·d.
//
// Where the linear pressure would pull, contact is lost and the balance is found
// on the rest. Contact then ends at ξ0, p = g·(ξ-ξ0), and the moment is balanced
// where m2 - ξ0·m1 - d·(m1 - ξ0·m0) = 0 over the rest. The slope of that in ξ0 is
// d·m0 - m1: where the contact ends the pressure is 0, so that moving the end adds
// nothing. [D]
func (f *face) solve(g glass, rho float64) (p press, lost, ok bool) {
	lo, hi := f.span(g, rho)
	p, m, ok := f.bonded(g, rho, lo, hi)
	if !ok {
		return press{}, false, false
	}
	var end *float64
	switch {
	case p.p0+p.g*lo < 0:
		end = &lo
	case p.p0+p.g*hi < 0:
		end = &hi
	default:
		return p, false, true
	}
	// Newton's steps from the full contact come nearer from one side.
	for range 60 {
		arm := m[1] - f.hand*m[0]
		step := (m[2] - f.hand*m[1] - *end*arm) / arm
		*end += step
		m = f.moments(g, rho, lo, hi)
		if math.Abs(step) <= 1e-15*f.out {
			break
		}
	}
	slope := f.load / (m[1] - *end*m[0])
	return press{-slope * *end, slope}, true, math.Abs(slope) < math.Inf(1)
}

// bonded returns the pressure as if the contact could pull, with the moments, and
// whether there is one.
func (f *face) bonded(g glass, rho, lo, hi float64) (p press, m [3]float64, ok bool) {
	if !(lo < f.hand && hi > f.hand) {
		return p, m, false
	}
	m = f.moments(g, rho, lo, hi)
	p, ok = linear(f.load, f.hand, m)
	return p, m, ok
}

// linear returns the linear pressure with the given load and hand over a contact
// with moments m, and whether there is one.
func linear(load, hand float64, m [3]float64) (press, bool) {
	det := m[0]*m[2] - m[1]*m[1]
	return press{load * (m[2] - hand*m[1]) / det, load * (hand*m[0] - m[1]) / det}, det > 0
}

// pulls reports whether part of the lap would pull with its middle at radius rho.
func (f *face) pulls(g glass, rho float64) bool {
	if f.inside(g, rho) {
		return f.lifted
	}
	lo, hi := f.span(g, rho)
	p, _, ok := f.bonded(g, rho, lo, hi)
	return ok && (p.p0+p.g*lo < 0 || p.p0+p.g*hi < 0)
}

// contact returns the area that touches, in m², and the greatest pressure with
// the lap's middle at radius rho.
func (f *face) contact(g glass, rho float64) (area, greatest float64) {
	p, _ := f.balance(g, rho)
	lo, hi := f.span(g, rho)
	greatest = max(p.at(lo), p.at(hi))
	if p.g > 0 {
		lo = max(lo, -p.p0/p.g)
	} else if p.g < 0 {
		hi = min(hi, -p.p0/p.g)
	}
	return f.moments(g, rho, lo, hi)[0], greatest
}
