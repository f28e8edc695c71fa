// Package series runs a recipe many times with other inputs and sets what came of
// it side by side. The members of a series are numbered by their inputs alone, so
// that any part of them can be run anywhere, and the parts put together.
package series

import (
	"context"
	"encoding/json"
	"fmt"
	"iter"
	"math"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"lapwright/runtime/child"
	"lapwright/runtime/record"
	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// Most is how many members a series may have.
const Most = 1000

// An Axis is an input and the values it takes in turn, as they are written.
type Axis struct {
	Input  string
	Values []string
}

// ParseAxis reads "ring = 100mm, 110mm, 120mm" or "ring = 100mm to 140mm in 5":
// five values at even steps, both ends among them.
func ParseAxis(s string) (Axis, error) {
	name, text, found := strings.Cut(s, "=")
	a := Axis{Input: strings.TrimSpace(name)}
	if !found || a.Input == "" {
		return a, fmt.Errorf("%q is no input with values, like ring=100mm,120mm or ring=100mm to 140mm in 5", s)
	}
	low, rest, between := strings.Cut(text, " to ")
	if between {
		return a, a.between(s, low, rest)
	}
	for _, v := range strings.Split(text, ",") {
		if v = strings.TrimSpace(v); v == "" {
			return a, fmt.Errorf("%q has a value that is empty", s)
		}
		a.Values = append(a.Values, v)
	}
	return a, nil
}

func (a *Axis) between(s, low, rest string) error {
	high, count, found := strings.Cut(rest, " in ")
	n, err := strconv.Atoi(strings.TrimSpace(count))
	from, unit, ok := quantity(low)
	to, other, ok2 := quantity(high)
	if !found || err != nil || n < 2 || n > Most || !ok || !ok2 || unit != other {
		return fmt.Errorf("%q is no range; write it as ring=100mm to 140mm in 5, both ends in one unit, from 2 to %d values", s, Most)
	}
	for i := range n {
		v := from + (to-from)*float64(i)/float64(n-1)
		a.Values = append(a.Values, strconv.FormatFloat(v, 'g', 12, 64)+unit)
	}
	return nil
}

// quantity splits a number from its unit.
func quantity(s string) (number float64, unit string, ok bool) {
	s = strings.TrimSpace(s)
	at := strings.IndexFunc(s, func(c rune) bool { return !strings.ContainsRune("+-.0123456789", c) })
	if at < 0 {
		at = len(s)
	}
	v, err := strconv.ParseFloat(s[:at], 64)
	unit = strings.TrimLeftFunc(s[at:], unicode.IsSpace)
	return v, unit, err == nil && !math.IsInf(v, 0)
}

// A Series is a recipe and the inputs of each member.
type Series struct {
	Recipe string // name of the recipe's file
	Sum    string // SHA-256 of the recipe
	Varied []string
	Inputs []map[string]string // of each member
}

// New makes the series of every combination of the values of the axes, the last
// axis changing first. fixed are inputs that are the same for all.
func New(recipe string, source []byte, fixed map[string]string, axes ...Axis) (*Series, error) {
	s := &Series{Recipe: recipe, Sum: record.SHA256(source), Inputs: []map[string]string{fixed}}
	for _, a := range axes {
		if _, twice := s.Inputs[0][a.Input]; twice {
			return nil, fmt.Errorf("%s is given twice", a.Input)
		}
		s.Varied = append(s.Varied, a.Input)
		var all []map[string]string
		for _, before := range s.Inputs {
			for _, v := range a.Values {
				inputs := map[string]string{a.Input: v}
				for name, value := range before {
					inputs[name] = value
				}
				all = append(all, inputs)
			}
		}
		if s.Inputs = all; len(all) > Most {
			return nil, fmt.Errorf("there are %d members; the most is %d", len(all), Most)
		}
	}
	return s, nil
}

// ID tells one series from another.
func (s *Series) ID() string {
	data, err := json.Marshal(s)
	if err != nil {
		panic(err)
	}
	return record.SHA256(data)
}

// Name is the name of the files of member i, without an ending.
func Name(i int) string { return fmt.Sprintf("%04d", i+1) }

// A Member is one run of a series, as it is kept until the parts are joined.
type Member struct {
	Series   string // ID
	Whole    *Series
	Number   int // from 0
	Document *document.Document
}

// Run runs the members that are wanted, as many at once as there are processors,
// and hands each to keep, one at a time. An error of a run or of keep ends it.
func (s *Series) Run(ctx context.Context, job child.Job, want func(i int) bool, keep func(*Member, *child.Result) error) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	numbers := make(chan int)
	var mu sync.Mutex
	var group sync.WaitGroup
	for range runtime.NumCPU() {
		group.Go(func() {
			for i := range numbers {
				mine := job
				mine.Inputs = s.Inputs[i]
				result, err := child.Run(ctx, mine)
				if err == nil && record.SHA256(result.Source) != s.Sum {
					err = fmt.Errorf("%s was changed while the series ran", s.Recipe)
				}
				if err == nil {
					mu.Lock()
					err = keep(&Member{s.ID(), s, i, result.Document}, result)
					mu.Unlock()
				}
				if err != nil {
					stop(err)
				}
			}
		})
	}
	for i := range s.Inputs {
		if want(i) && ctx.Err() == nil {
			numbers <- i
		}
	}
	close(numbers)
	group.Wait()
	return context.Cause(ctx)
}

