package render

import (
	"go/scanner"
	"go/token"
	"html/template"
	"strings"

	"lapwright/stdlib/document"
)

// A codePiece is a stretch of Go: a keyword (b), a comment (i), a text (u), or what
// stands between them ("").
type codePiece struct{ mark, text string }

// codePieces cuts Go into its pieces.
func codePieces(code string) []codePiece {
	src := []byte(document.Visible(code))
	file := token.NewFileSet().AddFile("", -1, len(src))
	var s scanner.Scanner
	s.Init(file, src, func(token.Position, string) {}, scanner.ScanComments)
	var all []codePiece
	done := 0 // bytes taken
	upTo := func(mark string, end int) {
		if end > done {
			all = append(all, codePiece{mark, string(src[done:end])})
			done = end
		}
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
		if from := file.Offset(pos); mark != "" && from >= done {
			upTo("", from)
			upTo(mark, min(from+len(lit), len(src)))
		}
	}
	upTo("", len(src))
	return all
}

// codeHTML marks the pieces of Go for the style sheet.
func codeHTML(code string) template.HTML {
	var b strings.Builder
	for _, p := range codePieces(code) {
		if text := escapeText.Replace(p.text); p.mark == "" {
			b.WriteString(text)
		} else {
			b.WriteString("<" + p.mark + ">" + text + "</" + p.mark + ">")
		}
	}
	return template.HTML(b.String())
}

// escapeText makes words text of an element.
var escapeText = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")
