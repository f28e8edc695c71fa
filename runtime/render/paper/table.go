package paper

import (
	"math"
	"strings"

	"lapwright/stdlib/document"
)

const (
	tableSize  = 8.8 // of type in tables, where there is room
	tableLeast = 6   // of type in tables, where there is not
	columnGap  = 13
)

// A grid is a table with its columns measured.
type grid struct {
	document.Table
	size   float64
	widths []float64
	gap    float64
}

// Table sets a table. It is at most as wide as the text: words are broken into
// lines, then the type is made smaller, then whatever is too wide is cut into
// lines. A short table stays on one page; a long one has its head on each.
func (f *Flow) Table(t document.Table) { f.table(f.measure(t)) }

// WideTable sets a table as wide as the text.
func (f *Flow) WideTable(t document.Table) {
	g := f.measure(t)
	if n := len(t.Columns); n > 1 {
		g.gap = (f.width - sum(g.widths)) / float64(n-1)
	}
	f.table(g)
}

func (f *Flow) table(g *grid) {
	t := g.Table
	first := len(f.rows)
	if title := document.Line(t.Title); title != "" {
		f.KeepNext(func() { f.Text(Span{Text: title, Font: Font{SansBold, 9.2, Ink}}) })
		f.Space(3)
	}
	if len(t.Columns) > 0 {
		head := f.head(g)
		f.add(head)
		repeated := []row{head}
		for i, cells := range t.Rows {
			for _, r := range f.body(g, cells, i > 0, head.height) {
				r.head = repeated
				f.add(r)
			}
		}
		f.rows[len(f.rows)-1].keep = true
	}
	notes := t.Notes
	for _, cells := range t.Rows {
		for _, c := range cells {
			if c.Warn {
				notes = append([]string{"! needs your eye"}, t.Notes...)
			}
		}
	}
	for _, note := range notes {
		f.Space(2.5)
		f.Text(Span{Text: document.Line(note), Font: Font{Serif, 8.2, Soft}})
	}
	if n := len(f.rows); n > first {
		if _, page := f.sheet.text(); height(f.rows[first:]) < page/2 {
			f.keepFrom(first)
		}
		f.rows[n-1].keep = false
	}
}

// cellSpans are the words of a cell.
func (g *grid) cellSpans(c document.Cell) []Span {
	s := Span{Text: document.Line(c.Text), Font: Font{Sans, g.size, Ink}}
	if c.Warn {
		s.Text += "\u00a0!"
		s.Face, s.Colour = SansBold, Accent
	}
	return []Span{s}
}

func (g *grid) headFont() Font { return Font{Sans, g.size * 0.92, Soft} }

// measure chooses the size of the type and the widths of the columns.
func (f *Flow) measure(t document.Table) *grid {
	for size := tableSize; ; size -= 0.4 {
		g := &grid{Table: t, size: size, gap: columnGap * f.scale * size / tableSize}
		room := f.width - g.gap*float64(max(len(t.Columns)-1, 0))
		least, natural := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
		for i, c := range t.Columns {
			head := Span{Text: document.Line(c.Name), Font: g.headFont()}
			unit := Span{Text: document.Line(c.Unit), Font: g.headFont()}
			least[i] = max(f.longest(head), f.longest(unit))
			natural[i] = max(least[i], min(f.natural(head), 70*f.scale))
			for _, cells := range t.Rows {
				if i >= len(cells) {
					continue
				}
				s := g.cellSpans(cells[i])[0]
				whole := f.natural(s)
				natural[i] = max(natural[i], whole)
				if c.Text || size <= tableLeast {
					whole = f.longest(s)
				}
				least[i] = max(least[i], whole)
			}
		}
		sumLeast, sumNatural := sum(least), sum(natural)
		switch {
		case sumNatural <= room:
			g.widths = natural
			return g
		case sumLeast <= room:
			g.widths = least
			for i := range least {
				g.widths[i] += (room - sumLeast) * (natural[i] - least[i]) / (sumNatural - sumLeast)
			}
			return g
		case size <= tableLeast:
			// Nothing helps but to cut words. Half of the room is shared evenly, so
			// that every column takes at least a letter.
			if room < f.width/2 {
				g.gap, room = 0, f.width
			}
			share := room / 2 / float64(len(least))
			g.size = min(g.size, share/f.scale)
			g.widths = least
			for i := range least {
				g.widths[i] = share + g.widths[i]*room/2/sumLeast
			}
			return g
		}
	}
}

