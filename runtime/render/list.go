package render

import (
	_ "embed"
	"html/template"
	"strings"
	"sync"

	"lapwright/runtime/render/draw"
	"lapwright/stdlib/document"
)

// A List is a page that leads to others.
type List struct {
	Title string
	About string // plain words
	Table *document.Table
	Items []Item
	Words []Word // an index of words, as a book has it
	From  string // what the page was made from
}

// An Item is one of the pages that a list leads to.
type Item struct {
	Title string
	Link  string // of its page; "" for none
	About string // plain words
	Prose string // Markdown, below them
	Facts []document.Fact
	Plot  *document.Plot // shown small
}

// A Word is a word and the items in which it stands.
type Word struct {
	Word   string
	Places []Item
}

//go:embed list.html
var listHTML string

// listStyle sets items side by side.
const listStyle = `.items{list-style:none;padding:0;display:grid;gap:2rem;grid-template-columns:repeat(auto-fill,minmax(min(20rem,100%),1fr))}` +
	`.items h2{font-size:1.1rem;margin:0 0 .5rem;padding:0;border:0;background:none}.items svg{max-width:100%;height:auto}` +
	`.items dt,.words dt{color:var(--soft);font:.8125rem/1.4 var(--sans)}.items dd,.words dd{margin:0 0 .6rem}` +
	`.words{columns:14rem}.words div{break-inside:avoid}`

var listTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Parse(pageHTML + listHTML))
})

// ListPage draws a list as one page that needs nothing else but what it leads to.
func ListPage(l List) ([]byte, error) {
	type item struct {
		Item
		About   []string
		Prose   template.HTML
		Picture *plotView
	}
	view := struct {
		Table *tableView
		Items []item
		Words []Word
	}{Words: l.Words}
	if l.Table != nil {
		view.Table = tableHTML(document.Signed(*l.Table).(document.Table))
	}
	for _, i := range l.Items {
		i.Title = document.Line(i.Title)
		shown := item{Item: i, About: paragraphs(i.About), Prose: proseHTML(i.Prose, 2)}
		if i.Plot != nil {
			p := document.Signed(*i.Plot).(document.Plot)
			shown.Picture = &plotView{Title: document.Line(p.Title), Alt: document.Line(p.Alt), Narrow: template.HTML(draw.Plot(p, draw.Narrow).SVG(""))}
		}
		view.Items = append(view.Items, shown)
	}
	body, err := fill("list", view)
	if err != nil {
		return nil, err
	}
	top, err := fill("top", struct {
		Title    string
		Summary  template.HTML
		Contents []struct{ ID, Title, Dim string }
	}{document.Line(l.Title), template.HTML("<p>" + template.HTMLEscapeString(document.Line(l.About)) + "</p>"), nil})
	if err != nil {
		return nil, err
	}
	page, err := fill("page", struct {
		Title, Recipe string
		Style         template.CSS
		Top, Body     template.HTML
	}{document.Line(l.Title), document.Line(l.From), template.CSS(styleFor(string(top+body)) + listStyle), top, body})
	return []byte(document.Visible(string(page))), err
}

func fill(name string, view any) (template.HTML, error) {
	var out strings.Builder
	err := listTemplate().ExecuteTemplate(&out, name, view)
	return template.HTML(out.String()), err
}
