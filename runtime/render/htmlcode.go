package render

import (
	"go/scanner"
	"go/token"
	"html/template"
	"strings"

	"lapwright/stdlib/document"
)

// codeHTML marks the keywords (b), comments (i) and texts (u) of Go for the style
// sheet.
func codeHTML(code string) template.HTML {
	src := []byte(document.Visible(code))
	file := token.NewFileSet().AddFile("", -1, len(src))
	var s scanner.Scanner
	s.Init(file, src, func(token.Position, string) {}, scanner.ScanComments)
	var b strings.Builder
	done := 0 // bytes written
	upTo := func(end int) {
		b.WriteString(escapeText.Replace(string(src[done:end])))
		done = end
	}
	for {
		pos, tok, lit := s.Scan()
		if tok == token.EOF {
			break
		}
		mark := ""
		switch {
		case tok.IsKeyword():
			mark = "b"
		case tok == token.COMMENT:
			mark = "i"
		case tok == token.STRING, tok == token.CHAR:
			mark = "u"
		}
		from := file.Offset(pos)
		if mark == "" || from < done {
			continue
		}
		upTo(from)
		b.WriteString("<" + mark + ">")
		upTo(min(from+len(lit), len(src)))
		b.WriteString("</" + mark + ">")
	}
	upTo(len(src))
	return template.HTML(b.String())
}

// escapeText makes words text of an element.
var escapeText = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")
