package plan

import (
	"fmt"

	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// A Spell is a stretch of work with one lap at one setting.
type Spell struct {
	Lap    *lap.Lap
	Stroke *stroke.Stroke
	At     unit.Length // radius of the middle of the stroke
	Turns  int         // whole turns of the table, from the mark back to the mark
}

// mostTurns is the most turns a spell may have: days of work.
const mostTurns = 100_000

// Time returns how long the spell takes. It stops the recipe where the spell has no
// Stroke.
func (s Spell) Time() unit.Time {
	if s.Stroke == nil {
		host.Stopf("Spell.Time", "the spell has no Stroke")
	}
	return unit.Time(s.Turns) * s.Stroke.Table().Period()
}

// String says what the spell is, in millimetres: "70 mm lap at 118.0 mm,
// tangential, 25 mm, 7.3 double strokes a turn, for 120 turns (20 min)".
func (s Spell) String() string {
	if s.Lap == nil || s.Stroke == nil {
		return "no spell"
	}
	return fmt.Sprintf("%v, for %d turns (%v)", s.setting(), s.Turns, s.Time())
}

func (s Spell) setting() wear.Setting {
	return wear.Setting{Lap: s.Lap, Stroke: s.Stroke, At: s.At}
}

// check stops the recipe where the spell cannot be.
func (s Spell) check(call, which string, m *mirror.Mirror) {
	switch {
	case s.Lap == nil:
		host.Stopf(call, "%s has no Lap", which)
	case s.Stroke == nil:
		host.Stopf(call, "%s has no Stroke", which)
	case !(s.At >= 0 && s.At <= m.Rim()):
		host.StopArg(call, which+": At", s.At, fmt.Sprintf("from 0 to the mirror's rim, %v", m.Rim()))
	case s.Turns < 1 || s.Turns > mostTurns:
		host.StopArg(call, which+": Turns", s.Turns, fmt.Sprintf("from 1 to %d", mostTurns))
	}
}
