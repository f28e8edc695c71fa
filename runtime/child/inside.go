package child

import (
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"lapwright/runtime/recipe"
	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
)

// hidden is the command by which the program is started again as a child.
const hidden = "behind-walls"

// Called tells whether this process was started as a child.
func Called() bool { return len(os.Args) == 2 && os.Args[1] == hidden }

// Main is what a child does: it takes its order from standard input, raises the
// walls, runs the recipe, and tells the parent on standard output.
func Main() { serve(phases) }

// An engine runs a recipe that has been read, and returns what went wrong.
type engine func(o order, r *recipe.Recipe, folder fs.FS, t *teller) []document.Fault

// serve is Main with an engine.
func serve(e engine) {
	began := time.Now()
	data, err := io.ReadAll(os.Stdin)
	os.Stdin.Close()
	var o order
	if err == nil {
		err = json.Unmarshal(data, &o)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "lapwright: this command is for lapwright's own use; see lapwright help")
		os.Exit(64)
	}
	root, err := os.OpenRoot(o.Folder)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	debug.SetGCPercent(200)
	debug.SetMemoryLimit(o.Limits.Memory)
	debug.SetMaxStack(int(min(o.Limits.Memory/4, 256<<20)))

	t := newTeller(os.Stdout, o.Limits)
	walls := raise(o.Folder, o.Limits)
	t.tell(event{Walls: &walls})
	go t.watch(began)
	t.finish(run(o, newFolder(root, t), t, e))
}

// run takes a recipe through every phase and returns the last event.
func run(o order, folder fs.FS, t *teller, e engine) (last event) {
	r, faults := recipe.Read(o.Name, o.Source)
	defer func() {
		// A fault of one of the phases: those of a recipe are the interpreter's
		// to catch.
		if broken := recover(); broken != nil {
			last = ended(r, []document.Fault{{Kind: document.EngineFault, Message: fmt.Sprint(broken)}})
		}
	}()
	t.tell(event{Outline: outlineOf(r)})
	if len(faults) > 0 {
		return ended(r, faults)
	}
	declared, all := declaredInputs(r)
	if u := unknownInput(declared, o.Inputs); all && u != nil {
		return event{Unknown: u}
	}
	faults = e(o, r, folder, t)
	if u := unknownInput(append(declared, t.declared...), o.Inputs); len(faults) == 0 && u != nil {
		return event{Unknown: u}
	}
	if limit := t.halted(); limit != nil {
		// Where the engine was stopped is where the limit was met.
		if len(faults) > 0 {
			limit.Position, limit.Trace, limit.Values = faults[0].Position, faults[0].Trace, faults[0].Values
		}
		faults = []document.Fault{*limit}
	}
	return ended(r, faults)
}

// reportHint stands under every fault of the engine.
const reportHint = "this is a fault of lapwright, not of the recipe; please report it with the recipe that shows it"

// ended makes the last event of a run from its faults.
func ended(r *recipe.Recipe, faults []document.Fault) event {
	e := &ending{Faults: faults}
	if len(faults) > mostFaults {
		e.Faults, e.More = faults[:mostFaults], len(faults)-mostFaults
	}
	for i := range e.Faults {
		f := &e.Faults[i]
		if f.Kind == document.EngineFault {
			f.Hint = reportHint
		}
		r.Quote(f)
		f.Message, f.Hint = short(f.Message), short(f.Hint)
		for j := range f.Notes {
			f.Notes[j].Message = short(f.Notes[j].Message)
		}
	}
	return event{End: e}
}

// short cuts what is too long to be read out of the middle of a message, which may
// hold a text of the recipe's.
func short(s string) string {
	const most = 1000
	if len(s) <= most {
		return s
	}
	head, tail := s[:most*3/4], s[len(s)-most/4:]
	return strings.ToValidUTF8(head, "") + " … " + strings.ToValidUTF8(tail, "")
}

func outlineOf(r *recipe.Recipe) *outline {
	o := &outline{Title: r.Title, Summary: r.Summary}
	for _, p := range r.Parts {
		o.Parts = append(o.Parts, part{p.Title, p.Prose, p.Code, p.Line, p.Main, p.Statements})
	}
	return o
}

// declaredInputs returns the names of inputs in the text of the recipe. Not all
// where some are only known by running it.
func declaredInputs(r *recipe.Recipe) (names []string, all bool) {
	all = true
	for _, in := range r.Inputs() {
		if in.Name == "" {
			all = false
		} else if !slices.Contains(names, in.Name) {
			names = append(names, in.Name)
		}
	}
	return names, all
}

// unknownInput returns a given input that is not declared, or nil.
func unknownInput(declared []string, given map[string]string) *UnknownInput {
	for _, name := range slices.Sorted(maps.Keys(given)) {
		if !slices.Contains(declared, name) {
			return &UnknownInput{Name: name, Nearest: host.Nearest(name, declared), Known: declared}
		}
	}
	return nil
}