// Join makes the page on which the members stand side by side. A member that is
// missing or that stopped is shown as that.
func Join(members []*Member) ([]byte, error) {
	s := members[0].Whole
	all := make([]*Member, len(s.Inputs))
	for _, m := range members {
		if m.Series != members[0].Series || m.Whole.ID() != m.Series {
			return nil, fmt.Errorf("member %d is of another series", m.Number+1)
		}
		if m.Number < 0 || m.Number >= len(all) || m.Document == nil {
			return nil, fmt.Errorf("there is no member %d in a series of %d", m.Number+1, len(all))
		}
		all[m.Number] = m
	}
	l := render.List{Title: "Series: " + members[0].Document.Title, From: s.Recipe,
		About: fmt.Sprintf("%d runs of one recipe, with other values of %s.", len(all), strings.Join(s.Varied, " and "))}
	table := document.Table{Title: "All runs", Columns: []document.Column{{Name: "run"}}}
	for _, name := range s.Varied {
		table.Columns = append(table.Columns, document.Column{Name: name, Text: true})
	}
	table.Columns = append(table.Columns, document.Column{Name: "ended", Text: true})
	first := len(table.Columns)
	column := make(map[string]int)
	facts := make([][]document.Fact, len(all))
	for i, m := range all {
		if m == nil {
			continue
		}
		facts[i] = results(m.Document)
		for _, f := range facts[i] {
			if _, ok := column[f.Name]; !ok {
				column[f.Name] = len(table.Columns)
				table.Columns = append(table.Columns, document.Column{Name: f.Name, Text: true})
			}
		}
	}
	for i, m := range all {
		row := make([]document.Cell, len(table.Columns))
		row[0].Text = strconv.Itoa(i + 1)
		var with []string
		for j, name := range s.Varied {
			row[j+1].Text = s.Inputs[i][name]
			with = append(with, name+" "+s.Inputs[i][name])
		}
		row[first-1].Text, row[first-1].Warn = ended(m)
		item := render.Item{Title: row[0].Text + ": " + strings.Join(with, ", ")}
		if m == nil {
			item.About = "It has not been run."
		} else {
			for _, f := range facts[i] {
				row[column[f.Name]].Text = f.Text
			}
			item.Facts = card(m.Document)
			item.Link, item.Plot = Name(i)+".html", picture(m.Document)
			if len(m.Document.Faults) > 0 {
				item.About = "It stopped: " + m.Document.Faults[0].Message
			}
		}
		table.Rows = append(table.Rows, row)
		l.Items = append(l.Items, item)
	}
	if len(column) == 0 {
		table.Notes = append(table.Notes, "The recipe names no results; show.Result and show.Expect do.")
	}
	l.Table = &table
	return render.ListPage(l)
}

// ended says in a word or two how a member ended, and whether that needs an eye.
func ended(m *Member) (string, bool) {
	switch {
	case m == nil:
		return "not run", true
	case len(m.Document.Faults) > 0:
		return "stopped", true
	case len(m.Document.Unmet()) > 0:
		return "not as expected", true
	}
	return "well", false
}

// results returns the named results of a run.
func results(d *document.Document) (named []document.Fact) {
	for b := range blocks(d) {
		switch b := b.(type) {
		case document.Result:
			named = append(named, document.Fact{Name: b.Name, Text: strings.TrimPrefix(b.Text, b.Name+": ")})
		case document.Expect:
			named = append(named, document.Fact{Name: b.Name, Text: value(b.Name, b.Text)})
		}
	}
	return named
}

// card returns the facts of the run cards of a run.
func card(d *document.Document) (facts []document.Fact) {
	for b := range blocks(d) {
		if c, ok := b.(document.Card); ok {
			facts = append(facts, c.Facts...)
		}
	}
	return facts
}

// blocks goes through all that a run showed.
func blocks(d *document.Document) iter.Seq[document.Block] {
	return func(yield func(document.Block) bool) {
		for _, s := range d.Sections {
			for _, b := range s.Blocks {
				if !yield(b) {
					return
				}
			}
		}
	}
}

// value takes the value out of "rms is 14 nm, as expected: …".
func value(name, text string) string {
	text = strings.TrimSuffix(strings.TrimPrefix(text, name+" is "), ".")
	text, _, _ = strings.Cut(text, ", ")
	return text
}

// picture returns the plot that tells most of a run: the last that draws what is
// left after the work, or where none does, the last.
func picture(d *document.Document) (last *document.Plot) {
	after := false
	for b := range blocks(d) {
		if p, ok := b.(document.Plot); ok {
			draws := slices.ContainsFunc(p.Curves, func(c document.Curve) bool { return c.Role == document.After })
			if draws || !after {
				last, after = &p, after || draws
			}
		}
	}
	return last
}
