package plan

import (
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/wear"
)

// workable reports whether a setting balances on the mirror and keeps to the
// limit of overhang: at the rim, and at the hole unless the lap covers all of it.
func workable(m *mirror.Mirror, s wear.Setting, limits Limits) bool {
	if s.Fault(m) != "" {
		return false
	}
	e := wear.EdgesOf(m, s)
	most := limits.Overhang * float64(s.Lap.Diameter())
	_, rim := e.Overhang()
	_, hole := e.OverHole()
	_, greatest := s.Stroke.Reach(s.At)
	covers := greatest+m.Hole() <= s.Lap.Radius()
	return float64(rim) <= most && (float64(hole) <= most || covers)
}

// bearable reports whether a lap presses within the limits and keeps contact.
func bearable(p *wear.Profile, limits Limits) bool {
	most := limits.Pressure
	if most == 0 {
		most = p.Setting().Lap.Limit()
	}
	c := p.Contact()
	return !c.Lost && (most == 0 || c.Mean <= most)
}
