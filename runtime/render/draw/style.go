package draw

import (
	"fmt"
	"image/color"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"lapwright/stdlib/document"
)

// An ink is a colour by the name of its class. To gonum/plot it is black.
type ink string

// RGBA makes an ink a color.Color.
func (ink) RGBA() (r, g, b, a uint32) { return color.Black.RGBA() }

// The inks that are not those of curves.
const (
	inkAxis     ink = "ax"
	inkGrid     ink = "gr"
	inkZero     ink = "ze"
	inkLabel    ink = "lb"
	inkCaption  ink = "ca"
	inkMark     ink = "mk"
	inkMarkName ink = "mn"
	inkLap      ink = "la"
	inkZone     ink = "zo"
	inkGlass    ink = "gl" // the mirror from above
	inkHole     ink = "ho"
	inkFace     ink = "fa" // of a lap
	inkSwing    ink = "sw" // a lap at an end of its stroke
	inkWay      ink = "wy" // of its middle
	inkOver     ink = "ov" // what of it hangs over the rim
)

// line is a stroke of an ink. Its width and dash are in the style sheet; the
// width here only says that it is drawn.
func line(i ink) draw.LineStyle { return draw.LineStyle{Color: i, Width: 1} }

// A style is how a curve is drawn.
type style struct {
	line, band ink
	sign       shape
	variant    int
}

// A Paint is how an ink looks.
type Paint struct {
	Colour  string    // of the line or the words: the name of a custom property of the page; "" for no line
	Width   float64   // of the line, in pixels
	Dash    []float64 // empty for a whole line
	Fill    string    // as Colour; "" for none
	Opacity float64   // of the fill; 0 for a whole one
}

// A rule is what the style sheet says of the inks whose names hold a word. Later
// rules override what earlier ones say.
type rule struct {
	word  string
	paint Paint
	whole bool // no dash, though a rule before has one
}

// rules are in the order in which they are written to the style sheet.
var rules = func() []rule {
	all := []rule{
		{word: "ax", paint: Paint{Colour: "soft"}},
		{word: "zo", paint: Paint{Colour: "soft"}},
		{word: "gr", paint: Paint{Colour: "faint"}},
		{word: "ze", paint: Paint{Colour: "soft"}},
		{word: "lb", paint: Paint{Colour: "ink"}},
		{word: "mn", paint: Paint{Colour: "ink"}},
		{word: "ca", paint: Paint{Colour: "soft"}},
		{word: "mk", paint: Paint{Colour: "soft", Dash: []float64{2, 3}}},
		{word: "la", paint: Paint{Colour: "deep", Width: 1.6}},
		{word: "gl", paint: Paint{Colour: "ink", Width: 1.8, Fill: "faint", Opacity: 0.35}},
		{word: "ho", paint: Paint{Colour: "ink", Width: 1.4, Fill: "page"}},
		{word: "fa", paint: Paint{Colour: "deep", Width: 1.8, Fill: "deep", Opacity: 0.14}},
		{word: "ov", paint: Paint{Colour: "accent", Width: 1.4, Fill: "accent", Opacity: 0.4}},
		{word: "sw", paint: Paint{Colour: "deep", Dash: []float64{4, 3}}},
		{word: "wy", paint: Paint{Colour: "ink", Width: 1.6}},
	}
	for _, r := range looks {
		all = append(all, rule{word: r.class, paint: Paint{Colour: r.colour, Width: r.width, Dash: r.dashes[0]}})
		for i, dash := range r.dashes[1:] {
			all = append(all, rule{word: fmt.Sprint(r.class, i+1), paint: Paint{Dash: dash}})
		}
		all = append(all, rule{word: r.class + "b", paint: Paint{Fill: r.colour, Opacity: 0.16}})
	}
	return append(all, rule{word: "sg", paint: Paint{Width: 1.5, Fill: "page"}, whole: true})
}()

