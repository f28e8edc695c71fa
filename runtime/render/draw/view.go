package draw

import (
	"math"
	"strings"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"lapwright/stdlib/document"
)

// View draws v: the mirror, the laps on it, and what is said of each beside or, on
// a narrow page, below. The drawing is as wide as size; its height is what it needs.
func View(v document.View, size Size) Canvas {
	reach := v.Reach()
	if !(reach > 0) || math.IsInf(reach, 0) {
		return Canvas{Size: Size{size.Width, rowStep}}
	}
	across := math.Min(size.Width, size.Height) // of the square that the mirror is drawn in
	beside := size.Width - across - 24
	const key = 250 // width that the list needs
	listed := beside
	if beside < key {
		across, listed = size.Width, size.Width
	}
	var rows [][]string
	lines := 0
	for _, l := range v.Laps {
		rows = append(rows, wrap(document.Line(l.Text), listed-keyIndent))
		lines += len(rows[len(rows)-1])
	}
	listHeight := float64(lines)*rowStep + float64(len(rows))*listGap
	const scaleRow = 30
	height := across + scaleRow
	if beside < key {
		height += listHeight
	} else {
		height = math.Max(height, listHeight)
	}

	out := newEasel(Size{size.Width, height})
	whole := draw.NewCanvas(out, vg.Length(size.Width), vg.Length(height))
	b := bench{
		c: &whole, hand: words{out},
		middle: vg.Point{X: vg.Length(across / 2), Y: vg.Length(height - across/2)},
		scale:  (across/2 - 2) / reach,
	}
	b.mirror(v)
	for _, l := range v.Laps {
		b.lap(l, v.Clear)
	}
	for _, l := range v.Laps {
		b.name(l)
	}
	b.bar(v, vg.Length(height-across-16))

	x, y := vg.Length(across+24), vg.Length(height)
	if beside < key {
		x, y = 0, vg.Length(height-across-scaleRow)
	}
	for i, row := range rows {
		y -= listGap
		for j, line := range row {
			y -= rowStep
			if j == 0 {
				put(&whole, b.hand, inkMarkName, text.XLeft, vg.Point{X: x, Y: y + 5}, v.Laps[i].Name)
			}
			put(&whole, b.hand, inkLabel, text.XLeft, vg.Point{X: x + keyIndent, Y: y + 5}, line)
		}
	}
	return out.canvas
}

const (
	keyIndent = 22 // of what is said of a lap, from its name
	listGap   = 4  // between what is said of one lap and of the next
)

// wrap breaks words into lines of a width.
func wrap(s string, width float64) []string {
	var lines []string
	now := ""
	for _, word := range strings.Fields(s) {
		if now != "" && textWidth(now+" "+word) > width {
			lines = append(lines, now)
			now = ""
		}
		if now != "" {
			now += " "
		}
		now += word
	}
	return append(lines, now)
}

// A bench is where laps are drawn on a mirror.
type bench struct {
	c      *draw.Canvas
	hand   words
	middle vg.Point
	scale  float64 // pixels to the unit
}

func (b bench) at(x, y float64) vg.Point {
	return vg.Point{X: b.middle.X + vg.Length(x*b.scale), Y: b.middle.Y + vg.Length(y*b.scale)}
}

func (b bench) circle(i ink, x, y, radius float64) {
	b.c.SetColor(i)
	b.c.Stroke(b.round(nil, x, y, radius))
}

// round adds a circle to a path.
func (b bench) round(p vg.Path, x, y, radius float64) vg.Path {
	r := vg.Length(radius * b.scale)
	p.Move(b.at(x, y).Add(vg.Point{X: r}))
	p.Arc(b.at(x, y), r, 0, 2*math.Pi)
	p.Close()
	return p
}

