package render

import (
	"fmt"
	"go/token"
	"strings"
	"unicode/utf8"

	"lapwright/stdlib/document"
)

// Faults draws the faults of a document as text, an empty line between them: each
// with its place and message, the line it lies in with a mark under what is
// meant, and what else is known. It returns "" where there are none.
func Faults(d *document.Document, s Screen) string {
	var drawn []string
	for _, f := range d.Faults {
		drawn = append(drawn, Fault(f, s))
	}
	if d.More > 0 {
		drawn = append(drawn, fmt.Sprintf("and %d more\n", d.More))
	}
	return strings.Join(drawn, "\n")
}

// Fault draws one fault as text.
func Fault(f document.Fault, s Screen) string {
	var b strings.Builder
	columns := s.columns()
	message := document.Line(f.Message)
	if f.Kind == document.EngineFault {
		message = "engine fault: " + message
	}
	// In one line however long, so that programs that read errors find it whole.
	b.WriteString(s.paint(red, placed(f.Position)+message) + "\n")
	b.WriteString(excerpt(f.Position, f.Excerpt, f.Width, s))
	line := func(name, text string) {
		if text != "" {
			b.WriteString(document.Wrap(document.Line(text), "  "+name+": ", "    ", columns))
		}
	}
	line("hint", f.Hint)
	line("section", f.Section)
	for _, v := range f.Values {
		line("here", v.Name+" = "+v.Text)
	}
	for _, frame := range calls(f) {
		if frame.Position.IsValid() {
			frame.Function += ", " + position(frame.Position)
		}
		line("in", frame.Function)
	}
	for _, n := range f.Notes {
		b.WriteString(document.Wrap(placed(n.Position)+noteText(f, n), "  note: ", "    ", columns))
		b.WriteString(excerpt(n.Position, n.Excerpt, n.Width, s))
	}
	return b.String()
}

// calls returns the trace of a fault where it says more than the fault's place: a
// call within main.
func calls(f document.Fault) []document.Frame {
	if len(f.Trace) == 1 && f.Trace[0].Position.Line == f.Position.Line {
		return nil
	}
	return f.Trace
}

// noteText returns what a note says that its fault does not say already.
func noteText(f document.Fault, n document.Note) string {
	if strings.Contains(f.Message, n.Message) {
		return "here"
	}
	return document.Line(n.Message)
}

// OneLine returns a fault in one line, as an error prints.
func OneLine(f document.Fault) string { return placed(f.Position) + document.Line(f.Message) }

// placed is a position as it stands before a message; "" where there is none.
func placed(p token.Position) string {
	if p.Filename == "" && p.Line == 0 {
		return ""
	}
	return position(p) + ": "
}

func position(p token.Position) string { return document.Line(p.String()) }

// A quoted line is an excerpt cut to a width, and the columns of it that are meant.
type quoted struct {
	text       string
	from, wide int // in columns of a terminal
}

// quote expands the tabs of an excerpt, makes it harmless, and cuts out of a long
// line the stretch about the place. Column and width count bytes, from 1.
func quote(text string, column, width, columns int) quoted {
	const before = 20 // columns kept ahead of the place
	from := clampToRune(text, column-1)
	to := clampToRune(text, from+max(width, 1))
	if to == from && from < len(text) {
		_, size := utf8.DecodeRuneInString(text[from:])
		to = from + size
	}
	expand := func(s string) string {
		return strings.ReplaceAll(document.Line(strings.ReplaceAll(s, "\t", "    ")), "\n", " ")
	}
	head, meant, tail := expand(text[:from]), expand(text[from:to]), expand(text[to:])
	if document.Width(head)+document.Width(meant)+document.Width(tail) > columns {
		head, _ = cutLeft(head, before)
		meant = cutRight(meant, max(1, columns-document.Width(head)))
		tail = cutRight(tail, max(0, columns-document.Width(head)-document.Width(meant)))
	}
	return quoted{strings.TrimRight(head+meant+tail, " "), document.Width(head), max(1, document.Width(meant))}
}

// clampToRune moves an offset into s to where a character begins.
func clampToRune(s string, at int) int {
	at = min(max(at, 0), len(s))
	for at > 0 && at < len(s) && !utf8.RuneStart(s[at]) {
		at--
	}
	return at
}

// cutLeft keeps the last columns of s, with a sign of what is missing.
func cutLeft(s string, columns int) (string, bool) {
	if document.Width(s) <= columns {
		return s, false
	}
	runes := []rune(s)
	for len(runes) > 0 && document.Width(string(runes)) > columns-1 {
		runes = runes[1:]
	}
	return "…" + string(runes), true
}

// cutRight keeps the first columns of s, with a sign of what is missing.
func cutRight(s string, columns int) string {
	if document.Width(s) <= columns {
		return s
	}
	runes := []rune(s)
	for len(runes) > 0 && document.Width(string(runes)) > columns-1 {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}

// excerpt draws a line of a file with its number, and a mark under a part of it.
func excerpt(p token.Position, text string, width int, s Screen) string {
	if strings.TrimSpace(text) == "" || p.Line == 0 {
		return ""
	}
	number := fmt.Sprintf("%5d", p.Line)
	q := quote(text, max(p.Column, 1), width, s.columns()-len(number)-3)
	blank := strings.Repeat(" ", len(number))
	out := s.paint(dim, number+" │ ") + q.text + "\n"
	if p.Column > 0 {
		out += s.paint(dim, blank+" │ ") + strings.Repeat(" ", q.from) + s.paint(red, strings.Repeat("^", q.wide)) + "\n"
	}
	return out
}
