package render

import (
	"fmt"
	"slices"
	"strings"

	"lapwright/runtime/render/draw"
	"lapwright/runtime/render/paper"
	"lapwright/stdlib/document"
)

// The fonts of print.
var (
	bodyFont  = paper.Font{Face: paper.Serif, Size: 10.2, Colour: paper.Ink}
	noteFont  = paper.Font{Face: paper.Serif, Size: 8.6, Colour: paper.Soft}
	labelFont = paper.Font{Face: paper.Sans, Size: 8.2, Colour: paper.Soft}
	codeFont  = paper.Font{Face: paper.Mono, Size: 6.7, Colour: paper.Ink}
)

// blockPDF sets each kind of block.
var blockPDF = map[string]func(p *printer, b document.Block){
	"text":    func(p *printer, b document.Block) { p.words(b.(document.Text).Text) },
	"printed": func(p *printer, b document.Block) { p.printed(b.(document.Printed).Text) },
	"table":   func(p *printer, b document.Block) { p.table(b.(document.Table)) },
	"plot":    func(p *printer, b document.Block) { p.plot(b.(document.Plot)) },
	"view":    func(p *printer, b document.Block) { p.view(b.(document.View)) },
	"image":   func(p *printer, b document.Block) { p.image(b.(document.Image)) },
	"drawing": func(p *printer, b document.Block) { p.drawing(b.(document.Drawing)) },
	"card":    func(p *printer, b document.Block) { p.later(b.(document.Card)) },
	"result":  func(p *printer, b document.Block) { p.words(b.(document.Result).Text) },
	"expect":  func(p *printer, b document.Block) { p.expect(b.(document.Expect)) },
}

// A printer sets a document on paper.
type printer struct {
	*paper.Flow
	cards  []document.Card    // to be set at the end
	sheets []document.Drawing // to be set after them
}

// PDF renders a document on A4.
func PDF(d *document.Document) ([]byte, error) { return Print(d, paper.A4) }

// Print renders a document as PDF: text that can be searched and copied, founts
// embedded as far as they are used, drawings as lines, bookmarks for the sections.
// Run cards come last, each on a page of its own, so that they can be taken out,
// and after them what is to be cut out, at true size.
func Print(d *document.Document, sheet paper.Sheet) ([]byte, error) {
	p := &printer{Flow: paper.New(sheet)}
	p.Anchor("top", d.Title, 0)
	// As on a page: the openings of a mask over the title, a scale over a section.
	p.Openings(paper.Accent, [][2]float64{{0, 0.037}, {0.077, 0.122}, {0.173, 0.233}, {0.311, 0.5}, {0.689, 0.767}, {0.828, 0.878}, {0.923, 0.963}}...)
	p.Space(12)
	p.Text(span(document.Line(d.Title), paper.Font{Face: paper.SansBold, Size: 22, Colour: paper.Ink}))
	p.Space(6)
	p.prose(d.Summary)
	ids := sectionIDs(d.Sections)
	p.contents(d, ids)
	atSection := slices.ContainsFunc(d.Sections, func(s document.Section) bool { return s.State == document.Stopped })
	if len(d.Faults) > 0 && !atSection {
		p.Space(14)
		title := "This recipe did not run"
		if len(d.Faults) > 1 {
			title = "What is wrong"
		}
		p.heading("faults", title)
		p.faults(d)
	}
	if len(d.Inputs) > 0 {
		p.Space(12)
		p.Table(inputsTable(d))
	}
	for i, s := range d.Sections {
		p.section(d, ids[i], s)
	}
	if missing := p.Missing(); len(missing) > 0 {
		var codes []string
		for _, c := range missing {
			codes = append(codes, fmt.Sprintf("%U", c))
		}
		p.Space(14)
		p.Text(span("Characters that the founts of this file lack are printed as \ufffd: "+strings.Join(codes, ", ")+".", noteFont))
	}
	for i, c := range p.cards {
		p.card(cardID(i+1), c)
	}
	for i, d := range p.sheets {
		for j, s := range d.Sheets() {
			p.Page()
			if j == 0 {
				p.Anchor(sheetID(i+1), d.Title, 1)
			}
			p.TrueSize(d, s)
			p.Page()
		}
	}
	return p.PDF(d.Title, "Made by lapwright from "+d.Recipe)
}

