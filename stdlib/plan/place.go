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

// bearable reports whether a lap keeps contact and presses within the limits
// everywhere and at all times: it is where it hangs over the rim that it marks.
func bearable(p *wear.Profile, limits Limits) bool {
	most := limits.Pressure
	if most == 0 {
		most = p.Setting().Lap.Limit()
	}
	c := p.Contact()
	return !c.Lost && (most == 0 || c.Greatest <= most)
}
