package wear

import (
	"fmt"
	"math"

	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
)

// A Setting is a lap, a stroke, and where they work.
type Setting struct {
	Lap    *lap.Lap
	Stroke *stroke.Stroke
	At     unit.Length // radius of the middle of the stroke
	Press  unit.Length // how far outward of the lap's middle the hand presses; negative inward
}

// String says what the setting is, in millimetres: "70 mm lap at 118.0 mm,
// tangential, 60 mm, 7.3 double strokes a turn".
func (s Setting) String() string { return s.Text(unit.MM) }

// Text is String with lengths in the given unit.
func (s Setting) Text(in unit.Length) string {
	text := fmt.Sprintf("%v at %s, %s", s.Lap, across(s.At, in), s.Stroke.Text(in))
	switch {
	case s.Press > 0:
		text += fmt.Sprintf(", pressed %s outward of its middle", across(s.Press, in))
	case s.Press < 0:
		text += fmt.Sprintf(", pressed %s inward of its middle", across(-s.Press, in))
	}
	return text
}

// faceOf returns the worked face of m. Where it has a bevel that is what lies
// inside the bevel, as the lap does not touch there.
func faceOf(m *mirror.Mirror) glass {
	return glass{hole: float64(m.Hole()), rim: float64(m.Clear())}
}

// sweep makes the setting, which has been checked, ready to be reckoned.
func (s Setting) sweep(m *mirror.Mirror, f *face) *sweep {
	sw := newSweep(faceOf(m), f, s.Stroke, float64(s.At), 1)
	if s.Stroke.IsFree() {
		sw.turn = sw.freeTurning()
	}
	return sw
}

// Fault says why the setting cannot be worked on mirror m, in the words New stops
// the recipe with, or "" where it can.
func (s Setting) Fault(m *mirror.Mirror) string {
	_, message := s.check(m)
	return message
}

// check returns the face of the lap as it is pressed, or says what is wrong with
// the setting on m.
func (s Setting) check(m *mirror.Mirror) (*face, string) {
	switch {
	case m == nil:
		return nil, "the mirror is missing"
	case s.Lap == nil:
		return nil, "Lap is missing"
	case s.Stroke == nil:
		return nil, "Stroke is missing"
	}
	g, in := faceOf(m), m.Shop()
	length := func(l float64) string { return across(unit.Length(l), in) }
	if !(s.At >= 0 && float64(s.At) <= 2*g.rim) {
		return nil, fmt.Sprintf("At is %v; it must be from 0 to the mirror's diameter, %s", s.At, length(2*g.rim))
	}
	if !(math.Abs(float64(s.Press)) < float64(s.Lap.Radius())) {
		return nil, fmt.Sprintf("Press is %v; the hand must press within the lap, less than %s from its middle",
			s.Press, across(s.Lap.Radius(), in))
	}
	if s.Lap.Diameter() > 2*m.Clear()*2 {
		return nil, fmt.Sprintf("Lap is %s wide; it must be at most twice as wide as the mirror, %s",
			across(s.Lap.Diameter(), in), length(4*g.rim))
	}
	f, ok := newFace(s.Lap, float64(s.Press))
	if !ok {
		return nil, fmt.Sprintf("the %v tips: pressed %s from its middle it has no contact to stand on; press nearer its middle",
			s.Lap, across(s.Press, in))
	}
	least, greatest := s.Stroke.Reach(s.At)
	if message := f.tips(g, float64(least), float64(greatest), s.Lap.Name(), length); message != "" {
		return nil, message
	}
	return f, ""
}

// tips says how the lap fails to balance with its middle going from radius least
// to greatest, or "" where it balances all along.
//
// Its outward hold on the glass is least at the greatest radius. Its inward hold is
// least at the least radius or, over a hole smaller than the lap, where the horns
// of the contact lie furthest out, at ρ² = b² - hole². [D]
func (f *face) tips(g glass, least, greatest float64, name string, length func(float64) string) string {
	worst := []float64{greatest, least}
	if horns := math.Sqrt(f.out*f.out - g.hole*g.hole); horns > least && horns < greatest {
		worst = append(worst, horns)
	}
	touches := func(rho float64) (bool, bool) {
		lo, hi := f.span(g, rho)
		margin := 1e-6 * f.out
		return lo < f.hand-margin, hi > f.hand+margin
	}
	for _, rho := range worst {
		inward, outward := touches(rho)
		switch {
		case inward && outward:
			if _, ok := f.balance(g, rho); !ok {
				return fmt.Sprintf("the %s does not balance with its middle %s from the axis", name, length(rho))
			}
		case !outward && rho > g.hole:
			// The furthest place at which contact still reaches beyond the hand.
			end := limit(g.hole, rho, func(r float64) bool { _, out := touches(r); return out })
			return fmt.Sprintf("the %s tips off the rim: its middle comes to %s from the axis and it overhangs by %s; it balances only while it overhangs by less than %s",
				name, length(rho), length(rho+f.out-g.rim), length(max(0, end+f.out-g.rim)))
		default:
			end := limit(g.rim, rho, func(r float64) bool { in, _ := touches(r); return in })
			return fmt.Sprintf("the %s tips into the hole: its middle comes to %s from the axis; it balances only while that is more than %s",
				name, length(rho), length(end))
		}
	}
	return ""
}

// limit returns the radius between good, where ok holds, and bad, at which it
// ceases to.
func limit(good, bad float64, ok func(float64) bool) float64 {
	for range 60 {
		if mid := (good + bad) / 2; ok(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return good
}

// across prints a length across the glass in the shop's unit: tenths of a
// millimetre, hundredths of an inch.
func across(l, in unit.Length) string {
	if in == unit.Inch {
		return l.Text(in, 2)
	}
	return l.Text(in, 1)
}
