package paper

import (
	"strings"
	"unicode"

	"lapwright/stdlib/document"
)

// A Span is some text in one font, with where it leads: "" for nowhere, "#NAME"
// for an Anchor, otherwise an address of the web.
type Span struct {
	Text string
	Font
	Link string
}

// A fragment is text of one face in a line, at a distance from the line's start.
type fragment struct {
	Font
	text     string
	link     string
	x, width float64
}

// A word is fragments that a line is not broken within. The space before it, where
// it does not begin a line, has the width of space in the font of the span it
// stood in.
type word struct {
	parts []fragment
	width float64
	space float64
	end   bool // the line ends after it
}

// words cuts spans into words.
func (f *Flow) words(spans []Span) []word {
	var all []word
	var w word
	space := 0.0
	flush := func() {
		if len(w.parts) > 0 {
			all = append(all, w)
		}
		w = word{space: space}
	}
	for _, s := range spans {
		s.Size *= f.scale
		text := unseen.Replace(document.Visible(s.Text))
		for text != "" {
			at := strings.IndexFunc(text, breakable)
			piece := text
			if at >= 0 {
				piece = text[:at]
			}
			for _, part := range s.stretches(piece, f.missing) {
				fr := fragment{Font: Font{part.face, s.Size, s.Colour}, text: part.text, link: s.Link, x: w.width}
				fr.width = fr.Font.width(part.text)
				w.parts = append(w.parts, fr)
				w.width += fr.width
			}
			if at < 0 {
				break
			}
			space = s.Font.width(" ")
			newline := text[at] == '\n'
			flush()
			if n := len(all); newline && n > 0 {
				all[n-1].end = true
			}
			text = strings.TrimLeft(text[at:], " \t\n")
		}
	}
	flush()
	return all
}

// breakable tells whether a line may be broken at a character.
func breakable(c rune) bool {
	return unicode.IsSpace(c) && c != '\u00a0' && c != '\u202f' && c != '\u2007'
}

// A line is fragments side by side.
type line struct {
	parts []fragment
	width float64
}

// lines sets words in lines of a width. A word too wide for a line is cut.
func (f *Flow) lines(spans []Span, width float64) []line {
	var all []line
	var l line
	flush := func() {
		if len(l.parts) > 0 {
			all = append(all, l)
		}
		l = line{}
	}
	for _, w := range f.words(spans) {
		if len(l.parts) > 0 && l.width+w.space+w.width > width {
			flush()
		}
		if w.width > width {
			for _, part := range w.parts {
				for _, c := range part.text {
					cut := part
					cut.text = string(c)
					cut.width = part.Font.width(cut.text)
					if len(l.parts) > 0 && l.width+cut.width > width {
						flush()
					}
					l.add(cut, 0)
				}
			}
		} else {
			space := w.space
			if len(l.parts) == 0 {
				space = 0
			}
			for i, part := range w.parts {
				if i > 0 {
					space = 0
				}
				l.add(part, space)
			}
		}
		if w.end {
			flush()
		}
	}
	flush()
	return all
}

// add puts a fragment at the end of the line. Fragments alike become one, so that
// the text can be taken out of the PDF as it reads.
func (l *line) add(part fragment, space float64) {
	if n := len(l.parts); n > 0 {
		last := &l.parts[n-1]
		gap := ""
		if space > 0 {
			gap = " "
		}
		if last.Font == part.Font && last.link == part.link {
			last.text += gap + part.text
			last.width += space + part.width
			l.width += space + part.width
			return
		}
		if space > 0 {
			last.text += gap
		}
	}
	l.width += space
	part.x = l.width
	l.parts = append(l.parts, part)
	l.width += part.width
}
