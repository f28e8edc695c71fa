package render

import (
	"fmt"
	"strings"

	"github.com/yuin/goldmark/ast"

	"lapwright/stdlib/document"
)

// blockMarkdown is the Markdown of each kind of block.
var blockMarkdown = map[string]func(document.Block) string{
	"text":    func(b document.Block) string { return escapeLines(b.(document.Text).Text) },
	"printed": func(b document.Block) string { return fence("", document.Visible(b.(document.Printed).Text)) },
	"table":   func(b document.Block) string { return tableMarkdown(b.(document.Table)) },
	"plot":    func(b document.Block) string { return plotMarkdown(b.(document.Plot)) },
	"view":    func(b document.Block) string { return viewMarkdown(b.(document.View)) },
	"image":   func(b document.Block) string { return imageMarkdown(b.(document.Image)) },
	"drawing": func(b document.Block) string { return drawingMarkdown(b.(document.Drawing)) },
	"card":    func(b document.Block) string { return cardMarkdown(b.(document.Card)) },
	"result":  func(b document.Block) string { return escapeLines(b.(document.Result).Text) },
	"expect": func(b document.Block) string {
		e := b.(document.Expect)
		mark := "**Met.** "
		if !e.Met {
			mark = "**Not met.** "
		}
		return mark + escape(e.Text) + "\n"
	},
}

// Markdown renders a document as CommonMark with tables. Prose stays as it is but
// for its HTML, which is made text.
func Markdown(d *document.Document) ([]byte, error) {
	var b strings.Builder
	part := func(text string) {
		if text = strings.Trim(text, "\n"); text == "" {
			return
		}
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(text + "\n")
	}
	part("# " + escape(d.Title))
	part(proseMarkdown(d.Summary))
	if len(d.Inputs) > 0 {
		part(tableMarkdown(inputsTable(d)))
	}
	stopped := false
	for _, s := range d.Sections {
		if s.State == document.NotReached {
			continue
		}
		if s.Title != "" {
			part("## " + escape(s.Title))
		}
		part(proseMarkdown(s.Prose))
		if s.Code != "" {
			part(fence("go", document.Visible(s.Code)))
		}
		for _, block := range s.Blocks {
			part(blockMarkdown[document.Kind(block)](document.Signed(block)))
		}
		if s.State == document.Stopped {
			stopped = true
			part(faultsMarkdown(d))
		}
	}
	if titles := notReached(d); len(titles) > 0 {
		part("Not reached: " + escape(strings.Join(titles, "; ")))
	}
	if !stopped {
		part(faultsMarkdown(d))
	}
	return []byte(b.String()), nil
}

// faultsMarkdown shows the faults as the terminal draws them.
func faultsMarkdown(d *document.Document) string {
	text := Faults(d, Screen{Columns: 100})
	if text == "" {
		return ""
	}
	return "**This recipe stopped.**\n\n" + fence("", text)
}

// proseMarkdown returns prose with its HTML made text.
func proseMarkdown(prose string) string {
	if strings.TrimSpace(prose) == "" {
		return ""
	}
	root, source := parseProse(prose)
	tags := make(map[int]bool) // offsets of "<" that would open HTML
	mark := func(from, to int) {
		for i := from; i < to; i++ {
			if source[i] == '<' || source[i] == '&' {
				tags[i] = true
			}
		}
	}
	_ = ast.Walk(root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *ast.RawHTML:
			for i := range n.Segments.Len() {
				mark(n.Segments.At(i).Start, n.Segments.At(i).Stop)
			}
		case *ast.HTMLBlock:
			for i := range n.Lines().Len() {
				mark(n.Lines().At(i).Start, n.Lines().At(i).Stop)
			}
			if n.HasClosure() {
				mark(n.ClosureLine.Start, n.ClosureLine.Stop)
			}
		}
		return ast.WalkContinue, nil
	})
	var b strings.Builder
	for i, c := range source {
		if tags[i] {
			b.WriteByte('\\')
		}
		b.WriteByte(c)
	}
	return b.String()
}

// escape returns words, in one line, that Markdown reads as they are.
func escape(s string) string {
	var b strings.Builder
	s = document.Line(s)
	for i, c := range s {
		switch {
		case strings.ContainsRune("\\`*_[]<>&|~$", c):
			b.WriteByte('\\')
		case i == 0 && strings.ContainsRune("#+-=:", c):
			b.WriteByte('\\')
		case (c == '.' || c == ')') && i > 0 && digits(s[:i]):
			b.WriteByte('\\')
		}
		b.WriteRune(c)
	}
	return b.String()
}

