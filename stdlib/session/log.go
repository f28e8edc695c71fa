package session

import (
	"errors"
	"fmt"
	"go/token"
	"math"
	"slices"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/logbook"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/sheet"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// A Bench is what the words of a log stand for: laps by their names, strokes by
// their own words (see stroke.Stroke.String) and the rate of their table. Where a
// line names no stroke it is the first.
type Bench struct {
	Laps    []*lap.Lap
	Strokes []*stroke.Stroke
}

// An Event is a line of a log.
type Event struct {
	When string // by the clock of the bench: "2026-03-14 10:20"
	Kind string // "test", "spell" or "note"
	Text string // what the line says
	line int    // of the file
}

// String returns the line.
func (e Event) String() string { return e.When + " " + e.Kind + " " + e.Text }

// A Log is what was read from a file. It does not change.
type Log struct {
	file   string
	lines  []string
	events []Event
	spells map[int]Spell // by event
	broken string
}

// Read reads a log in the recipe's folder: plain text, one line an event, the oldest
// first.
//
//	2026-03-14 10:20 test readings-1.csv
//	2026-03-14 11:05 spell 60 mm lap; at 118 mm; 120 turns; load 8 N
//	2026-03-14 11:30 note the lap dragged towards the end
//
// A test names the sheet of its readings. A spell has the name of the lap, and in any
// order the stroke in its own words, the rate of the table ("table 6 rpm"), the radius,
// the turns as worked, and the load where it was not that of the lap. Empty lines and
// lines that start with # count for nothing. The program never writes the log from a
// recipe: `lapwright log` adds a line when it is told to, and a line may be added by
// hand as well.
//
// A last line without an end counts as broken off and is left out: see Log.Broken.
// Read stops the recipe where there is no such file, where a line is none of a log,
// and where a spell's lap or stroke is not on the bench.
func Read(file string, b Bench) *Log {
	const call = "session.Read"
	if slices.Contains(b.Laps, nil) || slices.Contains(b.Strokes, nil) {
		host.Stopf(call, "a lap or a stroke on the bench is nil")
	}
	data := sheet.Load(call, file)
	parsed, err := logbook.Parse(data)
	l := &Log{file: file, lines: strings.Split(string(data), "\n"), spells: map[int]Spell{}, broken: parsed.Broken}
	var fault *logbook.Fault
	if errors.As(err, &fault) {
		l.stop(call, fault.Line, "%v", fault.Err)
	}
	for i, e := range parsed.Events {
		l.events = append(l.events, Event{e.When, e.Kind, e.Text, e.Line})
		if e.Kind == "spell" {
			l.spells[i] = l.spell(call, e, b)
		}
	}
	return l
}

// stop stops the recipe because of a line of the log.
func (l *Log) stop(call string, line int, format string, args ...any) {
	at := token.Position{Filename: l.file, Line: line, Column: 1}
	text := strings.TrimRight(l.lines[line-1], "\r")
	panic(&host.Stop{
		Call:    call,
		Message: fmt.Sprintf("%s:%d: ", l.file, line) + fmt.Sprintf(format, args...),
		Notes:   []document.Note{{Message: "this line", Position: at, Excerpt: text, Width: max(1, len(text))}},
	})
}

// spell finds what the words of a spell stand for.
func (l *Log) spell(call string, e logbook.Event, b Bench) Spell {
	s := Spell{At: e.At, Turns: e.Turns, Load: e.Load}
	var names []string
	for _, p := range b.Laps {
		names = append(names, p.Name())
		if p.Name() == e.Lap {
			s.Lap = p
		}
	}
	if s.Lap == nil {
		l.stop(call, e.Line, "there is no %q on the bench%s", e.Lap, among(e.Lap, names))
	}
	names = nil
	for _, p := range b.Strokes {
		names = append(names, strokeText(p))
		if s.Stroke == nil && (e.Stroke == "" || e.Stroke == p.String()) && (e.Table == 0 || e.Table.String() == p.Table().String()) {
			s.Stroke = p
		}
	}
	if s.Stroke == nil {
		which := e.Stroke
		if e.Table != 0 {
			which = strings.TrimPrefix(which+"; table "+e.Table.String(), "; ")
		}
		l.stop(call, e.Line, "there is no stroke %q on the bench%s", which, among(which, names))
	}
	return s
}

// among says which of the names is meant, or what there is.
func among(name string, names []string) string {
	switch near := host.Nearest(name, names); {
	case near != "":
		return fmt.Sprintf("; did you mean %q?", near)
	case len(names) == 0:
		return ", which is empty"
	}
	return fmt.Sprintf(" (there: %s)", strings.Join(names, " | "))
}

// strokeText is how a log names a stroke.
func strokeText(s *stroke.Stroke) string { return s.String() + "; table " + s.Table().String() }

// Line returns what a log says of a spell, to be written down when it has been
// worked, its radius to a hundredth of a millimetre. It stops the recipe where the lap's name has a semicolon in it.
func (s Spell) Line() string {
	if strings.Contains(s.Lap.Name(), ";") {
		host.Stopf("session.Spell.Line", "the lap's name %q has a semicolon in it, by which a log tells its parts", s.Lap.Name())
	}
	at := math.Round(s.At.In(unit.MM)*100) / 100
	text := fmt.Sprintf("%s; %s; at %v mm; %d turns", s.Lap.Name(), strokeText(s.Stroke), at, s.Turns)
	if s.Load != 0 && s.Load != s.Lap.Load() {
		text += fmt.Sprintf("; load %v", s.Load)
	}
	return text
}

// Events returns all events, the oldest first. The slice is a copy.
func (l *Log) Events() []Event { return slices.Clone(l.events) }

// Broken returns the last line of the file where it has no end and so is left out,
// "" where it has one. An editor may have left the end out: then write it. If not, the
// line was broken off in the writing.
func (l *Log) Broken() string { return l.broken }

// Story reads the sheets of all tests through one mask and reduces them, and puts
// them together with the spells worked between. It stops the recipe as zone.Read and
// zone.Reduce do, where the log has no test, and where spells were worked before the
// first.
func (l *Log) Story(k *zone.Mask, s zone.Sheet) *Story {
	const call = "session.Log.Story"
	st := &Story{log: l}
	for i, e := range l.events {
		switch e.Kind {
		case "test":
			r := zone.Read(k, e.Text, s)
			st.Tests = append(st.Tests, Test{When: e.When, File: e.Text, Readings: r, Figure: zone.Reduce(r)})
		case "spell":
			if len(st.Tests) == 0 {
				l.stop(call, e.line, "a spell was worked before the first test, so that nothing tells what it did")
			}
			sp := l.spells[i]
			sp.check(call, fmt.Sprintf("%s:%d", l.file, e.line), k.Mirror())
			t := &st.Tests[len(st.Tests)-1]
			t.Then = append(t.Then, sp)
		}
	}
	if len(st.Tests) == 0 {
		host.Stopf(call, "there is no test in %s; add one: lapwright log RECIPE test FILE", l.file)
	}
	return st
}

// A Story is what became of a mirror, test by test.
type Story struct {
	Tests []Test
	log   *Log
}

// A Test is one test of a story.
type Test struct {
	When     string
	File     string
	Readings *zone.Readings
	Figure   *figure.Figure
	Then     []Spell // worked after it, before the next
}

// Works returns the work between each two tests, for Learn.
func (s *Story) Works() []Work {
	var works []Work
	for i := 1; i < len(s.Tests); i++ {
		if before := s.Tests[i-1]; len(before.Then) > 0 {
			works = append(works, Work{Before: before.Figure, Spells: before.Then, After: s.Tests[i].Readings})
		}
	}
	return works
}

// Latest returns the figure of the last test. It stops the recipe where the story has
// no test.
func (s *Story) Latest() *figure.Figure { return s.last("Story.Latest").Figure }

// Since returns the spells worked since the last test: where there are any, the
// figure is no longer that of the test. It stops the recipe where the story has no test.
func (s *Story) Since() []Spell { return slices.Clone(s.last("Story.Since").Then) }

func (s *Story) last(call string) Test {
	if len(s.Tests) == 0 {
		host.Stopf(call, "the story has no test")
	}
	return s.Tests[len(s.Tests)-1]
}

// Log returns the log the story is told by, nil where the recipe put its tests together.
func (s *Story) Log() *Log { return s.log }

// Time returns how long the spells after the test took, by their turns.
func (t Test) Time() unit.Time {
	var sum unit.Time
	for _, s := range t.Then {
		sum += s.Time()
	}
	return sum
}

// Lines returns what a log says of the spells of a plan, worked to the turn.
func Lines(p *plan.Plan) []string {
	var lines []string
	for _, s := range As(p) {
		lines = append(lines, s.Line())
	}
	return lines
}
