package draw

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
)

// SVG writes a drawing as one svg element of the given classes. The element has
// no name and no description of its own: the page gives them. Widths, dashes and
// colours are left to the style sheet; places are rounded to tenths.
func (d Canvas) SVG(class string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "<svg class=\"pl %s\" viewBox=\"0 0 %v %v\">", class, d.Size.Width, d.Size.Height)
	for i := 0; i < len(d.Marks); i++ {
		m := d.Marks[i]
		if m.Words != "" {
			b.WriteString(wordsSVG(m, d.Size.Height))
			continue
		}
		// Paths of one ink that follow one another are written as one.
		fmt.Fprintf(&b, `<path class="%s" d="`, m.Ink)
		for ; i < len(d.Marks) && d.Marks[i].Words == "" && d.Marks[i].Ink == m.Ink; i++ {
			b.WriteString(pathSVG(d.Marks[i].Path, d.Size.Height))
		}
		i--
		b.WriteString(`"/>`)
	}
	b.WriteString("</svg>")
	return b.String()
}

func wordsSVG(m Mark, height float64) string {
	anchor := ""
	switch m.Align {
	case Middle:
		anchor = ` text-anchor="middle"`
	case Right:
		anchor = ` text-anchor="end"`
	}
	var x, y pen
	x.value(tenths(float64(m.At.X)))
	y.value(tenths(height - float64(m.At.Y)))
	return fmt.Sprintf(`<text class="%s" x="%s" y="%s"%s>%s</text>`, m.Ink, x.out.String(), y.out.String(), anchor, html.EscapeString(m.Words))
}

// pathSVG writes a path in steps relative to the point before.
func pathSVG(p vg.Path, height float64) string {
	d := pen{height: height}
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
	return d.out.String()
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
