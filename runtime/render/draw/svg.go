package draw

import (
	"fmt"
	"html"
	"image"
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"

	"lapwright/stdlib/document"
)

// svg is a canvas that writes SVG. Colours are inks, which become classes;
// widths and dashes are left to the style sheet. Places are rounded to tenths.
type svg struct {
	size Size
	ink  ink
	body strings.Builder

	// Paths of one ink that follow one another are written as one.
	open    ink
	pending strings.Builder
}

func newSVG(size Size) *svg { return &svg{size: size} }

func (s *svg) element(class string) string {
	s.flush()
	return fmt.Sprintf("<svg class=\"pl %s\" viewBox=\"0 0 %v %v\">%s</svg>", class, s.size.Width, s.size.Height, s.body.String())
}

// Size makes it a vg.CanvasSizer.
func (s *svg) Size() (w, h vg.Length) { return vg.Length(s.size.Width), vg.Length(s.size.Height) }

// SetColor takes the ink of what is drawn next.
func (s *svg) SetColor(c color.Color) {
	s.ink, _ = c.(ink)
}

// Stroke draws the outline of a path.
func (s *svg) Stroke(p vg.Path) { s.path(p) }

// Fill fills a path. That it is filled, its class says.
func (s *svg) Fill(p vg.Path) { s.path(p) }

// What the style sheet decides, and what no drawing of this package asks for.
func (s *svg) SetLineWidth(vg.Length)                  {}
func (s *svg) SetLineDash([]vg.Length, vg.Length)      {}
func (s *svg) Push()                                   {}
func (s *svg) Pop()                                    {}
func (s *svg) Rotate(float64)                          { panic("draw: nothing is turned") }
func (s *svg) Translate(vg.Point)                      { panic("draw: nothing is moved") }
func (s *svg) Scale(x, y float64)                      { panic("draw: nothing is scaled") }
func (s *svg) FillString(font.Face, vg.Point, string)  { panic("draw: words are written by type words") }
func (s *svg) DrawImage(r vg.Rectangle, _ image.Image) { panic("draw: no picture is drawn") }

// path writes a path in steps relative to the point before.
func (s *svg) path(p vg.Path) {
	d := pen{height: s.size.Height}
	for _, c := range p {
		switch c.Type {
		case vg.MoveComp:
			d.command('M')
			d.to(c.Pos)
		case vg.LineComp:
			d.lineTo(c.Pos)
		case vg.ArcComp:
			d.arc(c)
		case vg.CloseComp:
			d.command('z')
		}
	}
	if s.ink != s.open {
		s.flush()
		s.open = s.ink
	}
	s.pending.WriteString(d.out.String())
}

// flush writes the paths that wait.
func (s *svg) flush() {
	if s.pending.Len() > 0 {
		fmt.Fprintf(&s.body, `<path class="%s" d="%s"/>`, s.open, s.pending.String())
		s.pending.Reset()
	}
}

// A pen writes the data of a path, in tenths of a pixel, y downwards.
type pen struct {
	height float64
	out    strings.Builder
	x, y   int // where it stands
	last   byte
	number bool // the last thing written was a number
	point  bool // and that number had a point
}

func (d *pen) command(c byte) {
	d.out.WriteByte(c)
	d.last, d.number = c, false
}

// at rounds a place.
func (d *pen) at(p vg.Point) (x, y int) {
	return tenths(float64(p.X)), tenths(d.height - float64(p.Y))
}

// tenths rounds to tenths. What lies absurdly far outside is brought nearer: its
// direction is lost, which no one can see.
func tenths(v float64) int {
	const far = 9999
	if !(v > -far) { // or is no number
		return -10 * far
	}
	return int(math.Round(min(v, far) * 10))
}

// to writes a place.
func (d *pen) to(p vg.Point) {
	d.x, d.y = d.at(p)
	d.value(d.x)
	d.value(d.y)
}

// lineTo writes a step to a place, unless it is the place where the pen stands.
func (d *pen) lineTo(p vg.Point) {
	x, y := d.at(p)
	dx, dy := x-d.x, y-d.y
	switch {
	case dx == 0 && dy == 0:
		return
	case dy == 0:
		d.command('h')
		d.value(dx)
	case dx == 0:
		d.command('v')
		d.value(dy)
	default:
		if d.last != 'l' {
			d.command('l')
		}
		d.value(dx)
		d.value(dy)
	}
	d.x, d.y = x, y
}

// arc writes an arc as pieces of no more than half a turn.
func (d *pen) arc(c vg.PathComp) {
	pieces := math.Ceil(math.Abs(c.Angle)/math.Pi - 1e-9)
	for i := 1.0; i <= pieces; i++ {
		angle := c.Start + c.Angle*i/pieces
		end := c.Pos.Add(vg.Point{X: c.Radius * vg.Length(math.Cos(angle)), Y: c.Radius * vg.Length(math.Sin(angle))})
		d.command('A')
		r := tenths(float64(c.Radius))
		d.value(r)
		d.value(r)
		sweep := 0
		if c.Angle < 0 {
			sweep = 10
		}
		d.value(0)
		d.value(0)
		d.value(sweep)
		d.to(end)
	}
}

// value writes a number of tenths as short as can be.
func (d *pen) value(v int) {
	// A sign begins a number, and so does a second point.
	if d.number && v >= 0 && !(d.point && v > 0 && v < 10) {
		d.out.WriteByte(' ')
	}
	if v < 0 {
		d.out.WriteByte('-')
		v = -v
	}
	d.point = v%10 != 0
	if v%10 == 0 {
		d.out.WriteString(strconv.Itoa(v / 10))
	} else {
		if v >= 10 {
			d.out.WriteString(strconv.Itoa(v / 10))
		}
		d.out.WriteByte('.')
		d.out.WriteByte(byte('0' + v%10))
	}
	d.number = true
}

// words writes text as text, anchored where gonum/plot wants its left, middle or
// right, so that it stands right in whatever fount the reader has.
type words struct{ out *svg }

// Cache makes words a text.Handler. It needs no founts.
func (words) Cache() *font.Cache { return nil }

// Extents returns the height of capitals and figures; what hangs below the line
// is not reckoned with.
func (words) Extents(f font.Font) font.Extents {
	return font.Extents{Ascent: 0.72 * f.Size, Height: 0.72 * f.Size}
}

// Lines returns the text as one line.
func (words) Lines(s string) []string { return []string{s} }

// Box returns about the size that s takes.
func (w words) Box(s string, f font.Font) (width, height, depth vg.Length) {
	return w.width(s), 0.72 * f.Size, 0
}

func (words) width(s string) vg.Length { return vg.Length(textWidth(s)) }

// Draw writes s.
func (w words) Draw(_ vg.Canvas, s string, style text.Style, at vg.Point) {
	at.Y += 0.72 * style.Font.Size * vg.Length(style.YAlign)
	anchor := ""
	switch style.XAlign {
	case text.XCenter:
		anchor = ` text-anchor="middle"`
	case text.XRight:
		anchor = ` text-anchor="end"`
	}
	w.out.flush()
	colour, _ := style.Color.(ink)
	var x, y pen
	x.value(tenths(float64(at.X)))
	y.value(tenths(w.out.size.Height - float64(at.Y)))
	fmt.Fprintf(&w.out.body, `<text class="%s" x="%s" y="%s"%s>%s</text>`,
		colour, x.out.String(), y.out.String(), anchor, html.EscapeString(s))
}

// textWidth returns about the width of s in pixels: founts of sans serif kind
// have letters of half their size, a little more in figures.
func textWidth(s string) float64 {
	return float64(document.Width(s)) * fontSize * 0.55
}
