package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"lapwright/stdlib/document"
)

// entries returns all that a recipe showed.
func entries(d *document.Document) ([]Entry, error) {
	var w writer
	for _, s := range d.Sections {
		w.section = s.Title
		for _, b := range s.Blocks {
			if err := w.block(b); err != nil {
				return nil, err
			}
		}
	}
	return w.entries, nil
}

// A writer collects entries.
type writer struct {
	section, title string
	entries        []Entry
}

// words adds a text, with the number behind it where there is one.
func (w *writer) words(name, text string, numbers ...float64) {
	if text != "" {
		w.entries = append(w.entries, Entry{Section: w.section, Block: w.title, Name: name, Text: text, Numbers: numbers})
	}
}

// drawn adds numbers that are not printed.
func (w *writer) drawn(name string, numbers ...float64) {
	w.entries = append(w.entries, Entry{Section: w.section, Block: w.title, Name: name, Numbers: numbers})
}

// list adds words of which there are several.
func (w *writer) list(name string, texts []string) {
	for i, t := range texts {
		w.words(nth(name, i), t)
	}
}

// nth names the entry i, from 0, of several that belong together.
func nth(name string, i int) string { return name + " #" + strconv.Itoa(i+1) }

// of returns the name that nth was given.
func of(name string) string {
	if i := strings.LastIndex(name, " #"); i >= 0 {
		return name[:i]
	}
	return name
}

// block adds a block. A kind that has no form of its own here is added as its
// JSON has it.
func (w *writer) block(b document.Block) error {
	kind := document.Kind(b)
	w.title = kind
	switch b := b.(type) {
	case document.Text:
		w.list("line", strings.Split(b.Text, "\n"))
	case document.Printed:
		w.list("line", strings.Split(b.Text, "\n"))
	case document.Result:
		w.words(b.Name, b.Text, b.Value)
	case document.Expect:
		w.words(b.Name, b.Text, b.Got, b.Want, b.Tolerance)
	case document.Table:
		w.title += ": " + b.Title
		w.table(b)
	case document.Plot:
		w.title += ": " + b.Title
		w.plot(b)
	case document.Image:
		w.title += ": " + b.Title
		for _, p := range b.Panels {
			w.panel(p)
		}
		w.list("note", b.Notes)
	case document.Card:
		w.title += ": " + b.Title
		for _, f := range b.Facts {
			w.words(f.Name, f.Text)
		}
		w.table(b.Spells)
		w.list("step", b.Steps)
		w.list("warning", b.Warnings)
		w.list("caution", b.Cautions)
	default:
		return w.any(b)
	}
	return nil
}

func (w *writer) table(t document.Table) {
	for i, row := range t.Rows {
		head, from := strconv.Itoa(i+1), 0
		if len(row) > 1 && t.Columns[0].Text && row[0].Text != "" {
			head, from = row[0].Text, 1
		}
		for j, c := range row {
			if j < from {
				continue
			}
			name := head + ", " + document.Axis{Label: t.Columns[j].Name, Unit: t.Columns[j].Unit}.Caption()
			if c.Number != nil {
				w.words(name, c.Text, *c.Number)
			} else {
				w.words(name, c.Text)
			}
		}
	}
	w.list("note", t.Notes)
}

func (w *writer) plot(p document.Plot) {
	w.words("alt", p.Alt)
	w.words("x", p.X.Caption(), p.X.Low, p.X.High)
	w.words("y", p.Y.Caption(), p.Y.Low, p.Y.High)
	for _, c := range p.Curves {
		w.words(c.Name, strings.TrimSuffix(string(c.Role)+", "+c.Band, ", "))
		for i := range c.X {
			point := []float64{c.X[i], c.Y[i]}
			if len(c.Low) > 0 {
				point = append(point, c.Low[i], c.High[i])
			}
			w.drawn(nth(c.Name, i), point...)
		}
	}
	for _, m := range p.Marks {
		w.drawn("mark "+m.Name, m.At)
	}
	for _, s := range slices.Concat(p.Below, p.Above) {
		w.drawn("span "+s.Name, s.From, s.To)
	}
	w.list("note", p.Notes)
}

// panel adds a picture: the sum of its greys, and what an eye makes out of them,
// the means of eight times eight squares.
func (w *writer) panel(p document.Panel) {
	w.words(p.Name, p.Alt)
	w.entries = append(w.entries, Entry{Section: w.section, Block: w.title, Name: p.Name + ", greys", Sum: SHA256(p.Grey)})
	const squares = 8
	for i := range squares {
		var means []float64
		for j := range squares {
			sum, n := 0, 0
			for y := i * p.Height / squares; y < (i+1)*p.Height/squares; y++ {
				for x := j * p.Width / squares; x < (j+1)*p.Width/squares; x++ {
					sum, n = sum+int(p.Grey[y*p.Width+x]), n+1
				}
			}
			means = append(means, float64(sum)/float64(max(n, 1)))
		}
		w.drawn(nth(p.Name+", means", i), means...)
	}
}

// any adds a block by its JSON.
func (w *writer) any(b document.Block) error {
	data, err := json.Marshal(b)
	if err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var tree map[string]any
	if err := d.Decode(&tree); err != nil {
		return err
	}
	if title, ok := tree["title"].(string); ok {
		w.title += ": " + title
	}
	return w.tree("", tree)
}

func (w *writer) tree(name string, v any) error {
	switch v := v.(type) {
	case string:
		w.words(name, v)
	case bool:
		w.words(name, strconv.FormatBool(v))
	case json.Number:
		f, err := v.Float64()
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		w.drawn(name, f)
	case []any:
		for i, e := range v {
			if err := w.tree(nth(name, i), e); err != nil {
				return err
			}
		}
	case map[string]any:
		for _, member := range slices.Sorted(maps.Keys(v)) {
			if err := w.tree(strings.TrimPrefix(name+", "+member, ", "), v[member]); err != nil {
				return err
			}
		}
	}
	return nil
}
