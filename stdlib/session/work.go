// Package session keeps the story of a mirror: what was tested, worked and noted,
// what the work tells of the rate of each lap, and how far it was as foreseen.
package session

import (
	"fmt"

	"gonum.org/v1/gonum/floats"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

// A Spell is a stretch of work as it was done.
type Spell struct {
	Lap    *lap.Lap
	Stroke *stroke.Stroke
	At     unit.Length // radius of the middle of the stroke
	Turns  int         // of the table, as worked
	Load   unit.Force  // on the lap, as worked; the lap's own where left out
}

// As returns the spells of a plan as if they had been worked to the turn.
func As(p *plan.Plan) []Spell {
	var list []Spell
	for _, s := range p.Spells() {
		list = append(list, Spell{Lap: s.Lap, Stroke: s.Stroke, At: s.At, Turns: s.Turns})
	}
	return list
}

// Time returns how long the spell took, from its turns and the table's rate. It stops
// the recipe where the spell has no Stroke.
func (s Spell) Time() unit.Time {
	if s.Stroke == nil {
		host.Stopf("Spell.Time", "the spell has no Stroke")
	}
	return unit.Time(s.Turns) * s.Stroke.Table().Period()
}

// String says what was done, in millimetres.
func (s Spell) String() string {
	if s.Lap == nil || s.Stroke == nil {
		return "no spell"
	}
	text := fmt.Sprintf("%v, for %d turns (%v)", s.setting(), s.Turns, s.Time())
	if s.Load != 0 && s.Load != s.Lap.Load() {
		text += fmt.Sprintf(", with %v", s.Load)
	}
	return text
}

func (s Spell) setting() wear.Setting {
	return wear.Setting{Lap: s.Lap, Stroke: s.Stroke, At: s.At}
}

// mostTurns is the most turns a spell may have: days of work.
const mostTurns = 100_000

// check stops the recipe where the spell cannot have been.
func (s Spell) check(call, which string, m *mirror.Mirror) {
	switch {
	case s.Lap == nil:
		host.Stopf(call, "%s has no Lap", which)
	case s.Stroke == nil:
		host.Stopf(call, "%s has no Stroke", which)
	case s.Turns < 1 || s.Turns > mostTurns:
		host.StopArg(call, which+": Turns", s.Turns, fmt.Sprintf("from 1 to %d", mostTurns))
	case !(s.Load >= 0 && s.Load <= 100*s.Lap.Load()):
		host.StopArg(call, which+": Load", s.Load, "above 0, or left out for that of the lap")
	}
	if fault := s.setting().Fault(m); fault != "" {
		host.Stopf(call, "%s: %s", which, fault)
	}
}

// depth returns what the spell takes off the grid of m for k = 1 m²/N. Wear is in
// proportion to the load, since the pressure is.
func (s Spell) depth(m *mirror.Mirror) []float64 {
	d := wear.New(m, s.setting()).PerTurn()
	load := 1.0
	if s.Load > 0 {
		load = float64(s.Load / s.Lap.Load())
	}
	floats.Scale(float64(s.Turns)*load, d)
	return d
}

// A Work is what was done between two tests.
type Work struct {
	Before *figure.Figure // as the test before it gave
	Spells []Spell        // as worked
	After  *zone.Readings // of the test after it
}

// check stops the recipe where the work cannot be learned from.
func (w Work) check(call, which string) {
	switch {
	case w.Before == nil:
		host.Stopf(call, "%s has no figure Before; reduce the readings of the test before the work", which)
	case w.After == nil:
		host.Stopf(call, "%s has no readings After; read the sheet of the test after the work", which)
	case len(w.Spells) == 0:
		host.Stopf(call, "%s has no Spells; give each stretch of work as it was done", which)
	}
	for i, s := range w.Spells {
		s.check(call, fmt.Sprintf("%s, spell %d", which, i+1), w.Before.Mirror())
	}
}