// PrintCards renders the run cards of a document as PDF, each on one page, and
// returns how many there are.
func PrintCards(d *document.Document, sheet paper.Sheet) (data []byte, n int, err error) {
	p := &printer{Flow: paper.New(sheet)}
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			if c, ok := document.Signed(b).(document.Card); ok {
				n++
				p.card(cardID(n), c)
			}
		}
	}
	data, err = p.PDF(d.Title, d.Title+" \u2013 made by lapwright from "+d.Recipe)
	return data, n, err
}

// SVG draws what a document shows at true size, a mask say, as one SVG file, in one
// piece each, and returns how many there are.
func SVG(d *document.Document) (data []byte, n int) {
	var list []document.Drawing
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			if one, ok := b.(document.Drawing); ok && one.Paper() != "" {
				list = append(list, one)
			}
		}
	}
	return []byte(draw.Whole(list)), len(list)
}

func span(s string, font paper.Font) paper.Span { return paper.Span{Text: s, Font: font} }

// heading sets the heading of a section.
func (p *printer) heading(id, title string) {
	p.KeepNext(func() {
		p.Anchor(id, title, 1)
		p.Scale(paper.Ink, paper.Soft)
		p.Space(2)
		p.Text(span(document.Line(title), paper.Font{Face: paper.SansBold, Size: 14, Colour: paper.Ink}))
	})
	p.Space(5)
}

// contents lists the sections with their pages, where there are some.
func (p *printer) contents(d *document.Document, ids []string) {
	var titled []int
	for i, s := range d.Sections {
		if s.Title != "" {
			titled = append(titled, i)
		}
	}
	if len(titled) <= 3 {
		return
	}
	p.Space(12)
	for _, i := range titled {
		font := paper.Font{Face: paper.Sans, Size: 9.4, Colour: paper.Ink}
		spans := []paper.Span{span(document.Line(d.Sections[i].Title), font)}
		if d.Sections[i].State == document.NotReached {
			font.Colour = paper.Soft
			spans = append(spans, span("  not reached", font))
		}
		p.Space(1)
		p.PageOf(ids[i], spans...)
	}
}

func (p *printer) section(d *document.Document, id string, s document.Section) {
	p.Space(20)
	if s.Title != "" {
		p.heading(id, s.Title)
	}
	if s.State == document.NotReached {
		p.Text(span("Not reached.", paper.Font{Face: paper.SerifItalic, Size: 9.5, Colour: paper.Soft}))
		p.Space(4)
	}
	p.prose(s.Prose)
	for _, b := range s.Blocks {
		p.Space(10)
		blockPDF[document.Kind(b)](p, document.Signed(b))
	}
	if s.State == document.Stopped {
		p.Space(10)
		p.faults(d)
	}
	if s.Code != "" {
		p.Space(12)
		name := "Code"
		if s.State == document.Declared {
			name = "Declarations"
		}
		p.KeepNext(func() { p.Text(span(fmt.Sprintf("%s from line %d", name, s.Line), labelFont)) })
		p.Space(2.5)
		p.Code(codeSpans(s.Code), true)
	}
	p.Space(4)
}

// words sets paragraphs of plain words.
func (p *printer) words(s string) {
	for _, paragraph := range paragraphs(s) {
		p.Space(6)
		p.Text(span(paragraph, bodyFont))
	}
}

// printed sets what a recipe printed.
func (p *printer) printed(s string) {
	p.Barred(paper.Faint, func() { p.Code(plainLines(document.Visible(s), codeFont), false) })
}