// natural is the width of some text in one line.
func (f *Flow) natural(s Span) float64 {
	width := 0.0
	for i, w := range f.words([]Span{s}) {
		if i > 0 {
			width += w.space
		}
		width += w.width
	}
	return width + slack
}

// longest is the width of the longest word of some text.
func (f *Flow) longest(s Span) float64 {
	width := 0.0
	for _, w := range f.words([]Span{s}) {
		width = max(width, w.width)
	}
	return width + slack
}

func sum(values []float64) float64 {
	total := 0.0
	for _, v := range values {
		total += v
	}
	return total
}

// cells places lines of words in the columns, from y down, and returns how far
// down they come.
func (f *Flow) cells(g *grid, r *row, y float64, texts [][]Span, atFoot bool) float64 {
	set := make([][]line, len(texts))
	most := 0
	for i, spans := range texts {
		set[i] = f.lines(spans, g.widths[i]+slack)
		most = max(most, len(set[i]))
	}
	step := g.size * f.scale * 1.3
	x := f.left
	for i, lines := range set {
		down := y
		if atFoot {
			down += step * float64(most-len(lines))
		}
		for j, l := range lines {
			at := x
			if !g.Columns[i].Text {
				at += max(0, g.widths[i]-l.width)
			}
			r.marks = append(r.marks, f.marks(l, at, down+float64(j)*step+step*baseline)...)
		}
		x += g.widths[i] + g.gap
	}
	return y + step*float64(most)
}

// across is the width of the whole table.
func (g *grid) across() float64 {
	return sum(g.widths) + g.gap*float64(len(g.widths)-1)
}

// head is the row of the names of the columns, with their units.
func (f *Flow) head(g *grid) row {
	r := row{keep: true}
	names, units := make([][]Span, len(g.Columns)), make([][]Span, len(g.Columns))
	unit := false
	for i, c := range g.Columns {
		names[i] = []Span{{Text: document.Line(c.Name), Font: g.headFont()}}
		ink := g.headFont()
		ink.Colour = Ink
		units[i] = []Span{{Text: document.Line(c.Unit), Font: ink}}
		unit = unit || strings.TrimSpace(c.Unit) != ""
	}
	y := f.cells(g, &r, 0, names, true)
	if unit {
		y = f.cells(g, &r, y, units, true)
	}
	y += 2.5 * f.scale
	r.marks = append(r.marks, rule{f.left, y, g.across(), 0.9, Ink})
	r.height = y + 0.9
	return r
}

// body is the row of some cells; several rows, if one page does not take it.
func (f *Flow) body(g *grid, cells []document.Cell, ruled bool, headHeight float64) []row {
	var r row
	if ruled {
		r.marks = append(r.marks, rule{f.left, 0, g.across(), 0.4, Faint})
	}
	texts := make([][]Span, len(g.Columns))
	for i := range g.Columns {
		if i < len(cells) {
			texts[i] = g.cellSpans(cells[i])
		}
	}
	pad := 2.2 * f.scale
	r.height = f.cells(g, &r, pad, texts, false) + pad
	_, page := f.sheet.text()
	if r.height+headHeight <= page {
		return []row{r}
	}
	step := g.size * f.scale * 1.3
	lines := math.Floor((page-headHeight-2*pad)/step - slack)
	rows := make([]row, int(math.Ceil((r.height-2*pad)/step/lines-slack)))
	for i := range rows {
		rows[i].height = min(lines*step, r.height-2*pad-float64(i)*lines*step) + 2*pad
	}
	for _, m := range r.marks {
		i := int(max(0, math.Floor((m.box().y-pad)/step/lines)))
		rows[i].marks = append(rows[i].marks, shifted{m, -float64(i) * lines * step})
	}
	return rows
}
