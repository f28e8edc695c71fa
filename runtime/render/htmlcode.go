package render

import (
	"go/scanner"
	"go/token"
	"html"
	"html/template"
	"strings"

	"lapwright/stdlib/document"
)

// codeHTML marks the keywords, comments and literals of Go for the style sheet.
func codeHTML(code string) template.HTML {
	src := []byte(document.Visible(code))
	file := token.NewFileSet().AddFile("", -1, len(src))
	var s scanner.Scanner
	s.Init(file, src, func(token.Position, string) {}, scanner.ScanComments)
	var b strings.Builder
	done := 0 // bytes written
	upTo := func(end int) {
		b.WriteString(html.EscapeString(string(src[done:end])))
		done = end
	}
	for {
		pos, tok, lit := s.Scan()
		if tok == token.EOF {
			break
		}
		class := ""
		switch {
		case tok.IsKeyword():
			class = "k"
		case tok == token.COMMENT:
			class = "c"
		case tok == token.STRING, tok == token.CHAR:
			class = "s"
		}
		from := file.Offset(pos)
		if class == "" || from < done {
			continue
		}
		upTo(from)
		b.WriteString(`<span class="` + class + `">`)
		upTo(min(from+len(lit), len(src)))
		b.WriteString("</span>")
	}
	upTo(len(src))
	return template.HTML(b.String())
}
