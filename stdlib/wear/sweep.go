package wear

import (
	"math"

	"lapwright/stdlib/stroke"
)

// A sweep is one setting made ready to be reckoned: everything about it that
// does not depend on the radius asked for. It is not changed by the reckoning.
//
// The depth worn in one turn at radius r, for a coefficient of 1, is
//
//	h(r) = ∮ ⟨p·|v|⟩ dφ
//
// over the circle, with ⟨⟩ the mean over the stroke and v the relative velocity
// for each radian the table turns. With X a place on the glass, C the lap's
// middle, u its velocity and w the lap's rate of turning, all per the table's,
//
//	v = ẑ × ((1-w)·X + Q),  Q = w·C + ẑ×u,
//
// so |v| is |1-w| times the distance of X from the one place that the lap does
// not rub, the pole -Q/(1-w). [D]
type sweep struct {
	glass   glass
	face    *face
	legs    []leg
	at      float64 // radius of the middle of the stroke
	wander  float64 // that is still to be averaged over
	turn    float64 // w
	press   pressures
	kinks   []float64 // radii of the lap's middle at which the pressure's formula changes
	fine    int       // multiplies the places of every rule; 1 for the stated accuracy
	fineArc int       // the same along an arc; 2 where the pole stands still and nothing evens out its place
}

// station is the lap at one instant, in the polar frame of its middle: rho is
// its radius, q1 and q2 are Q outward and along for the one or two velocities
// with which the place is passed.
type station struct {
	rho      float64
	q1r, q1t float64
	q2r, q2t float64
	both     bool
	press    press
}

func newSweep(g glass, f *face, s *stroke.Stroke, at float64, fine int) *sweep {
	sw := &sweep{glass: g, face: f, at: at, turn: s.Turning(), fine: fine, fineArc: fine}
	legs := s.Legs()
	// A held lap's wander is its one leg.
	if legs[0].Speed != 0 {
		sw.wander = float64(s.Wandering())
	}
	least, greatest := math.Inf(1), 0.0
	for _, l := range legs {
		lg := newLeg(l, at, sw.wander)
		least, greatest = min(least, lg.near), max(greatest, lg.far)
		sw.legs = append(sw.legs, lg)
	}
	if l := &sw.legs[0]; l.still || !l.Curved && sw.turn == 0 {
		sw.fineArc *= 2
	}
	sw.kinks = f.kinks(g, least, greatest)
	sw.press = f.pressures(g, least, greatest, sw.kinks)
	return sw
}

// leastPlaces is how many places the shortest piece of an integral over the stroke
// or the wander gets. With it, and with those of arc, profiles are within 1e-4 of
// their peak; the tests hold it.
const leastPlaces = 5

// depth returns h(r).
func (s *sweep) depth(r float64) float64 {
	if s.wander == 0 {
		return s.depthAt(r, s.at)
	}
	// The mean over the wander, taken in pieces between the places at which the
	// reach of the lap comes to r.
	lo, hi := s.at-s.wander, s.at+s.wander
	stops := newBreaks(lo, hi)
	for i := range s.legs {
		for _, t := range s.face.cuts {
			s.legs[i].wandersTo(math.Abs(r-t), &stops)
			s.legs[i].wandersTo(r+t, &stops)
		}
	}
	stops.sort()
	sum := 0.0
	for i := 1; i < stops.n; i++ {
		from, width := stops.at[i-1].f, stops.at[i].f-stops.at[i-1].f
		if width <= 1e-9*s.wander {
			continue
		}
		n := (leastPlaces + int(2*width/(hi-lo))) * s.fine
		ru := pick(n, stops.at[i-1].edge, stops.at[i].edge)
		for j, x := range ru.x {
			sum += ru.w[j] * width * s.depthAt(r, from+width*x)
		}
	}
	return sum / (hi - lo)
}

