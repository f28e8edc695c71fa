// Package child runs a recipe in a process of its own, behind walls, and puts the
// document together from what that process sends.
//
// The parent (parent.go) reads the recipe's bytes and starts the same program
// again with a hidden command. It parses nothing of the recipe. The child
// (inside.go) first raises the walls (walls_*.go), then reads, checks, lowers and
// interprets the recipe, and sends events in lines of JSON on its standard
// output (wire.go). The parent takes no event on trust: what is too large, out of
// order or not of the form ends the run. It kills the child when its time or its
// memory is used up, whatever the child does.
//
// # Limits
//
// Time is that of the clock on the wall, from the start of the child. Memory is
// what the child may hold beyond the program itself. Output is the size of all
// that the recipe shows and prints, in the form in which it is sent. Steps are
// turns of loops and calls of the recipe's own functions. Depth is how many such
// calls may be under way at once.
package child

import (
	"fmt"
	"runtime"
	"strings"
	"time"

	"lapwright/stdlib/document"
)

// Limits are what a run may use.
type Limits struct {
	Time   time.Duration
	Memory int64 // bytes
	Output int64 // bytes
	Steps  int64
	Depth  int
}

// Default are the limits where nothing else is said.
var Default = Limits{
	Time:   30 * time.Second,
	Memory: 1 << 30,
	Output: 16 << 20,
	Steps:  5_000_000_000,
	Depth:  200_000,
}

// A Job is a recipe to run.
type Job struct {
	File     string            // path of the recipe
	Inputs   map[string]string // values for its inputs, by name, as written
	Limits   Limits
	Progress func(Progress) // is told how far the run is; nil where nobody asks
}

// Progress is how far a run has come: main has just entered a section. Who is
// told must be quick, as the run's events wait meanwhile.
type Progress struct {
	Section  int                // that main has entered, an index of the document's sections
	Document *document.Document // what there is so far; the section entered and those after it are not reached
}

// A Result is what came of a run.
type Result struct {
	Document *document.Document
	Source   []byte // of the recipe, as it was run
	Files    []File // that the recipe opened, each once, in that order
	Walls    Walls
	Took     time.Duration
}

// A File is a file of the recipe's folder as the recipe had it.
type File struct {
	Name string `json:"name"` // within the folder, with slashes
	Size int64  `json:"size"` // bytes
	Sum  string `json:"sum"`  // SHA-256, in hexadecimal
}

// An UnknownInput is the error of a value given for an input that the recipe does
// not declare.
type UnknownInput struct {
	Name    string   `json:"name"`
	Nearest string   `json:"nearest,omitempty"` // "" where none is like it
	Known   []string `json:"known,omitempty"`
}

// Error says which name it is and which there are.
func (u *UnknownInput) Error() string {
	s := fmt.Sprintf("the recipe has no input named %q", document.Line(u.Name))
	switch {
	case u.Nearest != "":
		s += fmt.Sprintf("; did you mean %q?", document.Line(u.Nearest))
	case len(u.Known) == 0:
		s += "; it has no inputs"
	}
	if len(u.Known) > 0 {
		s += " (its inputs: " + document.Line(strings.Join(u.Known, ", ")) + ")"
	}
	return s
}

// Walls says what keeps a child from the machine. Each was tried before the
// recipe began.
type Walls struct {
	Files   bool `json:"files"`   // the kernel keeps it to the recipe's folder, to read
	Network bool `json:"network"` // the kernel lets it have no socket
	Process bool `json:"process"` // the kernel lets it start no program
	Memory  bool `json:"memory"`  // the kernel keeps it to its memory; without, the parent watches
	CPU     bool `json:"cpu"`     // the kernel ends it when its time on the processors is used up
}

// String says in one line how strong the walls are.
func (w Walls) String() string {
	var strong, weak []string
	for _, wall := range []struct {
		stands bool
		name   string
	}{
		{w.Files, "files"}, {w.Network, "network"}, {w.Process, "programs"}, {w.Memory, "memory"}, {w.CPU, "time"},
	} {
		if wall.stands {
			strong = append(strong, wall.name)
		} else {
			weak = append(weak, wall.name)
		}
	}
	switch {
	case len(weak) == 0:
		return "walls by the kernel: " + strings.Join(strong, ", ")
	case len(strong) == 0:
		return "walls by lapwright alone, none by the kernel (" + runtime.GOOS + ")"
	}
	return "walls by the kernel: " + strings.Join(strong, ", ") + "; by lapwright alone: " + strings.Join(weak, ", ")
}
