package render

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	"image/png"
	"strings"
	"sync"

	"lapwright/runtime/render/draw"
	"lapwright/stdlib/document"
)

//go:embed page.html
var pageHTML string

// pageTemplate is read the first time a page is drawn.
var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Parse(pageHTML))
})

// blockHTML gives the name of the template that draws each kind of block, and
// makes what that template is given.
var blockHTML = map[string]struct {
	template string
	view     func(p place, b document.Block) any
}{
	"text":    {"text", func(_ place, b document.Block) any { return paragraphs(b.(document.Text).Text) }},
	"printed": {"printed", func(_ place, b document.Block) any { return document.Visible(b.(document.Printed).Text) }},
	"table":   {"table", func(_ place, b document.Block) any { return tableHTML(b.(document.Table)) }},
	"plot":    {"plot", func(p place, b document.Block) any { return plotHTML(p, b.(document.Plot)) }},
	"view":    {"view", func(p place, b document.Block) any { return viewHTML(p, b.(document.View)) }},
	"image":   {"image", func(p place, b document.Block) any { return imageHTML(p, b.(document.Image)) }},
	"drawing": {"drawing", func(p place, b document.Block) any { return drawingHTML(p, b.(document.Drawing)) }},
	"card":    {"card", func(p place, b document.Block) any { return cardHTML(p, b.(document.Card)) }},
	"result":  {"result", func(_ place, b document.Block) any { return b }},
	"expect":  {"expect", func(_ place, b document.Block) any { return b }},
}

// A place is where on a page a block stands.
type place struct {
	id      string // for the block's own use, unique on the page
	heading int    // level of a heading there
}

// blockOnPage draws one block by its template.
func blockOnPage(p place, b document.Block) (template.HTML, error) {
	how, ok := blockHTML[document.Kind(b)]
	if !ok {
		return "", fmt.Errorf("render: HTML draws no block of kind %s", document.Kind(b))
	}
	return execute(how.template, how.view(p, document.Signed(b)))
}

// HTML renders a document as one page that needs nothing else: no script, no
// fount, nothing from the network.
func HTML(d *document.Document) ([]byte, error) {
	p, err := Live{Document: d}.Pieces()
	if err != nil {
		return nil, err
	}
	body := p.Faults.HTML
	if len(d.Inputs) > 0 {
		inputs, err := execute("table", tableHTML(inputsTable(d)))
		if err != nil {
			return nil, err
		}
		body += string(inputs) + "\n"
	}
	for _, s := range p.Sections {
		body += s.HTML
	}
	view := struct {
		Title, Recipe string
		Style         template.CSS
		Top, Body     template.HTML
	}{p.Title, document.Line(d.Recipe), template.CSS(styleFor(p.Top.HTML + body)), template.HTML(p.Top.HTML), template.HTML(strings.TrimSpace(body))}
	page, err := execute("page", view)
	if err != nil {
		return nil, err
	}
	// Entities in prose may have brought characters that act.
	return []byte(document.Visible(string(page))), nil
}

// execute draws a view by a template of the page.
func execute(name string, view any) (template.HTML, error) {
	var out strings.Builder
	err := pageTemplate().ExecuteTemplate(&out, name, view)
	return template.HTML(plainSigns.Replace(out.String())), err
}

// plainSigns writes signs as themselves that package template writes as entities to
// be safe in attributes without quotes, which our templates never fill.
var plainSigns = strings.NewReplacer("&#39;", "'", "&#43;", "+")

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
	Rows    [][]cellView
	Notes   []string
}

type cellView struct {
	Text             string
	Words, Head, Eye bool
}

func tableHTML(t document.Table) *tableView {
	v := &tableView{Title: document.Line(t.Title), Columns: t.Columns, Notes: t.Notes}
	eye := false
	for _, row := range t.Rows {
		cells := make([]cellView, len(t.Columns))
		for i, c := range t.Columns {
			cells[i].Words = c.Text
			cells[i].Head = i == 0 && c.Text
			if i < len(row) {
				cells[i].Text, cells[i].Eye = document.Line(row[i].Text), row[i].Warn
				eye = eye || row[i].Warn
			}
		}
		v.Rows = append(v.Rows, cells)
	}
	if eye {
		v.Notes = append([]string{"! needs your eye"}, v.Notes...)
	}
	return v
}

type plotView struct {
	ID, Title, Alt string
	Wide, Narrow   template.HTML
	Data           []*tableView
	Notes          []string
}

func plotHTML(p place, b document.Plot) plotView {
	v := plotView{
		ID: p.id, Title: document.Line(b.Title), Alt: document.Line(b.Alt), Notes: b.Notes,
		Wide:   template.HTML(draw.Plot(b, draw.Wide).SVG("wide")),
		Narrow: template.HTML(draw.Plot(b, draw.Narrow).SVG("narrow")),
	}
	for _, t := range plotTables(b) {
		v.Data = append(v.Data, tableHTML(t))
	}
	return v
}

// A viewView is a view as its template has it.
type viewView struct {
	ID, Title, Alt string
	Wide, Narrow   template.HTML
	Laps           []document.Laid
	Notes          []string
}

func viewHTML(p place, b document.View) viewView {
	return viewView{
		ID: p.id, Title: document.Line(b.Title), Alt: document.Line(b.Alt), Laps: b.Laps, Notes: b.Notes,
		Wide:   template.HTML(draw.View(b, draw.Wide).SVG("wide")),
		Narrow: template.HTML(draw.View(b, draw.Narrow).SVG("narrow")),
	}
}

type imageView struct {
	ID, Title string
	Panels    []panelView
	Notes     []string
}

type panelView struct {
	Name, Alt     string
	Width, Height int
	Source        template.URL
}

func imageHTML(p place, b document.Image) imageView {
	v := imageView{ID: p.id, Title: document.Line(b.Title), Notes: b.Notes}
	for _, panel := range b.Panels {
		v.Panels = append(v.Panels, panelView{
			document.Line(panel.Name), document.Line(panel.Alt), panel.Width, panel.Height,
			template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(portable(panel))),
		})
	}
	return v
}

// portable returns a panel in the form of ISO/IEC 15948 (PNG).
func portable(p document.Panel) []byte {
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	// Of a panel that document.Check has passed nothing can fail.
	if err := encoder.Encode(&out, &image.Gray{Pix: p.Grey, Stride: p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}); err != nil {
		panic("render: " + err.Error())
	}
	return out.Bytes()
}

type drawingView struct {
	ID, Title, Alt, Paper string
	Whole                 template.HTML
	Sheets                []template.HTML
	Notes                 []string
}

func drawingHTML(p place, b document.Drawing) drawingView {
	v := drawingView{
		ID: p.id, Title: document.Line(b.Title), Alt: document.Line(b.Alt), Paper: b.Paper(),
		Whole: template.HTML(draw.Drawing(b)), Notes: b.Notes,
	}
	for _, s := range draw.Sheets(b) {
		v.Sheets = append(v.Sheets, template.HTML(s))
	}
	return v
}

type cardView struct {
	Heading int
	document.Card
	Table *tableView
}

func cardHTML(p place, c document.Card) cardView {
	v := cardView{Heading: p.heading, Card: c}
	if len(c.Spells.Columns) > 0 {
		v.Table = tableHTML(c.Narrow())
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
		v.Trace = append(v.Trace, frameView{document.Line(frame.Function), strings.TrimSuffix(placed(frame.Position), ": ")})
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
