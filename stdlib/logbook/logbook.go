// Package logbook is the form of the log that is kept of a mirror: plain text
// beside the recipe, one line an event, the oldest first.
//
//	# The log of a mirror.
//	2026-03-14 10:20 test readings-1.csv
//	2026-03-14 11:05 spell 60 mm lap; tangential, 20 mm, 3.3 double strokes a turn; table 6 rpm; at 118 mm; 120 turns
//	2026-03-14 11:30 note the lap dragged towards the end
//
// A line has the day and the time by the clock of the bench, the kind of event and
// what there is to say of it. A test names its sheet of readings. A spell has the
// lap's name, then in any order the stroke in its own words, the rate of the table,
// the radius, the turns as worked, and the load; the first and the last three may be
// left out where they are as usual, but for the radius and the turns. Empty lines and
// lines that start with # count for nothing.
//
// A log only grows. A line counts once its line end is written, so that one that
// was broken off by a crash, wherever that was, is known as such: what is added
// later first ends it with the words "(broken off)", and a line with those counts
// for nothing.
//
// Recipes do not import this package; package session reads logs for them.
package logbook

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Clock is how the day and the time of an event are written, as package time has it.
const Clock = "2006-01-02 15:04"

// Kinds are the kinds of event.
var Kinds = []string{"test", "spell", "note"}

// mostText is the most bytes there may be to say of an event.
const mostText = 1000

// brokenOff ends a line that was not written to its end.
const brokenOff = "(broken off)"

// opening is the first line of a new log.
const opening = "# The log of a mirror: one line an event, the oldest first. Lines are only ever added.\n"

// An Event is one line of a log.
type Event struct {
	When string // as Clock has it
	Kind string // one of Kinds
	Text string
	Spell
	Line int // of the file, from 1; 0 where it was not read from one
}

// String returns the line of the event, without its end.
func (e Event) String() string { return e.When + " " + e.Kind + " " + e.Text }

// New returns the event of that kind with so much to say, or an error where that is
// not what such an event has.
func New(when, kind, text string) (Event, error) {
	e := Event{When: when, Kind: kind, Text: strings.TrimSpace(text)}
	if t, err := time.Parse(Clock, when); err != nil || t.Format(Clock) != when {
		return e, fmt.Errorf("%q is no day and time like 2026-03-14 10:20", when)
	}
	if !slices.Contains(Kinds, kind) {
		return e, fmt.Errorf("%q is no kind of event; it must be %s", kind, "test, spell or note")
	}
	acts := func(r rune) bool { return !unicode.IsPrint(r) }
	switch {
	case e.Text == "":
		return e, fmt.Errorf("there is nothing after %q", kind)
	case !utf8.ValidString(text) || strings.IndexFunc(e.Text, acts) >= 0:
		return e, fmt.Errorf("the text of an event must be one line of plain text in UTF-8")
	case len(e.Text) > mostText:
		return e, fmt.Errorf("the text of an event is %d bytes long; it must be at most %d", len(e.Text), mostText)
	case strings.HasSuffix(e.Text, brokenOff):
		return e, fmt.Errorf("the text of an event cannot end with %q, which marks a line that was not written to its end", brokenOff)
	}
	var err error
	if kind == "spell" {
		e.Spell, err = ParseSpell(e.Text)
	}
	return e, err
}

// A Log is what was read from a file.
type Log struct {
	Events []Event
	Broken string // the last line, where it has no end; "" where it has
}

// A Fault is a line that is none of a log.
type Fault struct {
	Line int // from 1
	Text string
	Err  error
}

func (f *Fault) Error() string { return fmt.Sprintf("line %d: %v", f.Line, f.Err) }

// Parse reads a log. The error, if any, is a *Fault and of the first line that is
// wrong; a line that was broken off is not.
func Parse(data []byte) (Log, error) {
	var l Log
	lines := strings.Split(string(data), "\n")
	l.Broken = lines[len(lines)-1]
	for i, line := range lines[:len(lines)-1] {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' || strings.HasSuffix(line, brokenOff) {
			continue
		}
		e, err := parseLine(line)
		if err != nil {
			return l, &Fault{Line: i + 1, Text: line, Err: err}
		}
		e.Line = i + 1
		l.Events = append(l.Events, e)
	}
	return l, nil
}

func parseLine(line string) (Event, error) {
	word := func() string {
		first, rest, _ := strings.Cut(line, " ")
		line = strings.TrimLeft(rest, " ")
		return first
	}
	day, clock, kind := word(), word(), word()
	return New(day+" "+clock, kind, line)
}

// Addition returns what to write at the end of a log that ends with tail, to add
// the event: all of tail is of use, its last line enough. All is to be written at
// once. Whatever part of it reaches the file, the events that were there stay, and
// this one is there whole or not at all.
func Addition(tail []byte, e Event) []byte {
	line := e.String() + "\n"
	switch {
	case len(tail) == 0:
		line = opening + line
	case !bytes.HasSuffix(tail, []byte("\n")):
		line = " " + brokenOff + "\n" + line
	}
	return []byte(line)
}
