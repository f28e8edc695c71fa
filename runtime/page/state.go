package page

import (
	"time"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// A state is what is known of a recipe: what its newest run has given so far, and
// what older runs gave.
type state struct {
	run     int                // number of the newest run, from 1; 0 before the first
	phase   phase              // of that run
	section int                // that main is in, or was when the run ended
	newest  *document.Document // of that run; nil while there is nothing of it
	older   *document.Document // what runs before it gave; nil for nothing
	inputs  []document.Input   // declared, as far as is known
	given   map[string]string  // values given for inputs
	dropped []string           // inputs whose values the recipe has no more use for
	trouble string             // why there was nothing to run

	began  time.Time     // when the run began
	took   time.Duration // by the run, once it has ended
	before time.Duration // by the last run that went to its end
	marks  []mark        // when main entered which section
	walls  string        // what kept the run from the machine
}

// A phase is how far a run is.
type phase string

const (
	waiting phase = "waiting" // nothing has run yet
	running phase = "running"
	done    phase = "done"
	failed  phase = "failed"  // with faults, or there was nothing to run
	stopped phase = "stopped" // by the reader
)

// A mark says when main entered a section, from the start of the run.
type mark struct {
	section int
	at      time.Duration
}

// document returns what there is to show.
func (s *state) document(name string) render.Live {
	l := render.Live{Document: s.newest, Older: s.older, Running: s.phase == running, Section: s.section}
	if l.Document == nil {
		l.Document = &document.Document{Title: name, Recipe: name}
		if s.older != nil {
			l.Document.Title, l.Document.Summary = s.older.Title, s.older.Summary
		}
		l.Section = -1
	}
	return l
}

// settled takes the end of a run: what it gave is what a next run will find older.
func (s *state) settled(p phase, d *document.Document, took time.Duration) {
	s.phase, s.took = p, took
	if d == nil {
		return
	}
	s.newest = d
	if p == done {
		s.before = took
		s.inputs = d.Inputs
	} else {
		s.inputs = together(s.inputs, d.Inputs)
	}
}

// begun takes the beginning of a run.
func (s *state) begun(now time.Time) {
	if s.newest != nil {
		s.older = render.Merge(s.newest, s.older)
	}
	s.run++
	s.phase, s.newest, s.section, s.trouble, s.marks = running, nil, 0, "", nil
	s.began = now
}

// together returns the inputs of an older run, with what a newer one that did not
// come to its end says of them, and those it has beyond.
func together(older, newer []document.Input) []document.Input {
	all := append([]document.Input(nil), older...)
next:
	for _, in := range newer {
		for i := range all {
			if all[i].Name == in.Name {
				all[i] = in
				continue next
			}
		}
		all = append(all, in)
	}
	return all
}

// count returns which of the recipe's sections main is in, and how many there are.
func count(d *document.Document, section int) (at, of int) {
	for i, s := range d.Sections {
		if s.State == document.Declared {
			continue
		}
		of++
		if i <= section {
			at = of
		}
	}
	return at, of
}