func plainLines(s string, font paper.Font) [][]paper.Span {
	var lines [][]paper.Span
	for _, line := range strings.Split(strings.TrimRight(s, "\n"), "\n") {
		lines = append(lines, []paper.Span{span(line, font)})
	}
	return lines
}

func (p *printer) table(t document.Table) {
	p.Table(t)
	p.Space(4)
}

// caption sets the title of a figure with what it shows in words.
func (p *printer) caption(title, alt string) {
	p.KeepNext(func() {
		dot := document.Line(title)
		if dot != "" {
			dot += ". "
		}
		p.Text(
			span(dot, paper.Font{Face: paper.SansBold, Size: 9.2, Colour: paper.Ink}),
			span(document.Line(alt), paper.Font{Face: paper.Sans, Size: 8.6, Colour: paper.Soft}))
	})
	p.Space(5)
}

// notes sets the notes of a figure.
func (p *printer) notes(notes []string) {
	for _, note := range notes {
		p.Space(3)
		p.Text(span(document.Line(note), noteFont))
	}
	p.Space(4)
}

func (p *printer) plot(b document.Plot) {
	p.Keep(func() {
		p.caption(b.Title, b.Alt)
		p.Drawing(draw.Plot(b, draw.Paper))
		p.notes(b.Notes)
	})
}

func (p *printer) view(b document.View) {
	p.Keep(func() {
		p.caption(b.Title, b.Alt)
		p.Drawing(draw.View(b, draw.Paper))
		p.notes(b.Notes)
	})
}

func (p *printer) expect(e document.Expect) {
	colour, verdict := paper.Good, "Met"
	if !e.Met {
		colour, verdict = paper.Accent, "Not met"
	}
	p.Barred(colour, func() {
		p.Text(span(verdict+" ", paper.Font{Face: paper.SansBold, Size: 9.4, Colour: colour}), span(document.Line(e.Text), bodyFont))
	})
}

// cardID is the name of the place of a card, which no section can have.
func cardID(n int) string { return fmt.Sprintf("card_%d", n) }

// sheetID is the name of the place of a drawing at true size.
func sheetID(n int) string { return fmt.Sprintf("sheet_%d", n) }

// image sets pictures in grey side by side, their names and what they show below.
func (p *printer) image(b document.Image) {
	const across = 3
	p.Keep(func() {
		p.caption(b.Title, "")
		columns := min(max(len(b.Panels), 2), across)
		for row := range slices.Chunk(b.Panels, columns) {
			cells := make([]func(), columns)
			for i := range cells {
				cells[i] = func() {
					if i < len(row) {
						p.panel(row[i])
					}
				}
			}
			p.Space(8)
			p.Beside(14, cells...)
		}
		p.notes(b.Notes)
	})
}

func (p *printer) panel(panel document.Panel) {
	if panel.Width > 0 && panel.Height > 0 {
		p.Grey(panel.Grey, panel.Width, panel.Height)
	}
	name := document.Line(panel.Name)
	if name != "" {
		name += ". "
	}
	p.Space(3)
	p.Text(
		span(name, paper.Font{Face: paper.SansBold, Size: 8.2, Colour: paper.Ink}),
		span(document.Line(panel.Alt), paper.Font{Face: paper.Sans, Size: 7.8, Colour: paper.Soft}))
}

// drawing shows a drawing as large as is handy, and says where it is at true size.
func (p *printer) drawing(d document.Drawing) {
	p.Keep(func() {
		p.caption(d.Title, d.Alt)
		if d.Paper() != "" {
			p.Small(d)
			p.sheets = append(p.sheets, d)
			p.Space(3)
			p.PageOf(sheetID(len(p.sheets)), span("At true size", paper.Font{Face: paper.Sans, Size: 9.4, Colour: paper.Ink}))
		}
		p.notes(append([]string{d.Paper()}, d.Notes...))
	})
}

// later says where a card is to be found.
func (p *printer) later(c document.Card) {
	p.cards = append(p.cards, c)
	p.PageOf(cardID(len(p.cards)), span(document.Line(c.Title)+", on its own page", paper.Font{Face: paper.Sans, Size: 9.4, Colour: paper.Ink}))
}

