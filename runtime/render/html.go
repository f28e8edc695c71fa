package render

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strconv"
	"strings"
	"sync"

	"lapwright/runtime/render/draw"
	"lapwright/stdlib/document"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

// pageTemplate is read the first time a page is drawn.
var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Parse(pageHTML))
})

// blockHTML gives the name of the template that draws each kind of block, and
// makes what that template is given.
var blockHTML = map[string]struct {
	template string
	view     func(p *page, b document.Block) any
}{
	"text":    {"text", func(_ *page, b document.Block) any { return paragraphs(b.(document.Text).Text) }},
	"printed": {"printed", func(_ *page, b document.Block) any { return document.Visible(b.(document.Printed).Text) }},
	"table":   {"table", func(p *page, b document.Block) any { return p.table(b.(document.Table)) }},
	"plot":    {"plot", func(p *page, b document.Block) any { return p.plot(b.(document.Plot)) }},
	"card":    {"card", func(p *page, b document.Block) any { return p.card(b.(document.Card)) }},
	"expect":  {"expect", func(_ *page, b document.Block) any { return b }},
}

// HTML renders a document as one page that needs nothing else: no script, no
// fount, no picture, nothing from the network.
func HTML(d *document.Document) ([]byte, error) {
	p := &page{names: map[string]int{"top": 1}}
	if err := p.fill(d); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := pageTemplate().ExecuteTemplate(&out, "page", p); err != nil {
		return nil, err
	}
	// Entities in prose may have brought characters that act.
	return []byte(document.Visible(out.String())), nil
}

// A page is what the page's template is given.
type page struct {
	Title    string
	Recipe   string
	Style    template.CSS
	Summary  template.HTML
	Contents []*sectionView // those with a title, where there are enough to list
	Inputs   *tableView
	Sections []*sectionView
	Faults   []faultView // those that do not belong to a section
	More     int
	Broken   bool // the recipe did not run at all

	names   map[string]int // ids given so far, and how often each was asked for
	heading int            // level of headings within the section being drawn
}

type sectionView struct {
	ID, Title  string
	State      document.State
	Dim        bool // not reached
	Prose      template.HTML
	Blocks     []template.HTML
	Code       template.HTML
	From, To   int // lines of the code's part
	Faults     []faultView
	Declared   bool
	HasHeading bool
}

type faultView struct {
	Kind, Place, Message, Hint, Section string
	Excerpt                             *excerptView
	Values                              []document.Value
	Trace                               []frameView
	Notes                               []noteView
}

type frameView struct{ Function, Place string }

type noteView struct {
	Place, Message string
	Excerpt        *excerptView
}

type excerptView struct {
	Line               int
	Head, Meant, After string
}

// fill makes the views of a document.
func (p *page) fill(d *document.Document) error {
	p.Title, p.Recipe = document.Line(d.Title), document.Line(d.Recipe)
	p.Style = template.CSS(squeeze(pageCSS + draw.Style()))
	p.Summary = proseHTML(d.Summary, 2)
	p.More = d.More
	if len(d.Inputs) > 0 {
		p.Inputs = p.table(inputsTable(d))
	}
	stopped := false
	for _, s := range d.Sections {
		v := &sectionView{
			Title: document.Line(s.Title), State: s.State, From: s.Line,
			Dim: s.State == document.NotReached, Declared: s.State == document.Declared,
			HasHeading: s.Title != "",
		}
		p.heading = 2
		if v.HasHeading {
			p.heading = 3
			v.ID = p.name(v.Title)
		}
		v.Prose = proseHTML(s.Prose, p.heading)
		if s.Code != "" {
			v.Code = codeHTML(s.Code)
		}
		for _, b := range s.Blocks {
			drawn, err := p.block(b)
			if err != nil {
				return err
			}
			v.Blocks = append(v.Blocks, drawn)
		}
		if s.State == document.Stopped {
			stopped = true
			for _, f := range d.Faults {
				v.Faults = append(v.Faults, faultHTML(f))
			}
		}
		p.Sections = append(p.Sections, v)
		if v.HasHeading {
			p.Contents = append(p.Contents, v)
		}
	}
	if len(p.Contents) < 4 {
		p.Contents = nil
	}
	if !stopped {
		for _, f := range d.Faults {
			p.Faults = append(p.Faults, faultHTML(f))
		}
	}
	p.Broken = len(p.Faults) > 0
	return nil
}

// block draws one block by its template.
func (p *page) block(b document.Block) (template.HTML, error) {
	how, ok := blockHTML[document.Kind(b)]
	if !ok {
		return "", fmt.Errorf("render: HTML draws no block of kind %s", document.Kind(b))
	}
	var out bytes.Buffer
	err := pageTemplate().ExecuteTemplate(&out, how.template, how.view(p, b))
	return template.HTML(out.String()), err
}

