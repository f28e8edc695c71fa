// Package paper sets text, tables and drawings on pages and writes them as PDF.
//
// A Flow takes what is to be set from the top down and turns it into rows: strips
// as wide as the text, each with the marks that are printed in it. Pages are then
// filled with rows. Nothing is printed before all is laid out, so that tests can
// hold every mark against the page, and contents can name pages that come later.
//
// Lengths are in points, 1/72 in. The same calls give the same bytes.
package paper

import (
	"slices"

	"lapwright/runtime/render/draw"
)

// A Sheet is a size of paper.
type Sheet struct {
	Name          string
	Width, Height float64
}

// The sheets: A4 of ISO 216, 210 mm by 297 mm, and Letter of ANSI/ASME Y14.1,
// 8.5 in by 11 in.
var (
	A4     = Sheet{"A4", 210 * MM, 297 * MM}
	Letter = Sheet{"Letter", 612, 792}
)

// MM is a millimetre in points.
const MM = 72 / 25.4

// The margins of a page. What stands at the foot of each lies in the lower one.
const (
	side   = 54
	top    = 52
	bottom = 58
)

// text returns the width and height of what lies within the margins.
func (s Sheet) text() (width, height float64) {
	return s.Width - 2*side, s.Height - top - bottom
}

// A row is a strip across the page that is not broken.
type row struct {
	above  float64 // space over it, where it does not begin a page
	height float64
	keep   bool  // on one page with the next row
	fresh  bool  // begins a page
	head   []row // printed over it where it begins a page: the head of its table
	marks  []mark
	sides  []strip
}

// A strip of colour runs down a row, and up to the row before where it is joined
// to it.
type strip struct {
	x, width float64
	colour   Colour
	joined   bool
}

// A Flow is what is to be printed.
type Flow struct {
	sheet   Sheet
	rows    []row
	left    float64 // where text begins, from the left margin
	width   float64 // of the text
	gap     float64 // space to leave above the next row
	scale   float64 // of type and spaces
	fresh   bool    // the next row begins a page
	missing map[rune]bool
}

// New returns an empty flow.
func New(s Sheet) *Flow {
	width, _ := s.text()
	return &Flow{sheet: s, width: width, scale: 1, missing: make(map[rune]bool)}
}

// Space leaves at least a space above what comes next.
func (f *Flow) Space(h float64) { f.gap = max(f.gap, h*f.scale) }

// Page begins a page.
func (f *Flow) Page() { f.fresh = true }

// add appends a row below those there are.
func (f *Flow) add(r row) {
	r.above, f.gap = f.gap, 0
	r.fresh, f.fresh = r.fresh || f.fresh, false
	f.rows = append(f.rows, r)
}

// keepFrom holds the rows from a number on together.
func (f *Flow) keepFrom(first int) {
	for i := first; i < len(f.rows)-1; i++ {
		f.rows[i].keep = true
	}
}

// Keep holds what within sets on one page, where one page takes it.
func (f *Flow) Keep(within func()) {
	first := len(f.rows)
	within()
	f.keepFrom(first)
}

// KeepNext holds what within sets on one page with the beginning of what follows.
func (f *Flow) KeepNext(within func()) {
	first := len(f.rows)
	within()
	for i := first; i < len(f.rows); i++ {
		f.rows[i].keep = true
	}
}

// Indent sets what within sets further in.
func (f *Flow) Indent(by float64, within func()) {
	by = min(by*f.scale, f.width/2)
	f.left, f.width = f.left+by, f.width-by
	within()
	f.left, f.width = f.left-by, f.width+by
}

// Barred draws a bar down the left of what within sets.
func (f *Flow) Barred(colour Colour, within func()) {
	first, at := len(f.rows), f.left
	f.Indent(12, within)
	f.stripe(first, strip{x: at, width: 2.5, colour: colour})
}

