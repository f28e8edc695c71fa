package stroke

import "math"

// A Leg is a stretch of a stroke on which place and speed of the lap's centre
// are given by one formula. The way of a lap is the sum of its legs, each with
// the share of the time it stands for. Package wear reckons with them; a recipe
// has no need to.
//
// With f going from 0 to End, the centre is at
//
//	radial X + XA·cos f, tangential YA·sin f         on a curved leg
//	radial X + XA·f, tangential Y + YA·f             on a straight one
//
// from the middle place, and moves by its derivative times Speed. All lengths
// are in metres, the speed in units of f for each radian the table turns.
//
// What wears the same is left out: mirroring place and speed at the radius
// through the middle place and turning the speed round leaves the relative speeds
// alone, so the half of a swing stands for the whole. BothWays marks a leg that
// is gone along as often the other way.
type Leg struct {
	Curved   bool
	X, XA    float64
	Y, YA    float64
	End      float64
	Speed    float64
	Share    float64 // of the time; the shares of all legs add up to 1
	BothWays bool
}

// Legs returns the legs of the stroke. The wander is not in them, except where
// the lap is otherwise held: then it is the one leg, of no speed.
func (s *Stroke) Legs() []Leg {
	const turn = 2 * math.Pi
	q := s.perTurn
	switch {
	case s.form == held:
		return []Leg{{X: -s.wander, XA: 2 * s.wander, End: 1, Share: 1}}
	case s.form == line && s.steady && s.radial == 0:
		// A quarter of the round, from the middle to one end.
		return []Leg{{YA: s.tangential / 2, End: 1, Speed: 4 * q / turn, Share: 1, BothWays: true}}
	case s.form == line && s.steady:
		return []Leg{{X: s.radial / 2, XA: -s.radial, End: 1, Speed: 2 * q / turn, Share: 1}}
	case s.form == line && s.radial == 0:
		return []Leg{{Curved: true, YA: s.tangential / 2, End: turn / 4, Speed: q, Share: 1, BothWays: true}}
	case s.form == line || s.form == ellipse:
		return []Leg{{Curved: true, XA: s.radial / 2, YA: s.tangential / 2, End: turn / 2, Speed: q, Share: 1}}
	}
	whole := s.round()
	legs := make([]Leg, len(s.points))
	for i, p := range s.points {
		n := s.points[(i+1)%len(s.points)]
		leg := Leg{
			X: float64(p.Radial), XA: float64(n.Radial - p.Radial),
			Y: float64(p.Tangential), YA: float64(n.Tangential - p.Tangential),
			End: 1,
		}
		leg.Share = math.Hypot(leg.XA, leg.YA) / whole
		leg.Speed = q / turn / leg.Share
		legs[i] = leg
	}
	return legs
}

// Reach returns the least and the greatest distance from the table's axis on the
// leg when the middle of the stroke lies anywhere between radii lo and hi.
func (l Leg) Reach(lo, hi float64) (least, greatest float64) {
	least, greatest = math.Inf(1), 0
	see := func(f float64) {
		if !(f >= 0 && f <= l.End) {
			return
		}
		x, y := l.Place(f)
		near, far := math.Abs(x+lo), math.Abs(x+hi)
		if near > far {
			near, far = far, near
		}
		if (x+lo)*(x+hi) < 0 {
			near = 0
		}
		least = math.Min(least, math.Hypot(near, y))
		greatest = math.Max(greatest, math.Hypot(far, y))
	}
	see(0)
	see(l.End)
	// Within the leg the distance can be extreme only where its square has no
	// slope or one of its parts vanishes. A division by 0 is a place see ignores. On
	// a curved leg the tangential part vanishes at the ends.
	if !l.Curved {
		see(-l.Y / l.YA)
	}
	for _, at := range []float64{lo, hi} {
		x := at + l.X
		if l.Curved {
			see(math.Acos(x * l.XA / (l.YA*l.YA - l.XA*l.XA)))
			see(math.Acos(-x / l.XA))
		} else {
			see(-(x*l.XA + l.Y*l.YA) / (l.XA*l.XA + l.YA*l.YA))
			see(-x / l.XA)
		}
	}
	return least, greatest
}

// Place returns where the lap's centre is at f, from the middle place: outward and
// along.
func (l Leg) Place(f float64) (x, y float64) {
	if l.Curved {
		sn, cs := math.Sincos(f)
		return l.X + l.XA*cs, l.YA * sn
	}
	return l.X + l.XA*f, l.Y + l.YA*f
}
