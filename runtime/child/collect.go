package child

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"

	"lapwright/stdlib/document"
)

// A collector puts a document together from the events of a child. It believes
// none that is out of order or out of bounds.
type collector struct {
	name     string
	progress func(Progress) // or nil
	walls    Walls
	outline  *outline
	inputs   []document.Input
	files    []File
	blocks   []document.Blocks // of each part
	entered  []bool
	at       int    // part that main is in
	printed  []byte // in that part, after its last block
	unknown  *UnknownInput
	end      *ending
}

func newCollector(name string) *collector { return &collector{name: name} }

// Bounds of what a child may tell, beyond those of the run.
const (
	mostInputs = 1000
	mostFiles  = 1000
	mostEvents = 200_000
)

// collect takes events until the child has no more to tell. An error says what
// was wrong with one; nothing is taken after it.
func (c *collector) collect(events io.Reader, l Limits) error {
	// All else a child tells is about the recipe's own text: its parts once, its
	// lines in faults.
	const besides = 16 << 20
	whole := &io.LimitedReader{R: events, N: 2*l.Output + besides}
	lines := bufio.NewScanner(whole)
	lines.Buffer(make([]byte, 0, 64<<10), int(l.Output)+besides)
	walled := false
	for told := 0; lines.Scan(); told++ {
		if told == mostEvents {
			return fmt.Errorf("more than %d events", mostEvents)
		}
		e, err := decode(lines.Bytes())
		if err != nil {
			return err
		}
		switch {
		case c.end != nil || c.unknown != nil:
			return errors.New("an event after the last")
		case e.Walls != nil:
			if walled {
				return errors.New("walls told twice")
			}
			walled, c.walls = true, *e.Walls
		case !walled:
			return errors.New("no walls told before all else")
		case e.Outline != nil:
			if c.outline != nil {
				return errors.New("two outlines")
			}
			c.outline = e.Outline
			c.blocks = make([]document.Blocks, len(e.Outline.Parts))
			c.entered = make([]bool, len(e.Outline.Parts))
		case c.outline == nil:
			return errors.New("no outline told before the run")
		case e.Unknown != nil:
			c.unknown = e.Unknown
		case e.End != nil:
			c.end = e.End
		case e.Input != nil:
			if len(c.inputs) == mostInputs {
				return fmt.Errorf("more than %d inputs", mostInputs)
			}
			c.inputs = append(c.inputs, *e.Input)
		case e.File != nil:
			if len(c.files) == mostFiles {
				return fmt.Errorf("more than %d files", mostFiles)
			}
			c.files = append(c.files, *e.File)
		case e.Enter != nil:
			i := *e.Enter
			if i < 0 || i >= len(c.outline.Parts) || !c.outline.Parts[i].Main {
				return fmt.Errorf("no section has the number %d", i)
			}
			c.settle()
			first := !c.entered[i]
			c.at, c.entered[i] = i, true
			if first && c.progress != nil {
				c.progress(Progress{Section: i, Document: c.sofar()})
			}
		default:
			c.add(e.Block[0])
		}
	}
	if err := lines.Err(); err != nil {
		return err
	}
	if whole.N <= 0 {
		return errors.New("more than a run may tell")
	}
	return nil
}

// add puts a block in the section that main is in.
func (c *collector) add(b document.Block) {
	if p, ok := b.(document.Printed); ok {
		c.printed = append(c.printed, p.Text...)
		return
	}
	c.settle()
	c.put(b)
}

// settle makes one block of all that was printed in a row.
func (c *collector) settle() {
	if len(c.printed) > 0 {
		c.put(document.Printed{Text: string(c.printed)})
		c.printed = c.printed[:0]
	}
}

func (c *collector) put(b document.Block) {
	if len(c.blocks) == 0 {
		// A recipe whose main has no statements can still show something, from
		// the value of a variable.
		c.outline.Parts = append(c.outline.Parts, part{Main: true, Line: 1})
		c.blocks = append(c.blocks, nil)
		c.entered = append(c.entered, true)
	}
	c.blocks[c.at] = append(c.blocks[c.at], b)
}

// draft returns the document without its sections.
func (c *collector) draft() *document.Document {
	d := &document.Document{Format: document.Format, Recipe: c.name, Title: c.name, Inputs: slices.Clone(c.inputs)}
	if c.outline != nil {
		d.Title, d.Summary = c.outline.Title, c.outline.Summary
	}
	return d
}

// section returns a part and what it has shown.
func (c *collector) section(i int, state document.State) document.Section {
	p := c.outline.Parts[i]
	return document.Section{Title: p.Title, Prose: p.Prose, Code: p.Code, Line: p.Line, Blocks: slices.Clip(c.blocks[i]), State: state}
}

// sofar returns the document of a run that goes on.
func (c *collector) sofar() *document.Document {
	d := c.draft()
	for i, p := range c.outline.Parts {
		state := document.Done
		switch {
		case !p.Main:
			state = document.Declared
		case i >= c.at:
			state = document.NotReached
		}
		d.Sections = append(d.Sections, c.section(i, state))
	}
	return d
}

// document returns the document of a run that has ended.
func (c *collector) document() *document.Document {
	d := c.draft()
	d.Faults, d.More = c.end.Faults, c.end.More
	if c.outline == nil {
		return d
	}
	c.settle()
	ran := false // main was entered
	for _, e := range c.entered {
		ran = ran || e
	}
	failed := len(d.Faults) > 0
	for i, p := range c.outline.Parts {
		state := document.Done
		switch {
		case !p.Main:
			state = document.Declared
		case failed && ran && i == c.at:
			state = document.Stopped
		case failed && (!ran || i > c.at), !failed && c.skipped(i):
			state = document.NotReached
		}
		d.Sections = append(d.Sections, c.section(i, state))
	}
	if failed && ran {
		for i := range d.Faults {
			if d.Faults[i].Section == "" {
				d.Faults[i].Section = c.outline.Parts[c.at].Title
			}
		}
	}
	return d
}

// skipped tells whether a run that ended well did not come to part i: main
// returned before it. A part without statements is reached where the next one
// that has some is, or where none follows and the last one before was.
func (c *collector) skipped(i int) bool {
	parts := c.outline.Parts
	for j := i; j < len(parts); j++ {
		if parts[j].Main && parts[j].Statements > 0 {
			return !c.entered[j]
		}
	}
	for j := i; j >= 0; j-- {
		if parts[j].Main && parts[j].Statements > 0 {
			return !c.entered[j]
		}
	}
	return false
}