// stripe draws a strip down the rows from a number on.
func (f *Flow) stripe(first int, s strip) {
	for i := first; i < len(f.rows); i++ {
		s.joined = i > first
		f.rows[i].sides = append(f.rows[i].sides, s)
	}
}

// leading is the distance of lines over the size of the type.
const leading = 1.38

// Text sets a paragraph. Its first two lines and its last two stay together.
func (f *Flow) Text(spans ...Span) { f.hung(nil, 0, spans) }

// Item sets a paragraph that hangs beside a mark: an item of a list.
func (f *Flow) Item(mark Span, by float64, spans ...Span) { f.hung(&mark, by*f.scale, spans) }

func (f *Flow) hung(hanging *Span, by float64, spans []Span) {
	first := len(f.rows)
	for i, l := range f.lines(spans, f.width-by) {
		var beside line
		if i == 0 && hanging != nil {
			if marks := f.lines([]Span{*hanging}, by); len(marks) > 0 {
				beside = marks[0]
			}
		}
		height := leading * max(l.size(), beside.size())
		r := row{height: height}
		r.marks = append(f.marks(beside, f.left, height*baseline), f.marks(l, f.left+by, height*baseline)...)
		f.add(r)
	}
	if n := len(f.rows); n-first >= 2 {
		f.rows[first].keep = true
		f.rows[n-2].keep = true
	}
}

// baseline is where words stand in a line, over the distance of lines.
const baseline = 0.76

// size is that of the largest type of a line.
func (l line) size() float64 {
	size := 0.0
	for _, part := range l.parts {
		size = max(size, part.Size)
	}
	return size
}

// lineRow makes a line a row.
func (f *Flow) lineRow(l line, by float64) row {
	height := l.size() * leading
	return row{height: height, marks: f.marks(l, f.left+by, height*baseline)}
}

// marks places the fragments of a line, which begins at x and stands on y.
func (f *Flow) marks(l line, x, y float64) []mark {
	var all []mark
	for _, part := range l.parts {
		m := text{part, x, y}
		all = append(all, m)
	}
	return all
}

// Rule draws a line across.
func (f *Flow) Rule(width float64, colour Colour) {
	f.add(row{height: width, keep: true, marks: []mark{rule{f.left, 0, f.width, width, colour}}})
}

// Scale draws a line across with the marks of a scale below it.
func (f *Flow) Scale(colour, fine Colour) {
	const line, long, short, step = 1.5, 6, 3, 6.0
	r := row{height: line + long, keep: true, marks: []mark{rule{f.left, 0, f.width, line, colour}}}
	for i := 0; float64(i)*step < f.width-0.5; i++ {
		if x := f.left + float64(i)*step; i%5 == 0 {
			r.marks = append(r.marks, rule{x, line, 0.6, long, colour})
		} else {
			r.marks = append(r.marks, rule{x, line, 0.4, short, fine})
		}
	}
	f.add(r)
}

// Openings draws a band across with gaps in it: shares of the width from which and to
// which it is full.
func (f *Flow) Openings(colour Colour, full ...[2]float64) {
	const tall = 5
	r := row{height: tall, keep: true, marks: []mark{rule{f.left, tall - 0.6, f.width, 0.6, colour}}}
	for _, s := range full {
		r.marks = append(r.marks, rule{f.left + s[0]*f.width, 0, (s[1] - s[0]) * f.width, tall, colour})
	}
	f.add(r)
}

// Anchor marks the place that links to "#NAME" lead to. With a title it is listed
// among the bookmarks, at a level from 0.
func (f *Flow) Anchor(name, title string, level int) {
	f.add(row{keep: true, marks: []mark{anchor{name, title, level}}})
}

// PageOf sets an entry of the contents: some text, and the number of the page that
// an Anchor is on.
func (f *Flow) PageOf(name string, spans ...Span) {
	const number = 24
	for i, l := range f.lines(spans, f.width-number) {
		r := f.lineRow(l, 0)
		if i == 0 && len(spans) > 0 {
			font := spans[0].Font
			font.Size *= f.scale
			r.marks = append(r.marks, pageOf{name, font, f.left + f.width, r.height * baseline, f.left + l.width})
		}
		f.add(r)
	}
}

