package logbook

import (
	"fmt"
	"strconv"
	"strings"

	"lapwright/stdlib/unit"
)

// A Spell is what a log says of a stretch of work.
type Spell struct {
	Lap    string      // its name
	Stroke string      // in its own words; "" where left out
	Table  unit.Rate   // 0 where left out
	At     unit.Length // radius of the middle of the stroke
	Turns  int         // as worked
	Load   unit.Force  // 0 where left out
}

// mostTurns is the most turns a spell may have: days of work.
const mostTurns = 100_000

// ParseSpell reads what a log says of a spell: "60 mm lap; at 118 mm; 120 turns".
func ParseSpell(text string) (Spell, error) {
	var s Spell
	parts := strings.Split(text, ";")
	seen := map[string]bool{}
	for i, part := range parts {
		part = strings.TrimSpace(part)
		first, rest, _ := strings.Cut(part, " ")
		what, err := "stroke", error(nil)
		switch {
		case part == "":
			return s, fmt.Errorf("there is nothing between two semicolons, or before or after one, in %q", text)
		case i == 0:
			s.Lap = part
			continue
		case first == "at":
			what = "radius"
			s.At, err = unit.ParseLength(rest)
			if err == nil && !(s.At >= 0 && s.At < 10*unit.Metre) {
				err = fmt.Errorf("%v is no radius on a mirror", s.At)
			}
		case first == "table":
			what = "table's rate"
			s.Table, err = unit.ParseRate(rest)
			if err == nil && !(s.Table > 0) {
				err = fmt.Errorf("%v is not above 0", s.Table)
			}
		case first == "load":
			what = "load"
			s.Load, err = unit.ParseForce(rest)
			if err == nil && !(s.Load > 0) {
				err = fmt.Errorf("%v is not above 0", s.Load)
			}
		case rest == "turns" || rest == "turn":
			what = "number of turns"
			s.Turns, err = strconv.Atoi(first)
			if err != nil || s.Turns < 1 || s.Turns > mostTurns {
				err = fmt.Errorf("%s is no whole number from 1 to %d", first, mostTurns)
			}
		default:
			s.Stroke = part
		}
		if err != nil {
			return s, fmt.Errorf("the %s in %q cannot be read: %w", what, part, err)
		}
		if seen[what] {
			return s, fmt.Errorf("the %s is there twice in %q", what, text)
		}
		seen[what] = true
	}
	switch {
	case !seen["radius"]:
		return s, fmt.Errorf("%q does not say at which radius, like: at 118 mm", text)
	case !seen["number of turns"]:
		return s, fmt.Errorf("%q does not say how many turns were worked, like: 120 turns", text)
	}
	return s, nil
}
