package wear

import (
	"math"

	"lapwright/stdlib/stroke"
)

// leg is a stroke.Leg with what belongs to it.
type leg struct {
	stroke.Leg
	still      bool    // a single place
	near, far  float64 // least and greatest radius of the lap's middle, wander included
	unit       float64 // of its variable, for the places an integral needs
	velocities int     // 2 where it is gone along both ways
}

func newLeg(l stroke.Leg, at, wander float64) leg {
	lg := leg{Leg: l, still: l.XA == 0 && l.YA == 0, unit: l.End, velocities: 1}
	lg.near, lg.far = l.Reach(at-wander, at+wander)
	if l.BothWays {
		lg.velocities = 2
	}
	switch {
	case l.Curved && l.XA != 0 && l.YA != 0:
		lg.unit = math.Pi / 3
	case l.Curved:
		lg.unit = math.Pi / 2
	}
	return lg
}

// radius returns the radius of the lap's middle at f with the middle of the stroke
// at radius at.
func (l *leg) radius(at, f float64) float64 {
	x, y := l.Place(f)
	return math.Hypot(at+x, y)
}

// wandersTo adds the radii of the middle of the stroke at which an end of the leg
// lies at the given radius.
func (l *leg) wandersTo(level float64, stops *breaks) {
	for _, f := range [2]float64{0, l.End} {
		x, y := l.Place(f)
		if d := level*level - y*y; d > 0 {
			d = math.Sqrt(d)
			stops.within(d - x)
			stops.within(-d - x)
		}
	}
}

// square returns the quadratic, in f on a straight leg or cos f on a curved one,
// of the square of a vector that goes (x + xa·f, y + ya·f) or (x + xa·cos f, ya·sin f).
func (l *leg) square(x, xa, y, ya float64) (a, b, c float64) {
	if l.Curved {
		return xa*xa - ya*ya, 2 * x * xa, x*x + ya*ya
	}
	return xa*xa + ya*ya, 2 * (x*xa + y*ya), x*x + y*y
}

// poleSquare returns that of Q.
func (l *leg) poleSquare(turn, x, speed float64) (a, b, c float64) {
	if l.Curved {
		return l.square(turn*x, turn*l.XA-speed*l.YA, 0, turn*l.YA-speed*l.XA)
	}
	return l.square(turn*x-speed*l.YA, turn*l.XA, turn*l.Y+speed*l.XA, turn*l.YA)
}

// level adds the places on the leg at which the square is that of v. A place at
// which it all but is, or at which it would be just beyond an end, is added as an
// edge too: the integrand is sharp there.
func (l *leg) level(a, b, c, v float64, edge bool, to *breaks) {
	c -= v * v
	d := b*b - 4*a*c
	if d < 0 {
		l.miss(-b/(2*a), math.Sqrt(-d)/math.Abs(2*a), to)
		return
	}
	d = math.Sqrt(d)
	q := -0.5 * (b + math.Copysign(d, b))
	l.root(q/a, edge, to)
	l.root(c/q, edge, to)
}

func (l *leg) root(z float64, edge bool, to *breaks) {
	if !l.Curved {
		switch {
		case z > 0 && z < l.End:
			to.add(z, edge)
		case z > -nearby && z <= 0:
			to.at[0].edge = true
		case z >= l.End && z < l.End+nearby:
			to.at[1].edge = true
		}
		return
	}
	switch {
	case z > -1 && z < 1:
		if f := math.Acos(z); f < l.End {
			to.add(f, edge)
		}
	case z >= 1 && z < 1+nearby*nearby/2:
		to.at[0].edge = true
	case z <= -1 && z > -1-nearby*nearby/2:
		to.at[1].edge = true
	}
}

// miss adds the place of a pair of roots x ± iy.
func (l *leg) miss(x, y float64, to *breaks) {
	f := x
	if l.Curved {
		if !(math.Abs(x) < 1+nearby) {
			return
		}
		x = max(-1, min(1, x))
		f = math.Acos(x)
		y /= max(math.Sqrt(1-x*x), math.Sqrt(y))
	}
	if !(y < nearby) || f < -nearby || f > l.End+nearby {
		return
	}
	switch {
	case f < 0.02:
		to.at[0].edge = true
	case f > l.End-0.02:
		to.at[1].edge = true
	default:
		to.add(f, true)
	}
}
