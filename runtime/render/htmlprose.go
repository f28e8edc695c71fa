package render

import (
	"bytes"
	"html/template"
	"sync"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"
)

// proseHTML draws prose for a page. Its own headings begin at the given level.
// What the prose has of HTML is shown as text, a picture by its words, and a link
// only where it leads to the web or into the page.
func proseHTML(prose string, level int) template.HTML {
	root, source := parseProse(prose)
	levels(root, level)
	var out bytes.Buffer
	if err := proseRenderer().Render(&out, source, root); err != nil {
		// The only error of the renderer is that of its writer.
		panic(err)
	}
	return template.HTML(out.String())
}

// levels moves the headings of some prose so that they begin at a level and none
// skips one.
func levels(root ast.Node, level int) {
	last := level - 1
	_ = ast.Walk(root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if h, ok := n.(*ast.Heading); ok && entering {
			h.Level = min(level-1+h.Level, last+1, 6)
			h.Level = max(h.Level, level)
			last = h.Level
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
}

// proseRenderer is goldmark's own with our rules for what could lead out of the page.
var proseRenderer = sync.OnceValue(func() renderer.Renderer {
	r := markdown().Renderer()
	r.AddOptions(renderer.WithNodeRenderers(util.Prioritized(strict{}, 100)))
	return r
})

// strict draws the nodes of prose that are not to be taken as they come.
type strict struct{}

// RegisterFuncs makes strict a renderer of goldmark's.
func (strict) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(ast.KindLink, drawLink)
	r.Register(ast.KindAutoLink, drawAutoLink)
	r.Register(ast.KindImage, drawImage)
	r.Register(ast.KindRawHTML, drawRawHTML)
	r.Register(ast.KindHTMLBlock, drawHTMLBlock)
	r.Register(ast.KindCodeBlock, drawCode)
	r.Register(ast.KindFencedCodeBlock, drawCode)
}

func openLink(w util.BufWriter, to []byte) {
	_, _ = w.WriteString(`<a rel="noopener noreferrer" href="`)
	_, _ = w.Write(util.EscapeHTML(util.URLEscape(to, true)))
	_, _ = w.WriteString(`">`)
}

func drawLink(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	to := n.(*ast.Link).Destination
	switch {
	case !safeLink(string(to)):
	case entering:
		openLink(w, to)
	default:
		_, _ = w.WriteString("</a>")
	}
	return ast.WalkContinue, nil
}

func drawAutoLink(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*ast.AutoLink)
	to := n.URL(source)
	if n.AutoLinkType == ast.AutoLinkEmail && !bytes.HasPrefix(bytes.ToLower(to), []byte("mailto:")) {
		to = append([]byte("mailto:"), to...)
	}
	label := util.EscapeHTML(n.Label(source))
	if !safeLink(string(to)) {
		_, _ = w.Write(label)
		return ast.WalkContinue, nil
	}
	openLink(w, to)
	_, _ = w.Write(label)
	_, _ = w.WriteString("</a>")
	return ast.WalkContinue, nil
}

// drawImage shows the words that stand for a picture, in brackets.
func drawImage(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	mark := "[picture: "
	if !entering {
		mark = "]"
	}
	_, _ = w.WriteString(mark)
	return ast.WalkContinue, nil
}

func drawRawHTML(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		n := node.(*ast.RawHTML)
		for i := range n.Segments.Len() {
			segment := n.Segments.At(i)
			_, _ = w.Write(util.EscapeHTML(segment.Value(source)))
		}
	}
	return ast.WalkSkipChildren, nil
}

func drawHTMLBlock(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.HTMLBlock)
	if entering {
		_, _ = w.WriteString("<p>")
		for i := range n.Lines().Len() {
			line := n.Lines().At(i)
			_, _ = w.Write(util.EscapeHTML(line.Value(source)))
		}
		if n.HasClosure() {
			_, _ = w.Write(util.EscapeHTML(n.ClosureLine.Value(source)))
		}
		_, _ = w.WriteString("</p>\n")
	}
	return ast.WalkSkipChildren, nil
}

// drawCode shows a block of code that the keyboard can scroll.
func drawCode(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		_, _ = w.WriteString(`<pre tabindex="0"><code>`)
		for i := range n.Lines().Len() {
			line := n.Lines().At(i)
			html.DefaultWriter.RawWrite(w, line.Value(source))
		}
		_, _ = w.WriteString("</code></pre>\n")
	}
	return ast.WalkSkipChildren, nil
}
