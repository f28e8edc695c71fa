package document

import (
	"fmt"
	"io"
	"strings"
	"unicode"

	"github.com/rivo/uniseg"
)

// TextColumns is the width of plain text where nothing else is said.
const TextColumns = 80

// WriteText writes a block as plain text with an empty line after it. It is
// the form a compiled recipe prints and the plain renderer uses.
func WriteText(w io.Writer, b Block) {
	io.WriteString(w, BlockText(b, TextColumns)+"\n")
}

// BlockText returns a block as plain text, in lines that end in "\n". Words are
// wrapped to columns; tables and drawings keep to it where they can. Nothing in
// the result acts on a terminal; see Visible.
func BlockText(b Block, columns int) string {
	columns = max(columns, 40)
	write, ok := texts[b.block()]
	if !ok {
		return fmt.Sprintf("(no plain text for a block of kind %s)\n", b.block())
	}
	return write(Signed(b), columns)
}

// texts holds the plain text form of each kind of block.
var texts = map[string]func(b Block, columns int) string{
	"text":    func(b Block, columns int) string { return Wrap(b.(Text).Text, "", "", columns) },
	"printed": func(b Block, _ int) string { return ended(Visible(b.(Printed).Text)) },
	"table":   func(b Block, columns int) string { return tableText(b.(Table), columns) },
	"view":    func(b Block, columns int) string { return viewText(b.(View), columns) },
	"plot":    func(b Block, columns int) string { return plotText(b.(Plot), columns) },
	"image":   func(b Block, columns int) string { return imageText(b.(Image), columns) },
	"drawing": func(b Block, columns int) string { return drawingText(b.(Drawing), columns) },
	"card":    func(b Block, columns int) string { return cardText(b.(Card), columns) },
	"result":  func(b Block, columns int) string { return Wrap(b.(Result).Text, "", "", columns) },
	"expect":  func(b Block, columns int) string { return expectText(b.(Expect), columns) },
}

func expectText(e Expect, columns int) string {
	mark := "[met] "
	if !e.Met {
		mark = "[NOT MET] "
	}
	return Wrap(e.Text, mark, strings.Repeat(" ", len(mark)), columns)
}

// imageText says what each panel shows.
func imageText(m Image, columns int) string {
	var b strings.Builder
	if m.Title != "" {
		b.WriteString(Wrap(Line(m.Title), "", "", columns))
	}
	for _, p := range m.Panels {
		words := Line(p.Alt)
		if p.Name != "" {
			words = Line(p.Name) + ": " + words
		}
		b.WriteString(Wrap(words, "  ", "  ", columns))
	}
	for _, note := range m.Notes {
		b.WriteString(Wrap(note, "", "", columns))
	}
	return b.String()
}

// cardText frames the card with rules, so that it can be cut out.
func cardText(c Card, columns int) string {
	var b strings.Builder
	title := Line(c.Title)
	fmt.Fprintf(&b, "══ %s %s\n", title, strings.Repeat("═", max(2, columns-4-Width(title))))
	if len(c.Facts) > 0 {
		b.WriteByte('\n')
		b.WriteString(factsText(c.Facts, columns))
	}
	if len(c.Spells.Rows) > 0 || len(c.Spells.Columns) > 0 {
		b.WriteByte('\n')
		b.WriteString(tableText(c.Narrow(), columns))
	}
	if len(c.Steps) > 0 {
		b.WriteByte('\n')
		for i, step := range c.Steps {
			number := fmt.Sprintf("%2d. ", i+1)
			b.WriteString(Wrap(step, number, strings.Repeat(" ", len(number)), columns))
		}
	}
	if len(c.Warnings) > 0 {
		b.WriteString("\nWarnings\n")
		for _, warning := range c.Warnings {
			b.WriteString(Wrap(warning, " !  ", "    ", columns))
		}
	}
	if len(c.Cautions) > 0 {
		b.WriteString("\nCautions\n")
		for _, caution := range c.Cautions {
			b.WriteString(Wrap(caution, " -  ", "    ", columns))
		}
	}
	b.WriteString(strings.Repeat("═", columns) + "\n")
	return b.String()
}

func factsText(facts []Fact, columns int) string {
	names := 0
	for _, f := range facts {
		names = max(names, min(Width(Line(f.Name)), columns/3))
	}
	var b strings.Builder
	for _, f := range facts {
		b.WriteString(Wrap(f.Text, Pad(Line(f.Name), names)+"  ", strings.Repeat(" ", names+2), columns))
	}
	return b.String()
}

// Wrap returns the words of s in lines of at most columns where a word allows
// it. The first line begins with first, the others with rest. Line ends in s
// are kept.
func Wrap(s, first, rest string, columns int) string {
	var b strings.Builder
	lead := first
	for _, paragraph := range strings.Split(strings.TrimRight(Visible(s), "\n"), "\n") {
		line, width := lead, Width(lead)
		empty := true
		for _, word := range strings.FieldsFunc(paragraph, breakable) {
			w := Width(word)
			if !empty && width+1+w > columns {
				b.WriteString(strings.TrimRight(line, " ") + "\n")
				line, width, empty = rest, Width(rest), true
			}
			if !empty {
				line, width = line+" ", width+1
			}
			line, width, empty = line+word, width+w, false
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
		lead = rest
	}
	return b.String()
}

// breakable tells whether a line may be broken at a character: at spaces, but
// not at those made to hold a number and its unit together.
func breakable(c rune) bool {
	return unicode.IsSpace(c) && c != '\u00a0' && c != '\u202f'
}

// Width returns the number of columns a terminal gives s.
func Width(s string) int { return uniseg.StringWidth(s) }

// Pad fills s up to the width with spaces.
func Pad(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-Width(s)))
}

func padLeft(s string, width int) string {
	return strings.Repeat(" ", max(0, width-Width(s))) + s
}

func ended(s string) string {
	if s == "" || strings.HasSuffix(s, "\n") {
		return s
	}
	return s + "\n"
}