// name makes an id of a title: unique on the page and the same on every run.
func (p *page) name(title string) string {
	slug := strings.Trim(strings.Join(strings.FieldsFunc(strings.ToLower(title), func(c rune) bool {
		return !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9')
	}), "-"), "-")
	if len(slug) > 40 {
		slug = slug[:40]
	}
	if slug == "" || slug[0] <= '9' {
		slug = strings.TrimSuffix("s-"+slug, "-")
	}
	id := slug
	for p.names[id] > 0 {
		p.names[slug]++
		id = slug + "-" + strconv.Itoa(p.names[slug])
	}
	p.names[id] = 1
	return id
}

// paragraphs splits plain words at empty lines.
func paragraphs(s string) []string {
	var all []string
	for _, paragraph := range strings.Split(document.Visible(s), "\n\n") {
		if paragraph = strings.TrimSpace(paragraph); paragraph != "" {
			all = append(all, paragraph)
		}
	}
	return all
}

type tableView struct {
	Title   string
	Columns []document.Column
	Units   bool // some column has a unit
	Rows    [][]cellView
	Notes   []string
}

type cellView struct {
	Text             string
	Words, Head, Eye bool
}

func (p *page) table(t document.Table) *tableView {
	v := &tableView{Title: document.Line(t.Title), Columns: t.Columns, Notes: t.Notes}
	for _, c := range t.Columns {
		v.Units = v.Units || c.Unit != ""
	}
	for _, row := range t.Rows {
		cells := make([]cellView, len(t.Columns))
		for i, c := range t.Columns {
			cells[i].Words = c.Text
			cells[i].Head = i == 0 && c.Text
			if i < len(row) {
				cells[i].Text, cells[i].Eye = document.Line(row[i].Text), row[i].Warn
			}
		}
		v.Rows = append(v.Rows, cells)
	}
	return v
}

type plotView struct {
	ID, Title, Alt string
	Wide, Narrow   template.HTML
	Data           []*tableView
	Notes          []string
}

func (p *page) plot(b document.Plot) plotView {
	v := plotView{
		ID: p.name("figure"), Title: document.Line(b.Title), Alt: document.Line(b.Alt), Notes: b.Notes,
		Wide:   template.HTML(draw.Plot(b, draw.Wide, "wide")),
		Narrow: template.HTML(draw.Plot(b, draw.Narrow, "narrow")),
	}
	for _, t := range plotTables(b) {
		v.Data = append(v.Data, p.table(t))
	}
	return v
}

type cardView struct {
	Heading int
	document.Card
	Table *tableView
}

func (p *page) card(c document.Card) cardView {
	v := cardView{Heading: p.heading, Card: c}
	if len(c.Spells.Columns) > 0 {
		v.Table = p.table(c.Narrow())
	}
	return v
}

func faultHTML(f document.Fault) faultView {
	v := faultView{
		Kind: string(f.Kind), Place: strings.TrimSuffix(placed(f.Position), ": "),
		Message: document.Line(f.Message), Hint: document.Line(f.Hint), Section: document.Line(f.Section),
		Excerpt: excerptHTML(f.Position.Line, f.Position.Column, f.Excerpt, f.Width), Values: f.Values,
	}
	for _, frame := range calls(f) {
		v.Trace = append(v.Trace, frameView{document.Line(frame.Function), position(frame.Position)})
	}
	for _, n := range f.Notes {
		v.Notes = append(v.Notes, noteView{
			strings.TrimSuffix(placed(n.Position), ": "), noteText(f, n),
			excerptHTML(n.Position.Line, n.Position.Column, n.Excerpt, n.Width),
		})
	}
	return v
}

// excerptHTML cuts a line into what stands before, at and after a place.
func excerptHTML(line, column int, text string, width int) *excerptView {
	if strings.TrimSpace(text) == "" || line == 0 {
		return nil
	}
	const columns = 200
	q := quote(text, max(column, 1), width, columns)
	runes := []rune(q.text)
	head, at := 0, 0
	for at < len(runes) && head < q.from {
		head += document.Width(string(runes[at]))
		at++
	}
	end, wide := at, 0
	for end < len(runes) && wide < q.wide {
		wide += document.Width(string(runes[end]))
		end++
	}
	if column == 0 {
		end = at
	}
	return &excerptView{line, string(runes[:at]), string(runes[at:end]), string(runes[end:])}
}

// squeeze takes out of a style sheet the spaces that only serve its writers.
func squeeze(css string) string {
	var lines []string
	for _, line := range strings.Split(css, "\n") {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "/*") {
			lines = append(lines, line)
		}
	}
	return spaces.Replace(strings.Join(lines, "\n"))
}

var spaces = strings.NewReplacer(" {\n", "{", " { ", "{", " }", "}", "{\n", "{", ";\n", ";", ",\n", ",", "; ", ";", ": ", ":", ", ", ",")