// Drawing sets a drawing as wide as the text.
func (f *Flow) Drawing(d draw.Canvas) {
	_, page := f.sheet.text()
	w := min(f.width, page*d.Size.Width/d.Size.Height)
	h := w * d.Size.Height / d.Size.Width
	f.add(row{height: h, marks: []mark{picture{d, f.left, 0, w, h}}})
}

// Beside sets things side by side in columns of one width. They stay on one page;
// what a page does not take is set from the top down instead.
func (f *Flow) Beside(between float64, things ...func()) {
	n := float64(len(things))
	between *= f.scale
	column := (f.width - between*(n-1)) / n
	gap, fresh, rows, left, width := f.gap, f.fresh, f.rows, f.left, f.width
	var all row
	for i, thing := range things {
		f.rows, f.gap, f.fresh = nil, 0, false
		f.left, f.width = left+float64(i)*(column+between), column
		thing()
		y := 0.0
		for j, r := range f.rows {
			if j > 0 {
				y += r.above
			}
			for _, m := range r.marks {
				all.marks = append(all.marks, shifted{m, y})
			}
			y += r.height
		}
		all.height = max(all.height, y)
	}
	f.gap, f.fresh, f.rows, f.left, f.width = gap, fresh, rows, left, width
	if _, page := f.sheet.text(); all.height <= page {
		f.add(all)
		return
	}
	for _, thing := range things {
		thing()
	}
}

// Alone sets what within sets on a page of its own, in type as large as finds room
// there, from a fifth more to a third less than is asked for; what is too much for
// one page even so goes over several. What follows begins a page.
func (f *Flow) Alone(within func()) {
	const most, least = 1.2, 0.66
	first := len(f.rows)
	_, page := f.sheet.text()
	for f.scale = most; ; f.scale -= 0.02 {
		f.rows, f.gap, f.fresh = f.rows[:first], 0, true
		within()
		if f.scale <= least || height(f.rows[first:]) <= page {
			break
		}
	}
	f.scale, f.gap, f.fresh = 1, 0, true
}

// height is that of rows with the spaces between them.
func height(rows []row) float64 {
	h := 0.0
	for i, r := range rows {
		if i > 0 {
			h += r.above
		}
		h += r.height
	}
	return h
}

// A placed row has its top at y, from the top of the text.
type placed struct {
	row
	y float64
}

// pages fills pages with the rows.
func (f *Flow) pages() [][]placed {
	_, full := f.sheet.text()
	var all [][]placed
	var page []placed
	y := 0.0
	turn := func() {
		if len(page) > 0 {
			all = append(all, page)
		}
		page, y = nil, 0
	}
	put := func(r row) {
		if len(page) > 0 {
			y += r.above
		}
		page = append(page, placed{r, y})
		y += r.height
	}
	for i := 0; i < len(f.rows); {
		end := i + 1
		for end < len(f.rows) && f.rows[end-1].keep && !f.rows[end].fresh {
			end++
		}
		group := f.rows[i:end]
		if height(f.rows[i].head)+height(group) > full {
			group = group[:1]
		}
		if f.rows[i].fresh || len(page) > 0 && y+group[0].above+height(group) > full+slack {
			turn()
		}
		for _, r := range group {
			if len(page) == 0 {
				for _, h := range r.head {
					put(h)
				}
			}
			put(r)
		}
		i += len(group)
	}
	turn()
	return all
}

// slack is by how much rounding may make a page too full.
const slack = 1e-6

// Missing returns the characters that no face has, in their order.
func (f *Flow) Missing() []rune {
	var all []rune
	for c := range f.missing {
		all = append(all, c)
	}
	slices.Sort(all)
	return all
}
