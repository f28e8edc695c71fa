package plan

import (
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// overhang returns how far the lap's rim reaches over the mirror's in the
// stroke; negative where it stays inside.
func overhang(m *mirror.Mirror, s wear.Setting) unit.Length {
	_, greatest := s.Stroke.Reach(s.At)
	return greatest + s.Lap.Radius() - m.Rim()
}

// workable reports whether a setting keeps to the limits.
func workable(m *mirror.Mirror, s wear.Setting, limits Limits) bool {
	if float64(overhang(m, s)) > limits.Overhang*float64(s.Lap.Diameter()) {
		return false
	}
	most := limits.Pressure
	if most == 0 {
		most = s.Lap.Limit()
	}
	return most == 0 || s.Lap.Pressure() <= most
}