func digits(s string) bool {
	return strings.Trim(s, "0123456789") == ""
}

// escapeLines escapes words in paragraphs.
func escapeLines(s string) string {
	var out []string
	for _, p := range paragraphs(s) {
		out = append(out, escape(p))
	}
	return strings.Join(out, "\n\n")
}

// fence sets text to the letter. The fence is longer than any within it.
func fence(language, text string) string {
	marks := "```"
	for strings.Contains(text, marks) {
		marks += "`"
	}
	return marks + language + "\n" + strings.TrimRight(text, "\n") + "\n" + marks + "\n"
}

func tableMarkdown(t document.Table) string {
	var b strings.Builder
	if t.Title != "" {
		b.WriteString("**" + escape(t.Title) + "**\n\n")
	}
	for _, c := range t.Columns {
		name := escape(c.Name)
		if c.Unit != "" {
			name = strings.TrimSpace(name + " (" + escape(c.Unit) + ")")
		}
		b.WriteString("| " + name + " ")
	}
	b.WriteString("|\n")
	for _, c := range t.Columns {
		if c.Text {
			b.WriteString("| --- ")
		} else {
			b.WriteString("| ---: ")
		}
	}
	b.WriteString("|\n")
	for _, row := range t.Rows {
		for i := range t.Columns {
			text := ""
			if i < len(row) {
				text = escape(row[i].Text)
				if row[i].Warn {
					text = "**" + text + " !**"
				}
			}
			b.WriteString("| " + text + " ")
		}
		b.WriteString("|\n")
	}
	for _, note := range t.Notes {
		b.WriteString("\n" + escape(note) + "\n")
	}
	return b.String()
}

// plotMarkdown says what a plot shows and draws it in characters.
func plotMarkdown(p document.Plot) string {
	caption := "**" + escape(p.Title) + ".** " + escape(p.Alt) + "\n\n"
	notes := ""
	for _, note := range p.Notes {
		notes += "\n" + escape(note) + "\n"
	}
	p.Title, p.Alt, p.Notes = "", "", nil
	return caption + fence("", document.BlockText(p, document.TextColumns)) + notes
}

// imageMarkdown says what each panel of an image shows.
func imageMarkdown(m document.Image) string {
	var b strings.Builder
	if m.Title != "" {
		b.WriteString("**" + escape(m.Title) + "**\n\n")
	}
	for _, p := range m.Panels {
		name := ""
		if p.Name != "" {
			name = "**" + escape(p.Name) + ":** "
		}
		b.WriteString("- " + name + escape(p.Alt) + "\n")
	}
	for _, note := range m.Notes {
		b.WriteString("\n" + escape(note) + "\n")
	}
	return b.String()
}

// drawingMarkdown says what a drawing shows and what paper it takes.
func drawingMarkdown(d document.Drawing) string {
	text := ""
	if d.Title != "" {
		text = "**" + escape(d.Title) + ".** "
	}
	text += escape(d.Alt) + "\n\n" + escape(d.Paper()) + "\n"
	for _, note := range d.Notes {
		text += "\n" + escape(note) + "\n"
	}
	return text
}

func cardMarkdown(c document.Card) string {
	var b strings.Builder
	b.WriteString("### " + escape(c.Title) + "\n\n")
	for _, f := range c.Facts {
		b.WriteString("- **" + escape(f.Name) + ":** " + escape(f.Text) + "\n")
	}
	if len(c.Spells.Columns) > 0 {
		b.WriteString("\n" + tableMarkdown(c.Narrow()))
	}
	if len(c.Steps) > 0 {
		b.WriteByte('\n')
		for i, step := range c.Steps {
			fmt.Fprintf(&b, "%d. %s\n", i+1, escape(step))
		}
	}
	list := func(name string, items []string) {
		if len(items) > 0 {
			b.WriteString("\n" + name + "\n\n")
			for _, item := range items {
				b.WriteString("- " + escape(item) + "\n")
			}
		}
	}
	list("**Warnings**", c.Warnings)
	list("Cautions", c.Cautions)
	return b.String()
}

// viewMarkdown says what a view shows.
func viewMarkdown(v document.View) string {
	var b strings.Builder
	b.WriteString("**" + escape(v.Title) + ".** " + escape(v.Alt) + "\n\n")
	for _, l := range v.Laps {
		b.WriteString("- " + escape(l.Name) + ": " + escape(l.Text) + "\n")
	}
	for _, note := range v.Notes {
		b.WriteString("\n" + escape(note) + "\n")
	}
	return b.String()
}
