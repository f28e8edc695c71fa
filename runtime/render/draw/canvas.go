package draw

import (
	"image"
	"image/color"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// A Canvas is what is drawn, apart from how it is put on a page: marks in the
// order in which they are made. Lengths are pixels at which words have their
// natural size; places are from the lower left corner.
type Canvas struct {
	Size  Size
	Marks []Mark
}

// A Mark is a path in an ink, or words. PaintOf says how the ink looks.
type Mark struct {
	Ink  string
	Path vg.Path

	Words string // "" for a path
	At    vg.Point
	Align Align // where At is of the words
}

// An Align says which part of some words stands at their place.
type Align int

// The alignments.
const (
	Left Align = iota
	Middle
	Right
)

// FontSize is the size of all words of a drawing.
const FontSize = 13

// An easel takes what gonum/plot and this package draw.
type easel struct {
	canvas Canvas
	ink    ink
}

func newEasel(size Size) *easel { return &easel{canvas: Canvas{Size: size}} }

// Size makes it a vg.CanvasSizer.
func (c *easel) Size() (w, h vg.Length) {
	return vg.Length(c.canvas.Size.Width), vg.Length(c.canvas.Size.Height)
}

// SetColor takes the ink of what is drawn next.
func (c *easel) SetColor(colour color.Color) { c.ink, _ = colour.(ink) }

// Stroke draws the outline of a path.
func (c *easel) Stroke(p vg.Path) {
	c.canvas.Marks = append(c.canvas.Marks, Mark{Ink: string(c.ink), Path: append(vg.Path(nil), p...)})
}

// Fill fills a path. That it is filled, its ink says.
func (c *easel) Fill(p vg.Path) { c.Stroke(p) }

// What the inks decide, and what no drawing of this package asks for.
func (c *easel) SetLineWidth(vg.Length)             {}
func (c *easel) SetLineDash([]vg.Length, vg.Length) {}
func (c *easel) Push()                              {}
func (c *easel) Pop()                               {}
func (c *easel) Rotate(float64)                     { panic("draw: nothing is turned") }
func (c *easel) Translate(vg.Point)                 { panic("draw: nothing is moved") }
func (c *easel) Scale(x, y float64)                 { panic("draw: nothing is scaled") }
func (c *easel) FillString(font.Face, vg.Point, string) {
	panic("draw: words are written by type words")
}
func (c *easel) DrawImage(r vg.Rectangle, _ image.Image) { panic("draw: no picture is drawn") }

// words writes text as text, anchored where gonum/plot wants its left, middle or
// right, so that it stands right in whatever fount the reader has.
type words struct{ out *easel }

// Cache makes words a text.Handler. It needs no founts.
func (words) Cache() *font.Cache { return nil }

// Extents returns the height of capitals and figures; what hangs below the line
// is not reckoned with.
func (words) Extents(f font.Font) font.Extents {
	return font.Extents{Ascent: capitals * f.Size, Height: capitals * f.Size}
}

// capitals is the height of capitals and figures over the size of a fount.
const capitals = 0.72

// Lines returns the text as one line.
func (words) Lines(s string) []string { return []string{s} }

// Box returns about the size that s takes.
func (w words) Box(s string, f font.Font) (width, height, depth vg.Length) {
	return w.width(s), capitals * f.Size, 0
}

func (words) width(s string) vg.Length { return vg.Length(textWidth(s)) }

// Draw writes s.
func (w words) Draw(_ vg.Canvas, s string, style text.Style, at vg.Point) {
	if s == "" {
		return
	}
	at.Y += capitals * style.Font.Size * vg.Length(style.YAlign)
	m := Mark{Words: s, At: at}
	if i, ok := style.Color.(ink); ok {
		m.Ink = string(i)
	}
	switch style.XAlign {
	case text.XCenter:
		m.Align = Middle
	case text.XRight:
		m.Align = Right
	}
	w.out.canvas.Marks = append(w.out.canvas.Marks, m)
}

// textWidth returns about the width of s in pixels, rather too much than too
// little: it is reckoned for a wide fount, the reader's not being known.
func textWidth(s string) float64 {
	ems := 0.0
	for _, c := range s {
		switch {
		case c == 'i' || c == 'j' || c == 'l' || c == '.' || c == ',' || c == ':' || c == ';' || c == '\'' || c == '|' || c == '!' || c == ' ' || c == '(' || c == ')' || c == 'f' || c == 't' || c == 'r':
			ems += 0.38
		case c == 'm' || c == 'w' || c == 'M' || c == 'W' || c == '%' || c == '\u2212' || c == '▲':
			ems += 0.9
		case c >= 0x1100: // letters of East Asia among others
			ems += 1
		case c >= 'A' && c <= 'Z':
			ems += 0.7
		default:
			ems += 0.62
		}
	}
	return ems * FontSize
}