// A look is how the curves of a role are drawn: the colour, the width, and the
// dash. Variants of a role follow one another in dashes.
type look struct {
	class  string
	colour string
	width  float64
	dashes [][]float64
}

// looks are in the order in which they are written to the style sheet.
var looks = []struct {
	role document.Role
	look
}{
	{document.Before, look{"be", "ink", 1.8, [][]float64{{7, 4}, {2, 3}, {12, 3, 2, 3}}}},
	{document.After, look{"af", "accent", 2.6, [][]float64{nil, {9, 3}, {3, 3}}}},
	{document.Work, look{"wo", "deep", 2, [][]float64{nil, {9, 3}, {3, 3}}}},
	{document.Target, look{"ta", "soft", 1.4, [][]float64{{1, 4}, {4, 4}, {8, 4}}}},
	{document.Measured, look{"me", "ink", 1.4, [][]float64{nil}}},
	{document.Other, look{"ot", "ink", 1.6, [][]float64{nil, {5, 3}, {2, 2}}}},
}

// PaintOf says how an ink looks.
func PaintOf(ink string) Paint {
	p := Paint{Width: 1}
	for _, r := range rules {
		if !slices.Contains(strings.Fields(ink), r.word) {
			continue
		}
		if r.paint.Colour != "" {
			p.Colour = r.paint.Colour
		}
		if r.paint.Width > 0 {
			p.Width = r.paint.Width
		}
		if r.paint.Dash != nil || r.whole {
			p.Dash = r.paint.Dash
		}
		if r.paint.Fill != "" {
			p.Fill, p.Opacity = r.paint.Fill, r.paint.Opacity
		}
	}
	return p
}

// stylesOf gives each curve a style: that of its role, and for further curves of
// the same role the role's next dash and a sign along the line.
func stylesOf(curves []document.Curve) []style {
	seen := make(map[document.Role]int)
	styles := make([]style, len(curves))
	for i, c := range curves {
		role := c.Role
		l := looks[len(looks)-1].look
		found := false
		for _, r := range looks {
			if r.role == role {
				l, found = r.look, true
			}
		}
		if !found {
			role = document.Other
		}
		n := seen[role]
		seen[role]++
		s := style{line: ink(l.class), band: ink(l.class + "b"), variant: n}
		if d := n % len(l.dashes); d > 0 {
			s.line += ink(fmt.Sprintf(" %s%d", l.class, d))
		}
		if n > 0 || role == document.Measured {
			s.sign = shape(1 + n%int(shapes))
		}
		styles[i] = s
	}
	return styles
}

// Style returns the rules of the style sheet for drawings. They take their
// colours from the custom properties --ink, --soft, --faint, --accent, --deep
// and --page, which the page sets for its theme.
func Style() string {
	var b strings.Builder
	b.WriteString(`.pl{display:block;width:100%;height:auto;font:13px/1 system-ui,sans-serif}
.pl path{fill:none;stroke-width:1;stroke-linejoin:round}
.pl text{stroke:none;font-variant-numeric:tabular-nums}
`)
	for _, r := range rules {
		var says []string
		p := r.paint
		switch {
		case r.word == "lb" || r.word == "mn" || r.word == "ca":
			says = append(says, "fill:var(--"+p.Colour+")")
		case p.Colour != "":
			says = append(says, "stroke:var(--"+p.Colour+")")
		}
		if p.Width > 0 {
			says = append(says, fmt.Sprintf("stroke-width:%v", p.Width))
		}
		if p.Dash != nil {
			says = append(says, "stroke-dasharray:"+strings.Trim(fmt.Sprint(p.Dash), "[]"))
		} else if r.whole {
			says = append(says, "stroke-dasharray:none")
		}
		if p.Fill != "" {
			says = append(says, "fill:var(--"+p.Fill+")")
		}
		if p.Opacity > 0 {
			says = append(says, fmt.Sprintf("fill-opacity:%v", p.Opacity))
		}
		b.WriteString(".pl ." + r.word + "{" + strings.Join(says, ";") + "}\n")
	}
	return b.String()
}

