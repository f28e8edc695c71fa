// Package document is the tree a run of a recipe yields: the recipe's prose and
// code, what it showed, and what went wrong. Every renderer draws this tree and
// the JSON form of it is what `-o FILE.json` writes.
//
// The kinds of Block are closed: Blocks lists them all, and a renderer that
// does not draw one of them fails its test. Lengths in plots and numbers behind
// table cells are plain floats in the unit their axis or column names.
//
// Recipes do not import this package; they call package show.
package document

import "go/token"

// Format names this version of the tree in its JSON form. It changes when a
// reader of the old form could misread the new one.
const Format = "lapwright document 1"

// A Document is one recipe as it ran once.
type Document struct {
	Format   string    `json:"format"`
	Recipe   string    `json:"recipe"`  // file name, without its folder
	Title    string    `json:"title"`   // plain text
	Summary  string    `json:"summary"` // Markdown
	Inputs   []Input   `json:"inputs,omitempty"`
	Sections []Section `json:"sections"`
	Faults   []Fault   `json:"faults,omitempty"`
	More     int       `json:"more,omitempty"` // faults beyond those listed
}

// Unmet returns the expectations that were not met.
func (d *Document) Unmet() []Expect {
	var all []Expect
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			if e, ok := b.(Expect); ok && !e.Met {
				all = append(all, e)
			}
		}
	}
	return all
}

// A Section is one piece of the recipe: a run of statements of main under its
// heading, or a declaration at file level, which has code but no title.
type Section struct {
	Title  string `json:"title,omitempty"`
	Prose  string `json:"prose,omitempty"` // Markdown
	Code   string `json:"code,omitempty"`  // Go, without the prose
	Line   int    `json:"line"`            // where it begins in the recipe
	State  State  `json:"state"`
	Blocks Blocks `json:"blocks,omitempty"`
}

// State says how far a section came.
type State string

// The states of a section.
const (
	Declared   State = "declared"    // code at file level: nothing to run by itself
	Done       State = "done"        // ran to its end
	Stopped    State = "stopped"     // the run ended within it
	NotReached State = "not reached" // the run ended before it
)

// An Input is a value the recipe lets its reader change.
type Input struct {
	Name    string   `json:"name"`
	Kind    string   `json:"kind"` // length, time, number, count, choice, yes or no …
	About   string   `json:"about"`
	Value   string   `json:"value"`             // as used, with its unit
	Default string   `json:"default"`           // as the recipe has it
	Low     string   `json:"low,omitempty"`     // least allowed
	High    string   `json:"high,omitempty"`    // greatest allowed
	Choices []string `json:"choices,omitempty"` // all allowed, for a choice
	Given   bool     `json:"given"`             // set from outside
}

// FaultKind is the sort of thing that went wrong; it decides the exit code.
type FaultKind string

// The kinds of fault.
const (
	Wrong       FaultKind = "wrong"       // the recipe is not a recipe: it does not parse, type-check or keep to the language
	StoppedBy   FaultKind = "stopped"     // a primitive stopped it
	Panicked    FaultKind = "panicked"    // the recipe's own code failed while running
	Expectation FaultKind = "expectation" // an expectation of the recipe was not met
	Limit       FaultKind = "limit"       // time, memory, output, steps or a wall
	EngineFault FaultKind = "engine"      // our own fault
)

// A Fault is one thing that went wrong, with all that is needed to act on it.
// The same fault is drawn by every renderer.
type Fault struct {
	Kind     FaultKind      `json:"kind"`
	Message  string         `json:"message"` // one line, no position
	Position token.Position `json:"position"`
	Excerpt  string         `json:"excerpt,omitempty"` // the line of the recipe at Position
	Width    int            `json:"width,omitempty"`   // bytes of it that are meant, at least 1
	Hint     string         `json:"hint,omitempty"`
	Section  string         `json:"section,omitempty"` // title of the section it happened in
	Trace    []Frame        `json:"trace,omitempty"`   // innermost call first
	Values   []Value        `json:"values,omitempty"`  // of the simple variables in the statement
	Notes    []Note         `json:"notes,omitempty"`   // further places, such as the cell of a data file
}

// A Frame is a call of one of the recipe's own functions that was under way.
type Frame struct {
	Function string         `json:"function"`
	Position token.Position `json:"position"` // of the statement that was running in it; none where it stands for calls left out
}

// A Value is a variable and what it held.
type Value struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// A Note is a second place that had a part in a fault.
type Note struct {
	Message  string         `json:"message"`
	Position token.Position `json:"position"`
	Excerpt  string         `json:"excerpt,omitempty"`
	Width    int            `json:"width,omitempty"`
}
