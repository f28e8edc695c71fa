package paper

import (
	"lapwright/stdlib/document"
)

// Code sets lines of code or of printed text to the letter. Tabs are four columns
// wide; a line too long goes on below, further in. With a ground they stand on a
// wash of colour.
func (f *Flow) Code(lines [][]Span, ground bool) {
	const pad = 7
	first := len(f.rows)
	set := func() {
		for _, spans := range lines {
			f.codeLine(spans)
		}
	}
	if !ground {
		set()
		return
	}
	f.Indent(pad, func() { f.width -= pad * f.scale; set(); f.width += pad * f.scale })
	if len(f.rows) == first {
		return
	}
	// Air above the first line and below the last.
	air := 4 * f.scale
	for i := range f.rows[first].marks {
		f.rows[first].marks[i] = shifted{f.rows[first].marks[i], air}
	}
	f.rows[first].height += air
	f.rows[len(f.rows)-1].height += air
	f.stripe(first, strip{x: f.left, width: f.width, colour: Wash})
	f.rows[first].keep = true
	f.rows[max(first, len(f.rows)-2)].keep = true
	f.rows[len(f.rows)-1].keep = false
}

// A glyph is a character in its font.
type glyph struct {
	Font
	text  string
	width float64
}

// codeLine sets one line of code.
func (f *Flow) codeLine(spans []Span) {
	var glyphs []glyph
	size, wide := 0.0, 0.0
	for _, s := range spans {
		s.Size *= f.scale
		size, wide = s.Size, s.Font.width(" ")
		for _, c := range unseen.Replace(document.Visible(s.Text)) {
			if c == '\t' || c == '\n' {
				for range 4 - len(glyphs)%4 {
					glyphs = append(glyphs, glyph{s.Font, " ", wide})
				}
				continue
			}
			for _, part := range s.stretches(string(c), f.missing) {
				font := Font{part.face, s.Size, s.Colour}
				glyphs = append(glyphs, glyph{font, part.text, font.width(part.text)})
			}
		}
	}
	if len(glyphs) == 0 {
		f.add(row{height: max(size, 8*f.scale) * leading})
		return
	}
	indent := 0
	for indent < len(glyphs) && glyphs[indent].text == " " {
		indent++
	}
	further := min(float64(indent+4)*wide, f.width/3)
	for by := 0.0; len(glyphs) > 0; by = further {
		n, width, space := 0, by, 0
		for n < len(glyphs) && width+glyphs[n].width <= f.width+slack {
			width += glyphs[n].width
			if n++; n > indent && n < len(glyphs) && glyphs[n].text == " " {
				space = n
			}
		}
		n = max(n, 1)
		if n < len(glyphs) && space > 0 {
			n = space
		}
		var l line
		for _, g := range glyphs[:n] {
			l.add(fragment{Font: g.Font, text: g.text, width: g.width}, 0)
		}
		f.add(f.lineRow(l, by))
		glyphs, indent = glyphs[n:], 0
		for len(glyphs) > 0 && glyphs[0].text == " " {
			glyphs = glyphs[1:]
		}
	}
}