// depthAt returns h(r) with the middle of the stroke at radius at.
func (s *sweep) depthAt(r, at float64) float64 {
	sum := 0.0
	for i := range s.legs {
		l := &s.legs[i]
		sum += l.Share * s.legDepth(l, r, at)
	}
	return sum
}

// legDepth returns the mean over the leg of the integral along the circle r.
//
// The leg is cut where the lap's edges reach or leave the circle, where the
// integrand begins like a square root, where the pole crosses the circle, and
// where the pressure's formula changes.
func (s *sweep) legDepth(l *leg, r, at float64) float64 {
	var st station
	x := at + l.X
	if l.still {
		s.station(l, x, 0, &st)
		return s.arc(&st, r)
	}
	if l.near-s.face.out >= r || r >= l.far+s.face.out {
		return 0
	}
	b := newBreaks(0, l.End)
	// The square of the middle's radius as a quadratic in f or cos f.
	qa, qb, qc := l.square(x, l.XA, l.Y, l.YA)
	for _, t := range s.face.cuts {
		gap := math.Abs(r - t)
		l.level(qa, qb, qc, gap, true, &b)
		l.level(qa, qb, qc, r+t, true, &b)
		if gap < 0.1*l.far {
			// The covered angle goes like acos(gap/rho): sharp a good way beyond.
			l.level(qa, qb, qc, 6*gap, false, &b)
		}
	}
	for _, k := range s.kinks {
		l.level(qa, qb, qc, k, false, &b)
	}
	if s.press.lost {
		// Where the line of no pressure touches the circle.
		for i := range s.press.stretches {
			if rho, ok := s.press.stretches[i].touches(r); ok {
				l.level(qa, qb, qc, rho, true, &b)
			}
		}
	}
	if s.turn != 1 {
		pole := math.Abs(1-s.turn) * r
		for i, speed := 0, l.Speed; i < l.velocities; i, speed = i+1, -speed {
			pa, pb, pc := l.poleSquare(s.turn, x, speed)
			l.level(pa, pb, pc, pole, false, &b)
		}
	}
	b.sort()
	sum := 0.0
	for i := 1; i < b.n; i++ {
		lo, hi := &b.at[i-1], &b.at[i]
		width := hi.f - lo.f
		if width <= 1e-10*l.End {
			continue
		}
		s.station(l, x, lo.f+width/2, &st)
		if math.Abs(st.rho-r) >= s.face.out || st.rho+r <= s.face.in {
			continue
		}
		n := (leastPlaces + int(5*width/l.unit)) * s.fine
		if lo.edge && hi.edge {
			n += 2 * s.fine
		}
		ru := pick(n, lo.edge, hi.edge)
		part := 0.0
		for j, t := range ru.x {
			s.station(l, x, lo.f+width*t, &st)
			part += ru.w[j] * s.arc(&st, r)
		}
		sum += part * width
	}
	return sum / l.End
}

// station sets st to the lap at f on the leg, with the leg's X moved to x.
func (s *sweep) station(l *leg, x, f float64, st *station) {
	var y, ux, uy float64
	if l.Curved {
		sn, cs := math.Sincos(f)
		x, y = x+l.XA*cs, l.YA*sn
		ux, uy = -l.XA*sn*l.Speed, l.YA*cs*l.Speed
	} else {
		x, y = x+l.XA*f, l.Y+l.YA*f
		ux, uy = l.XA*l.Speed, l.YA*l.Speed
	}
	rho := math.Sqrt(x*x + y*y)
	cx, cy := 1.0, 0.0
	if rho > 0 {
		cx, cy = x/rho, y/rho
	}
	out, along := ux*cx+uy*cy, uy*cx-ux*cy
	st.rho = rho
	st.q1r, st.q1t = s.turn*rho-along, out
	st.both = l.BothWays
	if st.both {
		st.q2r, st.q2t = s.turn*rho+along, -out
	}
	st.press = s.press.at(rho)
}
