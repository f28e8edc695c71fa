package render

import (
	"fmt"
	"html"
	"net/url"
	"strings"
	"sync"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"lapwright/stdlib/document"
)

// markdown reads prose: CommonMark and tables. What a recipe has of HTML is text.
var markdown = sync.OnceValue(func() goldmark.Markdown {
	return goldmark.New(
		goldmark.WithParserOptions(parser.WithParagraphTransformers(util.Prioritized(tables{}, 200))),
		goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(tables{}, 500))),
	)
})

// parseProse returns the tree of some prose and the text its nodes point into.
// Prose that no person wrote for another is taken to the letter: the parser's
// time grows with the square of some kinds of nonsense.
func parseProse(prose string) (ast.Node, []byte) {
	prose = document.Visible(prose)
	if len(prose) > longestProse || nested(prose) {
		prose = fence("", prose)
	}
	source := []byte(prose)
	root := markdown().Parser().Parse(text.NewReader(source))
	unescapePipes(root, source)
	return root, source
}

// longestProse is the most prose of one section that is read as Markdown.
const longestProse = 20_000

// nested tells whether a line begins with more marks of lists and quotations than
// make sense.
func nested(prose string) bool {
	const most = 40
	for line := range strings.Lines(prose) {
		if lead := strings.TrimLeft(line, "> \t-+*0123456789.)"); len(line)-len(lead) > most {
			marks := strings.Join(strings.Fields(line[:len(line)-len(lead)]), "")
			if len(strings.Trim(marks, "-")) > most && len(strings.Trim(marks, "*")) > most {
				return true
			}
		}
	}
	return false
}

// safeLink tells whether a page may offer a link to a destination: a page of the
// web, a letter, or a place on the page itself.
func safeLink(destination string) bool {
	if strings.HasPrefix(destination, "#") {
		return true
	}
	u, err := url.Parse(destination)
	return err == nil && (u.Scheme == "http" || u.Scheme == "https" || u.Scheme == "mailto")
}

// proseText sets prose as plain text in lines of at most columns.
func proseText(prose string, columns int) string {
	if strings.TrimSpace(prose) == "" {
		return ""
	}
	root, source := parseProse(prose)
	p := prosePrinter{source: source, columns: columns}
	p.blocks(root, "", "")
	return p.out.String()
}

// A prosePrinter writes the tree of some prose as plain text.
type prosePrinter struct {
	source  []byte
	columns int
	out     strings.Builder
}

// blocks writes the blocks within n. The first line begins with first, the
// others with rest.
func (p *prosePrinter) blocks(n ast.Node, first, rest string) {
	tight := false
	if list, ok := n.Parent().(*ast.List); ok {
		tight = list.IsTight
	}
	lead := first
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if c != n.FirstChild() && !tight {
			p.out.WriteString(strings.TrimRight(rest, " ") + "\n")
		}
		p.block(c, lead, rest)
		lead = rest
	}
}

func (p *prosePrinter) block(n ast.Node, first, rest string) {
	switch n := n.(type) {
	case *ast.List:
		number := n.Start
		for item := n.FirstChild(); item != nil; item = item.NextSibling() {
			if item != n.FirstChild() {
				first = rest
				if !n.IsTight {
					p.out.WriteString(strings.TrimRight(rest, " ") + "\n")
				}
			}
			mark := "- "
			if n.IsOrdered() {
				mark = fmt.Sprintf("%d. ", number)
				number++
			}
			p.blocks(item, first+mark, rest+strings.Repeat(" ", len(mark)))
		}
	case *ast.Blockquote:
		p.blocks(n, first+"> ", rest+"> ")
	case *ast.CodeBlock, *ast.FencedCodeBlock, *ast.HTMLBlock:
		p.verbatim(n, first, rest)
	case *ast.ThematicBreak:
		p.out.WriteString(first + strings.Repeat("─", max(3, p.columns-document.Width(first))) + "\n")
	case *extast.Table:
		for _, line := range strings.SplitAfter(document.BlockText(p.table(n), p.columns), "\n") {
			if line != "" {
				p.out.WriteString(rest + line)
			}
		}
	case *ast.Heading:
		p.out.WriteString(document.Wrap(p.inline(n), first, rest, p.columns))
		p.out.WriteString(rest + strings.Repeat("╌", min(p.columns, document.Width(p.inline(n)))) + "\n")
	default:
		p.out.WriteString(document.Wrap(p.inline(n), first, rest, p.columns))
	}
}

// verbatim writes the lines of a block of code as they are.
func (p *prosePrinter) verbatim(n ast.Node, first, rest string) {
	lines := n.Lines()
	for i := range lines.Len() {
		line := lines.At(i)
		text := strings.ReplaceAll(strings.TrimRight(string(line.Value(p.source)), "\n"), "\t", "    ")
		p.out.WriteString(strings.TrimRight(first+"    "+text, " ") + "\n")
		first = rest
	}
}

// table makes a table of prose a table of the document.
func (p *prosePrinter) table(n *extast.Table) document.Table {
	var t document.Table
	for row := n.FirstChild(); row != nil; row = row.NextSibling() {
		var cells []document.Cell
		for cell := row.FirstChild(); cell != nil; cell = cell.NextSibling() {
			text := p.inline(cell)
			if _, head := row.(*extast.TableHeader); head {
				right := cell.(*extast.TableCell).Alignment == extast.AlignRight
				t.Columns = append(t.Columns, document.Column{Name: text, Text: !right})
				continue
			}
			cells = append(cells, document.Cell{Text: text})
		}
		if len(cells) > 0 {
			t.Rows = append(t.Rows, cells)
		}
	}
	return t
}

// inline returns the words within n without their marks. A link has its
// destination behind it.
func (p *prosePrinter) inline(n ast.Node) string {
	var b strings.Builder
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch c := c.(type) {
		case *ast.Text:
			b.WriteString(unescape(string(c.Value(p.source))))
			if c.HardLineBreak() {
				b.WriteByte('\n')
			} else if c.SoftLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(c.Value)
		case *ast.CodeSpan:
			b.WriteString("`" + p.raw(c) + "`")
		case *ast.Link:
			words, to := p.inline(c), string(c.Destination)
			b.WriteString(words)
			if words != to && safeLink(to) && !strings.HasPrefix(to, "#") {
				b.WriteString(" (" + to + ")")
			}
		case *ast.AutoLink:
			b.Write(c.Label(p.source))
		case *ast.RawHTML:
			for i := range c.Segments.Len() {
				segment := c.Segments.At(i)
				b.Write(segment.Value(p.source))
			}
		default:
			b.WriteString(p.inline(c))
		}
	}
	return document.Visible(b.String())
}

// raw returns the text within n to the letter.
func (p *prosePrinter) raw(n ast.Node) string {
	var b strings.Builder
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if t, ok := c.(*ast.Text); ok {
			b.Write(t.Value(p.source))
		}
	}
	return strings.ReplaceAll(b.String(), "\n", " ")
}

// unescape resolves the escapes of Markdown that the parser leaves in text:
// entities, and backslashes before punctuation.
func unescape(s string) string {
	if !strings.ContainsAny(s, `&\`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' && i+1 < len(s) && strings.IndexByte("!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~", s[i+1]) >= 0 {
			i++
			b.WriteByte(s[i])
			continue
		}
		if s[i] == '&' {
			if end := strings.IndexByte(s[i:], ';'); end > 0 {
				if decoded := html.UnescapeString(s[i : i+end+1]); decoded != s[i:i+end+1] {
					b.WriteString(decoded)
					i += end
					continue
				}
			}
		}
		b.WriteByte(s[i])
	}
	return b.String()
}
