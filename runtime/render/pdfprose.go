package render

import (
	"fmt"
	"strings"

	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"

	"lapwright/runtime/render/paper"
	"lapwright/stdlib/document"
)

// prose sets some prose.
func (p *printer) prose(prose string) {
	if strings.TrimSpace(prose) == "" {
		return
	}
	root, source := parseProse(prose)
	prosePaper{p, &prosePrinter{source: source}}.blocks(root, true)
	p.Space(6)
}

// A prosePaper sets the tree of some prose. Words without their marks it has from
// the printer of plain text.
type prosePaper struct {
	*printer
	plain *prosePrinter
}

// blocks sets the blocks within n, with air between them where they are not those
// of a tight list.
func (t prosePaper) blocks(n ast.Node, air bool) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if air {
			t.Space(6)
		}
		t.block(c)
	}
}

func (t prosePaper) block(n ast.Node) {
	switch n := n.(type) {
	case *ast.List:
		number := n.Start
		for item := n.FirstChild(); item != nil; item = item.NextSibling() {
			mark := "•"
			if n.IsOrdered() {
				mark = fmt.Sprintf("%d.", number)
				number++
			}
			t.Space(2.5)
			if !n.IsTight {
				t.Space(6)
			}
			t.item(item, mark, !n.IsTight)
		}
	case *ast.Blockquote:
		t.Barred(paper.Faint, func() { t.blocks(n, true) })
	case *ast.CodeBlock, *ast.FencedCodeBlock:
		t.Code(plainLines(t.verbatim(n), codeFont), true)
	case *ast.HTMLBlock:
		t.Text(span(t.verbatim(n), bodyFont))
	case *ast.ThematicBreak:
		t.Space(8)
		t.Rule(0.6, paper.Faint)
		t.Space(8)
	case *extast.Table:
		t.Table(t.plain.table(n))
		t.Space(4)
	case *ast.Heading:
		t.Space(9)
		font := paper.Font{Face: paper.SansBold, Size: max(11.6-0.8*float64(n.Level-1), 9.6), Colour: paper.Ink}
		t.KeepNext(func() { t.Text(t.inline(n, font, "")...) })
	default:
		t.Text(t.inline(n, bodyFont, "")...)
	}
}

// item sets an item of a list: its mark hangs beside its first paragraph.
func (t prosePaper) item(item ast.Node, mark string, air bool) {
	const by = 14
	first := item.FirstChild()
	switch first.(type) {
	case *ast.TextBlock, *ast.Paragraph:
		t.Item(span(mark, bodyFont), by, t.inline(first, bodyFont, "")...)
		first = first.NextSibling()
	default:
		t.KeepNext(func() { t.Text(span(mark, bodyFont)) })
	}
	t.Indent(by, func() {
		for c := first; c != nil; c = c.NextSibling() {
			if air {
				t.Space(6)
			}
			t.block(c)
		}
	})
}

// verbatim returns the lines of a block of code as they are.
func (t prosePaper) verbatim(n ast.Node) string {
	var b strings.Builder
	for i := range n.Lines().Len() {
		line := n.Lines().At(i)
		b.Write(line.Value(t.plain.source))
	}
	return document.Visible(b.String())
}

// inline returns the words within n in their fonts.
func (t prosePaper) inline(n ast.Node, font paper.Font, link string) []paper.Span {
	var spans []paper.Span
	put := func(s string, font paper.Font, link string) {
		spans = append(spans, paper.Span{Text: document.Visible(s), Font: font, Link: link})
	}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch c := c.(type) {
		case *ast.Text:
			text := unescape(string(c.Value(t.plain.source)))
			if c.HardLineBreak() {
				text += "\n"
			} else if c.SoftLineBreak() {
				text += " "
			}
			put(text, font, link)
		case *ast.CodeSpan:
			mono := font
			mono.Face, mono.Size = paper.Mono, font.Size*0.86
			put(t.plain.raw(c), mono, link)
		case *ast.Emphasis:
			spans = append(spans, t.inline(c, stressed(font, c.Level), link)...)
		case *ast.Link:
			to := string(c.Destination)
			if !safeLink(to) {
				to = ""
			}
			leads := font
			if to != "" {
				leads.Colour = paper.Accent
			}
			spans = append(spans, t.inline(c, leads, to)...)
		case *ast.AutoLink:
			to, leads := string(c.URL(t.plain.source)), font
			if c.AutoLinkType == ast.AutoLinkEmail && !strings.HasPrefix(strings.ToLower(to), "mailto:") {
				to = "mailto:" + to
			}
			if !safeLink(to) {
				to = ""
			} else {
				leads.Colour = paper.Accent
			}
			put(string(c.Label(t.plain.source)), leads, to)
		case *ast.Image:
			put("[picture: ", font, link)
			spans = append(spans, t.inline(c, font, link)...)
			put("]", font, link)
		case *ast.RawHTML:
			for i := range c.Segments.Len() {
				segment := c.Segments.At(i)
				put(string(segment.Value(t.plain.source)), font, link)
			}
		case *ast.String:
			put(string(c.Value), font, link)
		default:
			spans = append(spans, t.inline(c, font, link)...)
		}
	}
	return spans
}

// stressed returns the face for words that are stressed once or twice.
func stressed(font paper.Font, level int) paper.Font {
	bold := level >= 2
	switch font.Face {
	case paper.Serif:
		font.Face = paper.SerifItalic
		if bold {
			font.Face = paper.SerifBold
		}
	case paper.SerifBold, paper.SerifItalic:
		font.Face = paper.SerifBoldItalic
	}
	return font
}