func (b bench) mirror(v document.View) {
	b.circle(inkGlass, 0, 0, v.Radius)
	if v.Clear < v.Radius {
		b.circle(inkAxis, 0, 0, v.Clear)
	}
	if v.Hole > 0 {
		b.circle(inkHole, 0, 0, v.Hole)
	}
	// The middle.
	const arm = 5
	b.c.StrokeLine2(line(inkAxis), b.middle.X-arm, b.middle.Y, b.middle.X+arm, b.middle.Y)
	b.c.StrokeLine2(line(inkAxis), b.middle.X, b.middle.Y-arm, b.middle.X, b.middle.Y+arm)
}

// lap draws a lap where it is laid, what of it hangs over the rim, where it comes
// to at the ends of its stroke, and the way of its middle.
func (b bench) lap(l document.Laid, rim float64) {
	b.circle(inkFace, l.X, l.Y, l.Radius)
	if over := b.overhang(l, rim); over != nil {
		b.c.SetColor(inkOver)
		b.c.Fill(over)
	}
	for _, r := range l.Inner {
		b.circle(inkLap, l.X, l.Y, r)
	}
	if len(l.PathX) == 0 {
		return
	}
	x1, y1, x2, y2 := l.Ends()
	b.circle(inkSwing, x1, y1, l.Radius)
	b.circle(inkSwing, x2, y2, l.Radius)
	way := make([]vg.Point, len(l.PathX))
	for i := range way {
		way[i] = b.at(l.PathX[i], l.PathY[i])
	}
	b.c.StrokeLines(line(inkWay), simplify(way))
}

// overhang is the path about what of a lap lies outside the rim: its own edge on
// the far side, and back along the rim. It is nil where nothing does, and where the
// lap covers all of the mirror.
func (b bench) overhang(l document.Laid, rim float64) vg.Path {
	d, r := math.Hypot(l.X, l.Y), l.Radius
	var p vg.Path
	switch {
	case d+r <= rim || r >= rim+d || d == 0:
		return nil
	case d >= rim+r:
		return b.round(p, l.X, l.Y, r)
	}
	toward := math.Atan2(l.Y, l.X)
	atRim := math.Acos((d*d + rim*rim - r*r) / (2 * d * rim))
	atLap := math.Pi - math.Acos((d*d+r*r-rim*rim)/(2*d*r))
	p.Move(b.at(l.X+r*math.Cos(toward-atLap), l.Y+r*math.Sin(toward-atLap)))
	p.Arc(b.at(l.X, l.Y), vg.Length(r*b.scale), toward-atLap, 2*atLap)
	p.Arc(b.middle, vg.Length(rim*b.scale), toward+atRim, -2*atRim)
	p.Close()
	return p
}

// name writes a lap's name beside the way of its middle, on the side of the
// mirror's middle.
func (b bench) name(l document.Laid) {
	at := b.at(l.X, l.Y)
	if x1, y1, x2, y2 := l.Ends(); x1 != x2 || y1 != y2 {
		length := math.Hypot(x2-x1, y2-y1)
		nx, ny := (y2-y1)/length, (x1-x2)/length
		if nx*l.X+ny*l.Y > 0 {
			nx, ny = -nx, -ny
		}
		const off = 12
		at = at.Add(vg.Point{X: vg.Length(off * nx), Y: vg.Length(off * ny)})
	}
	put(b.c, b.hand, inkMarkName, text.XCenter, vg.Point{X: at.X, Y: at.Y - capitals*FontSize/2}, l.Name)
}

// bar draws a bar of a round length, to measure by.
func (b bench) bar(v document.View, y vg.Length) {
	at, labels := document.Ticks(0, v.Radius, 2)
	if len(at) < 2 {
		return
	}
	const left, tall = 2, 6
	right := left + vg.Length(at[1]*b.scale)
	b.c.StrokeLines(line(inkAxis), []vg.Point{{X: left, Y: y + tall}, {X: left, Y: y}, {X: right, Y: y}, {X: right, Y: y + tall}})
	put(b.c, b.hand, inkCaption, text.XLeft, vg.Point{X: right + 8, Y: y - 1}, labels[1]+" "+v.Unit)
}
