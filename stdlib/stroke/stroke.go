// Package stroke says how a lap is moved while the table turns under it.
//
// A stroke is a closed path of the lap's centre about its middle place, gone
// round so many times for each turn of the table, and what the lap does about
// its own axis. Directions are those at the middle place: radial is outward from
// the table's axis, tangential is along the ring in the sense the table turns.
// Strokes are geared to the table: a table that turns faster is taken to be
// worked faster, so the wear in a turn does not depend on the table's rate. The
// exception is a lap that spins at a rate of its own; Geared tells.
//
// The lap is taken to keep exactly to the path. A hand does not; the wander and
// a number of strokes that does not fit the turns make up for some of that.
package stroke

import (
	"fmt"
	"math"
	"strings"

	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// What a stroke may be at most. Larger numbers are slips of the pen or of the unit.
const (
	maxLength  = 5 * unit.Metre
	maxPerTurn = 1000
	maxTable   = 600 * unit.RPM
)

// A Stroke is a way of moving a lap. It does not change: methods that alter a
// stroke return another one.
type Stroke struct {
	form       form
	tangential float64 // metres end to end
	radial     float64
	perTurn    float64 // below 0: an ellipse or path run the other way round
	points     []Point // of a path
	table      unit.Rate
	steady     bool
	wander     float64 // metres each way
	turning    turning
	spin       unit.Rate
}

type form int

const (
	held form = iota
	line
	ellipse
	path
)

// turning is what the lap does about its own axis.
type turning int

const (
	still turning = iota
	following
	free
	spinning
)

// Held keeps the lap where it is while the table turns under it. It stops the
// recipe where the table's rate is not above 0 or beyond 600 turns a minute.
func Held(table unit.Rate) *Stroke {
	s := &Stroke{form: held, table: table}
	s.check("stroke.Held")
	return s
}

// Tangential moves the lap's centre to and fro along the ring's tangent, length
// from end to end, perTurn double strokes for each turn of the table, swinging
// like a pendulum. At some distance from the axis this is a stroke along a
// chord; at 0 it is centre over centre. It stops the recipe where length,
// perTurn or table is not above 0 or beyond sense (5 m, 1000, 600 turns a minute).
func Tangential(length unit.Length, perTurn float64, table unit.Rate) *Stroke {
	s := &Stroke{form: line, tangential: float64(length), perTurn: perTurn, table: table}
	s.check("stroke.Tangential")
	return s
}

// Radial moves the lap's centre to and fro along the radius; otherwise it is as
// Tangential, and stops the recipe as it does.
func Radial(length unit.Length, perTurn float64, table unit.Rate) *Stroke {
	s := &Stroke{form: line, radial: float64(length), perTurn: perTurn, table: table}
	s.check("stroke.Radial")
	return s
}

// Elliptical moves the lap's centre round an ellipse whose axes are tangential
// and radial from end to end, perTurn times for each turn of the table, the way
// the table turns, or the other way where perTurn is negative. It stops the
// recipe as Tangential does.
func Elliptical(tangential, radial unit.Length, perTurn float64, table unit.Rate) *Stroke {
	s := &Stroke{form: ellipse, tangential: float64(tangential), radial: float64(radial), perTurn: perTurn, table: table}
	s.check("stroke.Elliptical")
	return s
}

// A Point is a place on a path, from the middle place of the stroke.
type Point struct {
	Radial, Tangential unit.Length
}

// Path moves the lap's centre straight from each point to the next and from the
// last back to the first, at one speed all along, perTurn times for each turn of
// the table. It stops the recipe where there are fewer than 2 or more than 200
// points, where a point is the same as the one before it or further off than
// sense, and where perTurn or table is not above 0 or beyond sense.
func Path(perTurn float64, table unit.Rate, points ...Point) *Stroke {
	const call = "stroke.Path"
	s := &Stroke{form: path, perTurn: perTurn, points: append([]Point(nil), points...), table: table, steady: true}
	s.check(call)
	if len(points) < 2 || len(points) > 200 {
		host.Stopf(call, "%d points are given; there must be from 2 to 200", len(points))
	}
	for i, p := range points {
		before := points[(i+len(points)-1)%len(points)]
		if !(math.Hypot(float64(p.Radial), float64(p.Tangential)) <= float64(maxLength)) {
			host.Stopf(call, "point %d is %v outward and %v along; it must lie within %v of the middle", i+1, p.Radial, p.Tangential, maxLength)
		}
		if p == before {
			host.Stopf(call, "point %d lies on the point before it; leave one of them out", i+1)
		}
	}
	return s
}

func (s *Stroke) check(call string) {
	if !(s.table > 0 && s.table <= maxTable) {
		host.StopArg(call, "table", s.table, fmt.Sprintf("above 0 and at most %v", maxTable))
	}
	if s.form == held {
		return
	}
	turns := s.perTurn
	if s.form == ellipse {
		turns = math.Abs(turns)
	}
	if !(turns > 0 && turns <= maxPerTurn) {
		host.StopArg(call, "perTurn", s.perTurn, fmt.Sprintf("above 0 and at most %d", maxPerTurn))
	}
	if s.form == path {
		return
	}
	size := func(arg string, v float64) {
		if !(v > 0 && v <= float64(maxLength)) {
			host.StopArg(call, arg, unit.Length(v), fmt.Sprintf("above 0 and at most %v", maxLength))
		}
	}
	switch {
	case s.form == ellipse:
		size("tangential", s.tangential)
		size("radial", s.radial)
	case s.radial != 0:
		size("length", s.radial)
	default:
		size("length", s.tangential)
	}
}

// Steady returns the stroke at one speed from end to end, turning back at once,
// in place of the pendulum's swing. It stops the recipe where the stroke is not
// a tangential or radial one.
func (s *Stroke) Steady() *Stroke {
	if s.form != line {
		host.Stopf("stroke.Steady", "the stroke is %v; only a tangential or a radial stroke can be made steady", s)
	}
	t := *s
	t.steady = true
	return &t
}

// Wander returns the stroke with its middle place moved slowly in and out along
// the radius, by this much each way, evenly. It is taken to be so slow that its
// own speed does not count, and to go on for as long as the work does. It stops
// the recipe where by is negative or beyond 1 m.
func (s *Stroke) Wander(by unit.Length) *Stroke {
	if !(by >= 0 && by <= unit.Metre) {
		host.StopArg("stroke.Wander", "by", by, "at least 0 and at most 1 m")
	}
	t := *s
	t.wander = float64(by)
	return &t
}

// Following returns the stroke with the lap turning about its own axis at the
// table's rate, as if carried along.
func (s *Stroke) Following() *Stroke {
	t := *s
	t.turning, t.spin = following, 0
	return &t
}

// Free returns the stroke with a lap free to turn about its middle: it is dragged
// to the rate at which friction has no torque left, in the mean over the stroke.
//
// Pressed at its middle it follows the table. The relative velocity is then the
// same all over the contact, and friction of one strength everywhere, drawn along
// it, has no torque about the pressure's centre, which is where the hand presses.
// There is no other such rate, the power of friction being a convex function of
// it. Pressed beside its middle it takes another rate; package wear finds it.
func (s *Stroke) Free() *Stroke {
	t := *s
	t.turning, t.spin = free, 0
	return &t
}

// IsFree reports whether the lap is free to turn.
func (s *Stroke) IsFree() bool { return s.turning == free }

// Spinning returns the stroke with the lap turned about its own axis at a rate of
// its own, in the table's sense, or against it where negative. The wear in a turn
// then depends on the table's rate. It stops the recipe where the rate is beyond
// 6000 turns a minute either way.
func (s *Stroke) Spinning(rate unit.Rate) *Stroke {
	if !(math.Abs(float64(rate)) <= float64(6000*unit.RPM)) {
		host.StopArg("stroke.Spinning", "rate", rate, "at most 6000 rpm either way")
	}
	t := *s
	t.turning, t.spin = spinning, rate
	if rate == 0 {
		t.turning = still
	}
	return &t
}

// Table returns how fast the table turns.
func (s *Stroke) Table() unit.Rate { return s.table }

// PerTurn returns the double strokes, or rounds of the path, for each turn of
// the table: 0 for a lap held in place, negative for an ellipse run against the
// table's sense.
func (s *Stroke) PerTurn() float64 { return s.perTurn }

// Length returns the stroke's length from end to end: the longer axis of an
// ellipse, the greatest distance between two points of a path, 0 for a lap held
// in place. The wander is not part of it.
func (s *Stroke) Length() unit.Length {
	if s.form != path {
		return unit.Length(math.Max(s.tangential, s.radial))
	}
	far := 0.0
	for i, p := range s.points {
		for _, q := range s.points[:i] {
			far = math.Max(far, math.Hypot(float64(p.Radial-q.Radial), float64(p.Tangential-q.Tangential)))
		}
	}
	return unit.Length(far)
}

// Wandering returns how far the middle place moves each way.
func (s *Stroke) Wandering() unit.Length { return unit.Length(s.wander) }

// Geared reports whether the wear in a turn is the same at every rate of the
// table, all motion being in proportion to it.
func (s *Stroke) Geared() bool { return s.turning != spinning }

// Turning returns the lap's rate of turning about its own axis over the table's:
// 0 for a lap that does not turn, 1 for one that follows the table or, pressed at
// its middle, is free.
func (s *Stroke) Turning() float64 {
	switch s.turning {
	case following, free:
		return 1
	case spinning:
		return float64(s.spin / s.table)
	}
	return 0
}

// Period returns the time of one double stroke or round of the path; it is
// infinite for a lap held in place.
func (s *Stroke) Period() unit.Time {
	return s.table.Period() / unit.Time(math.Abs(s.perTurn))
}

// Travel returns the way of the lap's centre in one turn of the table, without
// the wander.
func (s *Stroke) Travel() unit.Length {
	return unit.Length(s.round() * math.Abs(s.perTurn))
}

// MeanSpeed returns the mean speed of the lap's centre in metres per second.
func (s *Stroke) MeanSpeed() float64 {
	return float64(s.Travel()) / float64(s.table.Period())
}

// round returns the length of one round of the path.
func (s *Stroke) round() float64 {
	switch s.form {
	case line:
		return 2 * (s.tangential + s.radial)
	case ellipse:
		// The trapezoid rule converges faster than any power for a periodic
		// integrand, but slowly for a thin ellipse: 512 points hold 1e-5 there.
		const n = 512
		sum := 0.0
		for i := range n {
			sn, cs := math.Sincos(2 * math.Pi * float64(i) / n)
			sum += math.Hypot(s.radial*sn, s.tangential*cs)
		}
		return math.Pi * sum / n
	case path:
		sum := 0.0
		for i, p := range s.points {
			q := s.points[(i+1)%len(s.points)]
			sum += math.Hypot(float64(q.Radial-p.Radial), float64(q.Tangential-p.Tangential))
		}
		return sum
	}
	return 0
}

// Extent returns how far the lap's centre goes from its middle place outward or
// inward and along the tangent either way, wander included.
func (s *Stroke) Extent() (radial, tangential unit.Length) {
	r, t := s.radial/2, s.tangential/2
	for _, p := range s.points {
		r = math.Max(r, math.Abs(float64(p.Radial)))
		t = math.Max(t, math.Abs(float64(p.Tangential)))
	}
	return unit.Length(r + s.wander), unit.Length(t)
}

// Reach returns the least and the greatest distance of the lap's centre from the
// table's axis when the middle of the stroke is at radius at, wander included.
func (s *Stroke) Reach(at unit.Length) (least, greatest unit.Length) {
	low, high := math.Inf(1), 0.0
	lo, hi := float64(at)-s.wander, float64(at)+s.wander
	if s.form == held {
		lo, hi = float64(at), float64(at) // the leg wanders
	}
	for _, leg := range s.Legs() {
		near, far := leg.Reach(lo, hi)
		low, high = math.Min(low, near), math.Max(high, far)
	}
	return unit.Length(low), unit.Length(high)
}

// WithPerTurn returns the stroke with another number of double strokes, or rounds
// of the path, for each turn of the table. A lap held in place is left as it is. It
// stops the recipe where perTurn is not above 0, or not other than 0 for an
// ellipse, or beyond 1000.
func (s *Stroke) WithPerTurn(perTurn float64) *Stroke {
	t := *s
	if t.form != held {
		t.perTurn = perTurn
		t.check("stroke.WithPerTurn")
	}
	return &t
}

// String says what the stroke is, without the table's rate: "tangential, 60 mm,
// 7.3 double strokes a turn, wandering 4 mm in and out".
func (s *Stroke) String() string {
	return s.Text(unit.MM)
}

// Text is String with lengths in the given unit.
func (s *Stroke) Text(in unit.Length) string {
	length := func(v float64) string { return lengthText(unit.Length(v), in) }
	rounds := fmt.Sprintf("%.4g rounds a turn", math.Abs(s.perTurn))
	strokes := fmt.Sprintf("%.4g double strokes a turn", s.perTurn)
	var text string
	switch s.form {
	case held:
		text = "held in place"
	case line:
		text = "tangential, " + length(s.tangential)
		if s.radial != 0 {
			text = "radial, " + length(s.radial)
		}
		if s.steady {
			text += ", steady"
		}
		text += ", " + strokes
	case ellipse:
		text = fmt.Sprintf("elliptical, %s along and %s in and out, %s", length(s.tangential), length(s.radial), rounds)
		if s.perTurn < 0 {
			text += " against the table"
		}
	case path:
		text = fmt.Sprintf("path of %d points, %s", len(s.points), rounds)
	}
	if s.wander > 0 {
		text += ", wandering " + length(s.wander) + " in and out"
	}
	switch s.turning {
	case following:
		text += ", the lap following the table"
	case free:
		text += ", the lap free to turn"
	case spinning:
		text += ", the lap spinning at " + s.spin.String()
	}
	return text
}

// lengthText prints tenths of a millimetre where there are any.
func lengthText(l, in unit.Length) string {
	if in != unit.MM {
		return l.Text(in, 2)
	}
	return strings.Replace(l.Text(in, 1), ".0 ", " ", 1)
}
