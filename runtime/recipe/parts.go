package recipe

import (
	"bytes"
	"go/ast"
	"go/token"
	"sort"
	"strings"
)

// readTitle takes title and summary from the first comment before the package
// clause that opens with "# ". Without one, the package's doc comment is the
// summary.
func (r *Recipe) readTitle() {
	for _, group := range r.File.Comments {
		if group.Pos() > r.File.Package {
			break
		}
		if title, rest, ok := heading(group, "# "); ok {
			r.Title, r.Summary = title, rest
			return
		}
	}
	if r.File.Doc != nil {
		r.Summary = strings.TrimSpace(text(r.File.Doc))
	}
}

// heading splits a comment that opens with mark into the words behind the mark
// and the text below that line.
func heading(group *ast.CommentGroup, mark string) (title, rest string, ok bool) {
	first, rest, _ := strings.Cut(text(group), "\n")
	title, ok = strings.CutPrefix(first, mark)
	title = strings.TrimSpace(title)
	if title == "" {
		return "", "", false
	}
	return title, strings.Trim(rest, "\n"), ok
}

// text returns what a comment says, as its Text method does, with the indent of
// a /* comment */ taken off.
func text(group *ast.CommentGroup) string {
	plain := &ast.CommentGroup{List: make([]*ast.Comment, len(group.List))}
	for i, c := range group.List {
		plain.List[i] = c
		if strings.HasPrefix(c.Text, "/*") {
			plain.List[i] = &ast.Comment{Slash: c.Slash, Text: dedent(c.Text)}
		}
	}
	return plain.Text()
}

// dedent takes the longest run of tabs and spaces that begins every line but the
// first off those lines.
func dedent(s string) string {
	lines := strings.Split(s, "\n")
	indent, found := "", false
	for _, line := range lines[1:] {
		content := strings.TrimLeft(line, " \t")
		if content == "" || content == "*/" {
			continue
		}
		lead := line[:len(line)-len(content)]
		if !found {
			indent, found = lead, true
		}
		for !strings.HasPrefix(lead, indent) {
			indent = indent[:len(indent)-1]
		}
	}
	for i, line := range lines[1:] {
		lines[i+1] = strings.TrimPrefix(line, indent)
	}
	return strings.Join(lines, "\n")
}

// readParts cuts the file into its parts.
func (r *Recipe) readParts() {
	raw := r.rawLines()
	var run []ast.Decl // declarations not yet made a part
	flush := func() {
		if len(run) > 0 {
			from, to := start(run[0]), run[len(run)-1].End()
			code, line := r.cut(from, r.trailing(to), 0, raw)
			r.Parts = append(r.Parts, Part{Code: code, Line: line, From: from, To: to})
			run = nil
		}
	}
	mainSeen := false
	for _, decl := range r.File.Decls {
		if d, ok := decl.(*ast.GenDecl); ok && d.Tok == token.IMPORT {
			continue
		}
		f, ok := decl.(*ast.FuncDecl)
		if !ok || mainSeen || f.Recv != nil || f.Name.Name != "main" || f.Body == nil {
			run = append(run, decl)
			continue
		}
		mainSeen = true
		flush()
		r.readMain(f.Body, raw)
	}
	flush()
}

// start is where a declaration begins, its doc comment included.
func start(decl ast.Decl) token.Pos {
	var doc *ast.CommentGroup
	switch d := decl.(type) {
	case *ast.FuncDecl:
		doc = d.Doc
	case *ast.GenDecl:
		doc = d.Doc
	}
	if doc != nil {
		return doc.Pos()
	}
	return decl.Pos()
}

// trailing extends pos over a comment that follows it on the same line.
func (r *Recipe) trailing(pos token.Pos) token.Pos {
	line := r.line(pos)
	for _, group := range r.File.Comments {
		if group.Pos() >= pos && r.line(group.Pos()) == line {
			return group.End()
		}
	}
	return pos
}

// readMain cuts the statements of main into parts at the sections' comments.
func (r *Recipe) readMain(body *ast.BlockStmt, raw map[int]bool) {
	part := Part{Main: true, From: body.Lbrace + 1, Line: r.line(body.Lbrace)}
	untitled := true
	rest := body.List
	end := func(to token.Pos) {
		part.To = to
		for ; len(rest) > 0 && rest[0].Pos() < to; rest = rest[1:] {
			part.Statements++
		}
		var line int
		part.Code, line = r.cut(part.From, to, 1, raw)
		if untitled {
			part.Line = line
		}
		if !untitled || part.Code != "" {
			r.Parts = append(r.Parts, part)
		}
	}
	for _, group := range r.File.Comments {
		if group.Pos() < body.Lbrace || group.End() > body.Rbrace || inStatement(body, group) || !r.alone(group) {
			continue
		}
		title, prose, ok := heading(group, "## ")
		if !ok {
			continue
		}
		end(group.Pos())
		untitled = false
		part = Part{Main: true, Title: title, Prose: prose, From: group.End(), Line: r.line(group.Pos())}
	}
	end(body.Rbrace)
}

// inStatement tells whether the comment lies within a statement of the block.
func inStatement(body *ast.BlockStmt, group *ast.CommentGroup) bool {
	after := sort.Search(len(body.List), func(i int) bool { return body.List[i].Pos() > group.Pos() })
	return after > 0 && group.Pos() < body.List[after-1].End()
}

// alone tells whether nothing else stands on the lines of the comment.
func (r *Recipe) alone(group *ast.CommentGroup) bool {
	from, to := r.offset(group.Pos()), r.offset(group.End())
	before := r.Source[1+bytes.LastIndexByte(r.Source[:from], '\n') : from]
	after, _, _ := bytes.Cut(r.Source[to:], []byte("\n"))
	return len(bytes.TrimSpace(before)) == 0 && len(bytes.TrimSpace(after)) == 0
}

// cut returns the source in [from,to) as it is shown: without the empty lines
// about it, without `indent` tabs before each line, and the line it begins on.
// Lines that begin within a raw string keep what stands before them.
func (r *Recipe) cut(from, to token.Pos, indent int, raw map[int]bool) (code string, line int) {
	text := string(r.Source[r.offset(from):r.offset(to)])
	line = r.line(from)
	lines := strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
	for len(lines) > 0 && strings.TrimSpace(lines[0]) == "" {
		lines = lines[1:]
		line++
	}
	for i := range lines {
		if raw[line+i] {
			continue
		}
		for range indent {
			lines[i] = strings.TrimPrefix(lines[i], "\t")
		}
		lines[i] = strings.TrimRight(lines[i], " \t")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), " \t\n"), line
}

// rawLines returns the lines that begin within a raw string.
func (r *Recipe) rawLines() map[int]bool {
	raw := make(map[int]bool)
	ast.Inspect(r.File, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING && lit.Value[0] == '`' {
			for l := r.line(lit.Pos()) + 1; l <= r.line(lit.End()); l++ {
				raw[l] = true
			}
		}
		return true
	})
	return raw
}

// line is the line of pos in the file, whatever a line directive says.
func (r *Recipe) line(pos token.Pos) int { return r.Fset.PositionFor(pos, false).Line }
