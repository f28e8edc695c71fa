package render

import (
	"bytes"
	"strings"

	"lapwright/stdlib/document"
)

// A Screen says what text is written for.
type Screen struct {
	Columns int  // width; document.TextColumns where 0
	Colour  bool // bold, dim and colours by the escapes of ECMA-48
}

func (s Screen) columns() int {
	if s.Columns <= 0 {
		return document.TextColumns
	}
	return min(max(s.Columns, 40), 100)
}

// The styles of a terminal: parameters of ECMA-48 (5th ed., 8.3.117, from memory).
const (
	bold   = "1"
	dim    = "2"
	red    = "1;31"
	green  = "32"
	yellow = "33"
)

// paint puts each line of s in a style, where there is colour.
func (s Screen) paint(style, text string) string {
	if !s.Colour || text == "" {
		return text
	}
	lines := strings.SplitAfter(text, "\n")
	for i, line := range lines {
		if words := strings.TrimSuffix(line, "\n"); words != "" {
			lines[i] = "\x1b[" + style + "m" + words + "\x1b[0m" + line[len(words):]
		}
	}
	return strings.Join(lines, "")
}

// Text renders a document as plain text, faults and all.
func Text(d *document.Document) ([]byte, error) {
	var screen Screen
	out := Terminal(d, screen)
	if faults := Faults(d, screen); faults != "" {
		out += "\n" + faults
	}
	return []byte(out), nil
}

// blockText is the plain text of each kind of block, as a screen shows it.
var blockText = map[string]func(s Screen, b document.Block) string{
	"text":    plainBlock,
	"printed": plainBlock,
	"table":   titledBlock,
	"plot":    titledBlock,
	"view":    titledBlock,
	"image":   titledBlock,
	"drawing": titledBlock,
	"card":    titledBlock,
	"result":  plainBlock,
	"expect": func(s Screen, b document.Block) string {
		style := green
		if !b.(document.Expect).Met {
			style = red
		}
		return s.paint(style, plainBlock(s, b))
	},
}

func plainBlock(s Screen, b document.Block) string { return document.BlockText(b, s.columns()) }

// titledBlock sets the first line, where it is a title, in bold.
func titledBlock(s Screen, b document.Block) string {
	text := plainBlock(s, b)
	title := ""
	switch b := b.(type) {
	case document.Table:
		title = b.Title
	case document.Plot:
		title = b.Title
	case document.View:
		title = b.Title
	case document.Image:
		title = b.Title
	case document.Drawing:
		title = b.Title
	case document.Card:
		title = b.Title
	}
	if title == "" {
		return text
	}
	first, rest, _ := strings.Cut(text, "\n")
	return s.paint(bold, first) + "\n" + rest
}

// Terminal renders a document for a screen. Of its faults it only says where the
// run stopped: Faults draws them.
func Terminal(d *document.Document, s Screen) string {
	var b bytes.Buffer
	columns := s.columns()
	part := func(text string) {
		if text = strings.TrimRight(text, "\n"); text == "" {
			return
		}
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(text + "\n")
	}
	part(s.paint(bold, underlined(d.Title, "═", columns)))
	part(proseText(d.Summary, columns))
	if len(d.Inputs) > 0 {
		part(titledBlock(s, inputsTable(d)))
	}
	for _, section := range d.Sections {
		if section.State == document.NotReached {
			continue
		}
		if section.Title != "" {
			part(s.paint(bold, underlined(section.Title, "─", columns)))
		}
		part(proseText(section.Prose, columns))
		part(s.paint(dim, s.code(section.Code)))
		for _, block := range section.Blocks {
			part(blockText[document.Kind(block)](s, block))
		}
		if section.State == document.Stopped && len(d.Faults) > 0 {
			part(s.paint(red, document.Wrap(d.Faults[0].Message, "Stopped here: ", "  ", columns)))
		}
	}
	if titles := notReached(d); len(titles) > 0 {
		part(s.paint(dim, document.Wrap(strings.Join(titles, "; "), "Not reached: ", "  ", columns)))
	}
	return b.String()
}

// underlined sets a heading with a rule under it.
func underlined(title, rule string, columns int) string {
	text := document.Wrap(document.Line(title), "", "", columns)
	width := 0
	for _, line := range strings.Split(text, "\n") {
		width = max(width, document.Width(line))
	}
	return text + strings.Repeat(rule, width) + "\n"
}

// code makes code harmless and puts a line before it. On a screen a line of code
// that is too wide goes on below; a file has it as it is.
func (s Screen) code(code string) string {
	if code == "" {
		return ""
	}
	var b strings.Builder
	for line := range strings.SplitSeq(strings.ReplaceAll(document.Visible(code), "\t", "    "), "\n") {
		lead := "  │ "
		for s.Columns > 0 {
			head, rest := cut(line, s.columns()-document.Width(lead))
			if rest == "" {
				break
			}
			b.WriteString(lead + head + "\n")
			lead, line = "  ┆     ", rest
		}
		b.WriteString(strings.TrimRight(lead+line, " ") + "\n")
	}
	return b.String()
}

// cut cuts a line of code that is wider than there is room: at its last space
// within the room or, where there is none but those it begins with, anywhere.
func cut(line string, room int) (head, rest string) {
	width, at, indent := 0, 0, true
	for i, c := range line {
		if width += document.Width(string(c)); width > room {
			if at == 0 {
				at = i
			}
			return strings.TrimRight(line[:at], " "), strings.TrimLeft(line[at:], " ")
		}
		if indent = indent && c == ' '; c == ' ' && !indent {
			at = i
		}
	}
	return line, ""
}