// A shape is the form of a sign along a curve.
type shape int

const (
	noSign shape = iota
	dot
	square
	triangle
	diamond
	shapes = iota - 1
)

// A sign is a small closed shape on a curve.
type sign struct {
	ink
	shape
}

func (s sign) draw(c *draw.Canvas, at vg.Point) {
	c.SetColor(s.ink + " sg")
	var p vg.Path
	corner := func(points ...vg.Point) {
		for i, q := range points {
			q = q.Add(at)
			if i == 0 {
				p.Move(q)
			} else {
				p.Line(q)
			}
		}
		p.Close()
	}
	switch s.shape {
	case square:
		corner(vg.Point{X: -3, Y: -3}, vg.Point{X: 3, Y: -3}, vg.Point{X: 3, Y: 3}, vg.Point{X: -3, Y: 3})
	case triangle:
		corner(vg.Point{X: -3.8, Y: -3}, vg.Point{X: 3.8, Y: -3}, vg.Point{X: 0, Y: 4})
	case diamond:
		corner(vg.Point{X: -4, Y: 0}, vg.Point{X: 0, Y: -4}, vg.Point{X: 4, Y: 0}, vg.Point{X: 0, Y: 4})
	default:
		p.Move(at.Add(vg.Point{X: 3.2}))
		p.Arc(at, 3.2, 0, 6.283185307179586)
		p.Close()
	}
	c.Stroke(p)
}

// A key is the legend: a sample and a name for each curve, flowing over rows.
type key struct {
	items []keyItem
	rows  int
}

type keyItem struct {
	x     float64
	row   int
	name  string
	style style
	role  document.Role
	band  bool
}

const sample = 28 // length of a sample line

func newKey(curves []document.Curve, styles []style, width float64) key {
	var k key
	x := 0.0
	for i, c := range curves {
		name := c.Name
		banded := c.Role != document.Measured && len(c.Low) > 0
		if banded && c.Band != "" {
			name += " (" + c.Band + ")"
		}
		w := sample + 6 + textWidth(name) + 20
		if x > 0 && x+w-20 > width {
			x = 0
			k.rows++
		}
		k.items = append(k.items, keyItem{x, k.rows, name, styles[i], c.Role, banded})
		x += w
	}
	if len(curves) > 0 {
		k.rows++
	}
	return k
}

// newBandKey is the key of curves that have their names beside them: what their
// bands mean, each meaning once.
func newBandKey(curves []document.Curve, styles []style, width float64) key {
	var bands []document.Curve
	var of []style
	for i, c := range curves {
		if len(c.Low) > 0 && c.Band != "" && !slices.ContainsFunc(bands, func(b document.Curve) bool { return b.Name == c.Band }) {
			bands = append(bands, document.Curve{Name: c.Band, Role: c.Role, Low: c.Low})
			of = append(of, styles[i])
		}
	}
	return newKey(bands, of, width)
}

func (k key) height() float64 { return float64(k.rows) * (rowStep + 2) }

func (k key) draw(c *draw.Canvas, hand words) {
	for _, item := range k.items {
		x := vg.Length(item.x)
		y := c.Max.Y - vg.Length(item.row)*(rowStep+2) - 10
		if item.band {
			c.FillPolygon(item.style.band, []vg.Point{{X: x, Y: y - 6}, {X: x + sample, Y: y - 6}, {X: x + sample, Y: y + 6}, {X: x, Y: y + 6}})
		}
		if item.role == document.Measured {
			c.StrokeLine2(line(item.style.line), x+sample/2, y-7, x+sample/2, y+7)
		} else {
			c.StrokeLine2(line(item.style.line), x, y, x+sample, y)
		}
		if item.style.sign != noSign {
			sign{item.style.line, item.style.sign}.draw(c, vg.Point{X: x + sample/2, Y: y})
		}
		put(c, hand, inkLabel, 0, vg.Point{X: x + sample + 6, Y: y - FontSize*0.36}, item.name)
	}
}