// card sets a run card on a page of its own.
func (p *printer) card(id string, c document.Card) {
	p.Alone(func() {
		p.Anchor(id, c.Title, 1)
		p.Text(span(document.Line(c.Title), paper.Font{Face: paper.SansBold, Size: 18, Colour: paper.Ink}))
		p.Space(5)
		p.Rule(2, paper.Ink)
		p.Space(7)
		p.facts(c.Facts)
		if len(c.Spells.Columns) > 0 {
			p.Space(9)
			p.WideTable(c.Narrow())
		}
		p.Space(9)
		item := paper.Font{Face: paper.Sans, Size: 9.6, Colour: paper.Ink}
		for i, step := range c.Steps {
			p.Space(2.5)
			number := item
			number.Face = paper.SansBold
			p.Item(span(fmt.Sprintf("%d", i+1), number), 16, span(document.Line(step), item))
		}
		if len(c.Warnings) > 0 {
			p.Space(9)
			p.Barred(paper.Accent, func() {
				for _, w := range c.Warnings {
					p.Space(2)
					p.Text(span(document.Line(w), paper.Font{Face: paper.Sans, Size: 8.6, Colour: paper.Ink}))
				}
			})
		}
		if len(c.Cautions) > 0 {
			p.Space(9)
			p.Rule(0.5, paper.Soft)
			p.Space(5)
			half := (len(c.Cautions) + 1) / 2
			p.Beside(16, func() { p.cautions(c.Cautions[:half]) }, func() { p.cautions(c.Cautions[half:]) })
		}
	})
}

func (p *printer) cautions(list []string) {
	font := paper.Font{Face: paper.Sans, Size: 7.8, Colour: paper.Soft}
	for _, caution := range list {
		p.Space(2.5)
		p.Item(span("•", font), 8, span(document.Line(caution), font))
	}
}

// facts sets the facts of a card three by three.
func (p *printer) facts(facts []document.Fact) {
	const across = 3
	for three := range slices.Chunk(facts, across) {
		cells := make([]func(), across)
		for i := range cells {
			cells[i] = func() {
				if i < len(three) {
					p.Text(span(document.Line(three[i].Name), paper.Font{Face: paper.Sans, Size: 8, Colour: paper.Soft}))
					p.Text(span(document.Line(three[i].Text), paper.Font{Face: paper.Sans, Size: 9, Colour: paper.Ink}))
				}
			}
		}
		p.Space(5)
		p.Beside(14, cells...)
	}
}

// faults sets what went wrong, each fault as the terminal draws it, its first line
// in bold.
func (p *printer) faults(d *document.Document) {
	p.Barred(paper.Accent, func() {
		for i, f := range d.Faults {
			if i > 0 {
				p.Space(8)
			}
			first, rest, _ := strings.Cut(Fault(f, Screen{Columns: 96}), "\n")
			p.Text(span(first, paper.Font{Face: paper.SansBold, Size: 9.4, Colour: paper.Accent}))
			if strings.TrimSpace(rest) != "" {
				p.Space(3)
				p.Code(plainLines(rest, codeFont), false)
			}
		}
		if d.More > 0 {
			p.Space(8)
			p.Text(span(fmt.Sprintf("and %d more", d.More), bodyFont))
		}
	})
}

// codeSpans colours Go.
func codeSpans(code string) [][]paper.Span {
	var lines [][]paper.Span
	var line []paper.Span
	for _, piece := range codePieces(code) {
		font := codeFont
		switch piece.mark {
		case "b":
			font.Face = paper.MonoBold
		case "i":
			font.Colour = paper.Soft
		case "u":
			font.Colour = paper.Deep
		}
		for i, part := range strings.Split(piece.text, "\n") {
			if i > 0 {
				lines = append(lines, line)
				line = nil
			}
			line = append(line, span(part, font))
		}
	}
	return append(lines, line)
}
