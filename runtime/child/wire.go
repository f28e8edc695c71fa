package child

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"regexp"
	"unicode/utf8"

	"lapwright/stdlib/document"
)

// An order is what the parent gives the child on its standard input.
type order struct {
	Name   string            `json:"name"`
	Source []byte            `json:"source"`
	Folder string            `json:"folder"`
	Inputs map[string]string `json:"inputs"`
	Limits Limits            `json:"limits"`
}

// An event is one thing the child tells the parent: a line of JSON with one
// member. They come in this order: walls, outline, then any of input, file,
// enter and block, then end. In place of the outline or what follows it, unknown may come
// as the last.
type event struct {
	Walls   *Walls          `json:"walls,omitempty"`
	Outline *outline        `json:"outline,omitempty"`
	Input   *document.Input `json:"input,omitempty"`
	File    *File           `json:"file,omitempty"`  // that the recipe opened
	Enter   *int            `json:"enter,omitempty"` // the part that main enters
	Block   document.Blocks `json:"block,omitempty"` // one
	Unknown *UnknownInput   `json:"unknown,omitempty"`
	End     *ending         `json:"end,omitempty"`
}

// An outline is what is known of a recipe before it runs.
type outline struct {
	Title   string `json:"title"`
	Summary string `json:"summary"`
	Parts   []part `json:"parts"`
}

type part struct {
	Title      string `json:"title"`
	Prose      string `json:"prose"`
	Code       string `json:"code"`
	Line       int    `json:"line"`
	Main       bool   `json:"main"`
	Statements int    `json:"statements"`
}

// An ending says how a run ended.
type ending struct {
	Faults []document.Fault `json:"faults,omitempty"`
	More   int              `json:"more,omitempty"`
}

// mostFaults is how many faults of a recipe are told; the rest are counted.
const mostFaults = 10

// decode reads the line of one event. Whatever is not of the form is an error.
func decode(line []byte) (event, error) {
	var e event
	if !utf8.Valid(line) {
		return e, errors.New("not UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	if err := d.Decode(&e); err != nil {
		return e, err
	}
	if _, err := d.Token(); err != io.EOF {
		return e, errors.New("more than one value in a line")
	}
	members := 0
	for _, there := range []bool{e.Walls != nil, e.Outline != nil, e.Input != nil, e.File != nil, e.Enter != nil, e.Block != nil, e.Unknown != nil, e.End != nil} {
		if there {
			members++
		}
	}
	switch {
	case members != 1:
		return e, fmt.Errorf("%d members, not 1", members)
	case e.Block != nil && len(e.Block) != 1:
		return e, fmt.Errorf("%d blocks, not 1", len(e.Block))
	case e.Block != nil:
		return e, document.Check(e.Block[0])
	case e.File != nil && (!fs.ValidPath(e.File.Name) || e.File.Size < 0 || !sum.MatchString(e.File.Sum)):
		return e, errors.New("a file without a name, a size or a sum")
	case e.End != nil:
		return e, checkEnding(e.End)
	}
	return e, nil
}

// sum is the form of a SHA-256 sum.
var sum = regexp.MustCompile("^[0-9a-f]{64}$")

func checkEnding(e *ending) error {
	if len(e.Faults) > mostFaults || e.More < 0 || e.More > 0 && len(e.Faults) == 0 {
		return fmt.Errorf("%d faults and %d more", len(e.Faults), e.More)
	}
	for _, f := range e.Faults {
		switch f.Kind {
		case document.Wrong, document.StoppedBy, document.Panicked, document.Expectation, document.Limit, document.EngineFault:
		default:
			return fmt.Errorf("no kind of fault is named %q", f.Kind)
		}
	}
	return nil
}
