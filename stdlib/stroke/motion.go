package stroke

import "math"

// Motion is where the lap's centre is at an instant and how it moves, without the
// wander.
type Motion struct {
	X, Y   float64 // from the middle place, outward and along, in metres
	UX, UY float64 // its velocity in metres for each radian the table turns
}

// Motion returns where the lap's centre is at a phase of the stroke, in double
// strokes or rounds from its start, which is at the middle of a tangential stroke
// going with the table, at the outer end of a radial one or of an ellipse, and at
// the first point of a path. Package wear reckons with it; a recipe has no need to.
func (s *Stroke) Motion(phase float64) Motion {
	phase -= math.Floor(phase)
	const turn = 2 * math.Pi
	q := s.perTurn
	switch {
	case s.form == held:
		return Motion{}
	case s.form == path:
		return s.onPath(phase)
	case s.steady && s.radial == 0:
		y, dy := saw(phase + 0.75)
		return Motion{Y: s.tangential / 2 * y, UY: s.tangential / 2 * dy * q / turn}
	case s.steady:
		x, dx := saw(phase)
		return Motion{X: s.radial / 2 * x, UX: s.radial / 2 * dx * q / turn}
	}
	sn, cs := math.Sincos(turn * phase)
	return Motion{
		X: s.radial / 2 * cs, Y: s.tangential / 2 * sn,
		UX: -s.radial / 2 * sn * q, UY: s.tangential / 2 * cs * q,
	}
}

// saw goes from 1 at phase 0 to -1 at 1/2 and back, at one speed.
func saw(phase float64) (y, slope float64) {
	phase -= math.Floor(phase)
	if phase < 0.5 {
		return 1 - 4*phase, -4
	}
	return 4*phase - 3, 4
}

func (s *Stroke) onPath(phase float64) Motion {
	legs := s.Legs()
	for i, l := range legs {
		if phase < l.Share || i == len(legs)-1 {
			f := min(phase/l.Share, 1)
			x, y := l.Place(f)
			return Motion{X: x, Y: y, UX: l.XA * l.Speed, UY: l.YA * l.Speed}
		}
		phase -= l.Share
	}
	return Motion{}
}
