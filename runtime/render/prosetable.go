package render

import (
	"bytes"

	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// The tables of prose are those of GitHub Flavored Markdown (its specification,
// "Tables (extension)"). goldmark's extension that reads them brings regular
// expressions for links that cost each start of the program three milliseconds.

// tables finds the table at the end of a paragraph.
type tables struct{}

// Transform makes tables a parser.ParagraphTransformer.
func (tables) Transform(p *ast.Paragraph, reader text.Reader, _ parser.Context) {
	lines, source := p.Lines(), reader.Source()
	for i := 1; i < lines.Len(); i++ {
		columns := delimiters(lines.At(i), source)
		if columns == nil {
			continue
		}
		head := cells(lines.At(i-1), source)
		if len(head) != len(columns) {
			continue
		}
		table := extast.NewTable()
		table.Alignments = columns
		table.AppendChild(table, extast.NewTableHeader(tableRow(head, columns)))
		for j := i + 1; j < lines.Len(); j++ {
			table.AppendChild(table, tableRow(cells(lines.At(j), source), columns))
		}
		p.Parent().InsertAfter(p.Parent(), p, table)
		lines.SetSliced(0, i-1)
		if i == 1 {
			p.Parent().RemoveChild(p.Parent(), p)
			return
		}
		last := lines.At(i - 2)
		lines.Set(i-2, last.TrimRightSpace(source))
		return
	}
}

// delimiters reads the row that makes a table of the row above it; nil where a line
// is none.
func delimiters(line text.Segment, source []byte) (columns []extast.Alignment) {
	if !bytes.ContainsAny(line.Value(source), "|:") {
		return nil // a rule, or the mark of a heading
	}
	for _, cell := range cells(line, source) {
		s := cell.Value(source)
		left, right := bytes.HasPrefix(s, []byte(":")), bytes.HasSuffix(s, []byte(":"))
		dashes := bytes.TrimSuffix(bytes.TrimPrefix(s, []byte(":")), []byte(":"))
		if len(dashes) == 0 || len(bytes.Trim(dashes, "-")) > 0 {
			return nil
		}
		align := extast.AlignNone
		switch {
		case left && right:
			align = extast.AlignCenter
		case left:
			align = extast.AlignLeft
		case right:
			align = extast.AlignRight
		}
		columns = append(columns, align)
	}
	return columns
}

// cells takes a row apart at its pipes, other than those behind a backslash. A pipe
// at either end of the row is only its edge.
func cells(line text.Segment, source []byte) (all []text.Segment) {
	row := line.TrimLeftSpace(source)
	row = row.TrimRightSpace(source)
	from := row.Start
	for i := row.Start; i < row.Stop; i++ {
		if source[i] != '|' || i > row.Start && source[i-1] == '\\' {
			continue
		}
		if i > row.Start {
			all = append(all, trimmed(from, i, source))
		}
		from = i + 1
	}
	if from < row.Stop {
		all = append(all, trimmed(from, row.Stop, source))
	}
	return all
}

func trimmed(from, to int, source []byte) text.Segment {
	s := text.NewSegment(from, to)
	s = s.TrimLeftSpace(source)
	return s.TrimRightSpace(source)
}

// tableRow makes a row as wide as the table: cells that lack are empty, and those
// beyond are left out.
func tableRow(cells []text.Segment, columns []extast.Alignment) *extast.TableRow {
	row := extast.NewTableRow(columns)
	for i, align := range columns {
		cell := extast.NewTableCell()
		cell.Alignment = align
		if i < len(cells) && cells[i].Len() > 0 {
			cell.Lines().Append(cells[i])
		}
		row.AppendChild(row, cell)
	}
	return row
}

// unescapePipes takes the backslash from before each pipe in the code spans of
// tables, where nothing else is an escape.
func unescapePipes(root ast.Node, source []byte) {
	_ = ast.Walk(root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if _, ok := n.(*ast.CodeSpan); !ok || !entering || !inCell(n) {
			return ast.WalkContinue, nil
		}
		for c := n.FirstChild(); c != nil; c = c.NextSibling() {
			t, ok := c.(*ast.Text)
			if !ok {
				continue
			}
			if at := bytes.Index(t.Segment.Value(source), []byte(`\|`)); at >= 0 {
				at += t.Segment.Start
				n.InsertAfter(n, t, ast.NewTextSegment(text.NewSegment(at+1, t.Segment.Stop)))
				t.Segment = t.Segment.WithStop(at)
			}
		}
		return ast.WalkSkipChildren, nil
	})
}

func inCell(n ast.Node) bool {
	for ; n != nil; n = n.Parent() {
		if _, ok := n.(*extast.TableCell); ok {
			return true
		}
	}
	return false
}

// RegisterFuncs makes tables a renderer of goldmark's.
func (tables) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(extast.KindTable, around("<table>\n", "</table>\n"))
	r.Register(extast.KindTableHeader, around("<thead>\n<tr>\n", "</tr>\n</thead>\n"))
	r.Register(extast.KindTableRow, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		_, first := n.PreviousSibling().(*extast.TableHeader)
		switch {
		case entering && first:
			_, _ = w.WriteString("<tbody>\n<tr>\n")
		case entering:
			_, _ = w.WriteString("<tr>\n")
		case n.NextSibling() == nil:
			_, _ = w.WriteString("</tr>\n</tbody>\n")
		default:
			_, _ = w.WriteString("</tr>\n")
		}
		return ast.WalkContinue, nil
	})
	r.Register(extast.KindTableCell, func(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if _, head := n.Parent().(*extast.TableHeader); head {
			return around("<th>", "</th>\n")(w, source, n, entering)
		}
		return around("<td>", "</td>\n")(w, source, n, entering)
	})
}

// around draws a node by what stands before and behind its children.
func around(before, behind string) renderer.NodeRendererFunc {
	return func(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
		s := behind
		if entering {
			s = before
		}
		_, _ = w.WriteString(s)
		return ast.WalkContinue, nil
	}
}
