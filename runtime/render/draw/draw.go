// Package draw draws the plots of a document in one house style.
//
// gonum/plot lays out the axes and turns values into places; the canvas it draws
// on (canvas.go) keeps each stroke with the name of its ink instead of a colour.
// In SVG the inks are classes, so that a page's style sheet gives the colours and
// one drawing serves a light page and a dark one; Style holds the rules for them.
// Whoever draws on paper asks PaintOf.
//
// What things are is never told by colour alone: curves differ in dash, width or
// signs along them, bands have a name in the legend.
package draw

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"lapwright/stdlib/document"
)

// A Size is the size of a drawing in pixels at which its words have their
// natural size.
type Size struct{ Width, Height float64 }

// The sizes of a drawing: for a page on a screen, for a telephone held upright, and
// for paper.
var (
	Wide   = Size{680, 380}
	Narrow = Size{350, 360}
	Paper  = Size{680, 340}
)

const (
	rowStep  = 18 // height of a row of words
	laneStep = 21 // height of a row of spans
	markStep = 20 // height of the row of names of marks
)

// Plot draws p. Curves have their names beside them where there is room for all;
// otherwise they stand in a key above.
func Plot(p document.Plot, size Size) Canvas {
	if c, named := plotted(p, size, true); named {
		return c
	}
	c, _ := plotted(p, size, false)
	return c
}

// plotted draws p, with the names of the curves beside them or in a key. It reports
// whether all have found room beside them.
func plotted(p document.Plot, size Size, beside bool) (Canvas, bool) {
	out := newEasel(size)
	hand := words{out}
	xLow, xHigh, yLow, yHigh := p.Bounds()

	// gonum/plot draws the axes; layout above and below them is ours.
	g := plot.New()
	g.BackgroundColor = nil
	g.TextHandler = hand
	g.X.Min, g.X.Max, g.Y.Min, g.Y.Max = xLow, xHigh, yLow, yHigh
	g.X.Tick.Marker = ticks(xLow, xHigh, int(size.Width/95))
	g.Y.Tick.Marker = ticks(yLow, yHigh, 6)
	for _, axis := range []*plot.Axis{&g.X, &g.Y} {
		axis.Padding = 0
		axis.Label.TextStyle.Handler = hand
		axis.LineStyle = line(inkAxis)
		axis.Tick.LineStyle = line(inkAxis)
		axis.Tick.Length = 5
		axis.Tick.Label.Handler = hand
		axis.Tick.Label.Font = font.Font{Size: FontSize}
		axis.Tick.Label.Color = inkLabel
	}
	g.Y.Width = 0 // no line down the side: the grid carries the values
	g.Y.Tick.Length = 0

	styles := stylesOf(p.Curves)
	key := newKey(p.Curves, styles, size.Width)
	if beside {
		if !nameable(p.Curves) {
			return Canvas{}, false
		}
		key = newBandKey(p.Curves, styles, size.Width)
	}
	above, below := document.Lanes(p.Above, 0), document.Lanes(p.Below, 0)
	top := key.height() + float64(len(above))*laneStep + rowStep
	bottom := float64(len(below))*laneStep + rowStep
	if len(p.Marks) > 0 {
		bottom += markStep
	}

	g.Add(grid{})
	for i, c := range p.Curves {
		g.Add(band{c, styles[i]})
	}
	for _, m := range p.Marks {
		g.Add(mark{m})
	}
	for i, c := range p.Curves {
		if c.Role == document.Measured {
			g.Add(points{c, styles[i]})
		} else {
			g.Add(curve{c, styles[i]})
		}
	}

	whole := draw.NewCanvas(out, vg.Length(size.Width), vg.Length(size.Height))
	field := draw.Crop(whole, 0, -6, vg.Length(bottom), -vg.Length(top))
	data := g.DataCanvas(field)
	x, _ := g.Transforms(&data)

	key.draw(&whole, hand)
	y := whole.Max.Y - vg.Length(key.height())
	for _, lane := range above {
		y -= laneStep
		drawLane(&data, hand, lane, x, y, inkLap)
	}
	put(&whole, hand, inkCaption, text.XLeft, vg.Point{X: 0, Y: y - rowStep + 5}, p.Y.Caption())
	if laps := "laps, edge to edge"; len(above) > 0 && hand.width(p.Y.Caption())+hand.width(laps)+20 < whole.Max.X {
		put(&whole, hand, inkCaption, text.XRight, vg.Point{X: data.Max.X, Y: y - rowStep + 5}, laps)
	}
	g.Draw(field)
	if beside && !nameCurves(&data, hand, g, p) {
		return Canvas{}, false
	}

	y = field.Min.Y
	if len(p.Marks) > 0 {
		y -= markStep
		for _, m := range p.Marks {
			drawMarkName(&data, hand, m, x, y+5)
		}
	}
	for _, lane := range below {
		y -= laneStep
		drawLane(&data, hand, lane, x, y, inkZone)
	}
	put(&whole, hand, inkCaption, text.XRight, vg.Point{X: data.Max.X, Y: y - rowStep + 5}, p.X.Caption())
	if openings := "openings of the mask"; len(below) > 0 && hand.width(p.X.Caption())+hand.width(openings)+20 < data.Max.X-data.Min.X {
		put(&whole, hand, inkCaption, text.XLeft, vg.Point{X: data.Min.X, Y: y - rowStep + 5}, openings)
	}
	return out.canvas, true
}

func ticks(low, high float64, n int) plot.Ticker {
	at, labels := document.Ticks(low, high, max(n, 2))
	marks := make(plot.ConstantTicks, len(at))
	for i := range at {
		marks[i] = plot.Tick{Value: at[i], Label: labels[i]}
	}
	return marks
}

// put writes words at a place.
func put(c *draw.Canvas, hand words, colour ink, align text.XAlignment, at vg.Point, s string) {
	if s = document.Line(s); s == "" {
		return
	}
	c.FillText(text.Style{Color: colour, Font: font.Font{Size: FontSize}, XAlign: align, Handler: hand}, at, s)
}

// grid draws a line across at each value of the y axis, a stronger one at zero.
type grid struct{}

func (grid) Plot(c draw.Canvas, g *plot.Plot) {
	_, y := g.Transforms(&c)
	for _, t := range g.Y.Tick.Marker.Ticks(g.Y.Min, g.Y.Max) {
		colour := inkGrid
		if t.Value == 0 {
			colour = inkZero
		}
		c.StrokeLine2(line(colour), c.Min.X, y(t.Value), c.Max.X, y(t.Value))
	}
}

// mark draws a line up the plot at a labelled place.
type mark struct{ document.Mark }

func (m mark) Plot(c draw.Canvas, g *plot.Plot) {
	x, _ := g.Transforms(&c)
	if at := x(m.At); c.ContainsX(at) {
		c.StrokeLine2(line(inkMark), at, c.Min.Y, at, c.Max.Y)
	}
}

// drawMarkName writes the name of a mark under the axis, moved in at the ends.
func drawMarkName(c *draw.Canvas, hand words, m document.Mark, x func(float64) vg.Length, y vg.Length) {
	at := x(m.At)
	if !c.ContainsX(at) {
		return
	}
	name := "▲ " + m.Name
	half := hand.width(name) / 2
	at = min(max(at, c.Min.X+half), c.Max.X-half)
	put(c, hand, inkMarkName, text.XCenter, vg.Point{X: at, Y: y}, name)
}

// drawLane draws spans of the x axis side by side, each with its name in the
// middle of what shows of it, or before it where only there is room. An end beyond
// the axis is left open.
func drawLane(c *draw.Canvas, hand words, lane []document.Span, x func(float64) vg.Length, y vg.Length, colour ink) {
	const tall = 13 // of the brackets at the ends
	middle, foot := y+tall/2+3, y+3
	free := c.Min.X // where nothing is drawn from here on
	for _, s := range lane {
		from, to := x(s.From), x(s.To)
		if to < c.Min.X || from > c.Max.X || to < from {
			continue
		}
		openFrom, openTo := from < c.Min.X-0.5, to > c.Max.X+0.5
		from, to = max(from, c.Min.X), min(to, c.Max.X)
		const gap = 1 // between neighbours
		w := hand.width(s.Name) + 8
		centre := (from + to) / 2
		inside, before := w <= to-from, w <= from-free
		free = to + 4
		if !inside {
			w = 0
		}
		rule := func(a, b vg.Length, end bool, at vg.Length) {
			points := []vg.Point{{X: a, Y: middle}, {X: b, Y: middle}}
			if end {
				points = append([]vg.Point{{X: at, Y: foot}, {X: at, Y: foot + tall}, {X: at, Y: middle}}, points[1:]...)
			}
			c.StrokeLines(line(colour), points)
		}
		rule(from+gap, centre-w/2, !openFrom, from+gap)
		rule(to-gap, centre+w/2, !openTo, to-gap)
		switch at := (vg.Point{X: centre, Y: middle - FontSize*0.36}); {
		case inside:
			put(c, hand, inkLabel, text.XCenter, at, s.Name)
		case before:
			at.X = from - 4
			put(c, hand, inkLabel, text.XRight, at, s.Name)
		}
	}
}

// band fills what lies between a curve's Low and High.
type band struct {
	document.Curve
	style style
}

func (b band) Plot(c draw.Canvas, g *plot.Plot) {
	if b.Role == document.Measured || len(b.Low) != len(b.X) || len(b.High) != len(b.X) {
		return
	}
	x, y := g.Transforms(&c)
	for _, r := range runs(len(b.X), func(i int) bool { return finite(b.X[i], b.Low[i], b.High[i]) }) {
		var upper, lower []vg.Point
		for i := r.from; i < r.to; i++ {
			upper = append(upper, vg.Point{X: x(b.X[i]), Y: y(b.High[i])})
			lower = append(lower, vg.Point{X: x(b.X[i]), Y: y(b.Low[i])})
		}
		upper, lower = simplify(upper), simplify(lower)
		for i := len(lower) - 1; i >= 0; i-- {
			upper = append(upper, lower[i])
		}
		c.FillPolygon(b.style.band, c.ClipPolygonXY(upper))
	}
}

// curve draws a line through points, with signs along it where its style has
// them. Values that are not finite leave a gap.
type curve struct {
	document.Curve
	style style
}

func (l curve) Plot(c draw.Canvas, g *plot.Plot) {
	x, y := g.Transforms(&c)
	n := min(len(l.X), len(l.Y))
	var lines [][]vg.Point
	for _, r := range runs(n, func(i int) bool { return finite(l.X[i], l.Y[i]) }) {
		var points []vg.Point
		for i := r.from; i < r.to; i++ {
			points = append(points, vg.Point{X: x(l.X[i]), Y: y(l.Y[i])})
		}
		if l.style.sign != noSign {
			l.signs(&c, points)
		}
		if len(points) == 1 {
			sign{l.style.line, dot}.draw(&c, points[0])
		}
		lines = append(lines, simplify(points))
	}
	c.StrokeLines(line(l.style.line), c.ClipLinesXY(lines...)...)
}

// signs draws the style's sign about every sixtieth pixel, each curve's offset
// from the others'.
func (l curve) signs(c *draw.Canvas, points []vg.Point) {
	const step = 60
	next := c.Min.X + 20 + vg.Length(14*l.style.variant)
	for _, p := range points {
		if p.X >= next {
			if c.Contains(p) {
				sign{l.style.line, l.style.sign}.draw(c, p)
			}
			next = p.X + step
		}
	}
}

// points draws measured values with the bars of their error.
type points struct {
	document.Curve
	style style
}

func (m points) Plot(c draw.Canvas, g *plot.Plot) {
	x, y := g.Transforms(&c)
	for i := range min(len(m.X), len(m.Y)) {
		if !finite(m.X[i], m.Y[i]) {
			continue
		}
		at := vg.Point{X: x(m.X[i]), Y: y(m.Y[i])}
		if i < len(m.Low) && i < len(m.High) && finite(m.Low[i], m.High[i]) {
			bar := []vg.Point{{X: at.X, Y: y(m.Low[i])}, {X: at.X, Y: y(m.High[i])}}
			c.StrokeLines(line(m.style.line), c.ClipLinesXY(bar)...)
		}
		if c.Contains(at) {
			sign{m.style.line, m.style.sign}.draw(&c, at)
		}
	}
}

// A run is a stretch of points without a gap.
type run struct{ from, to int }

func runs(n int, good func(int) bool) []run {
	var all []run
	for i := 0; i < n; i++ {
		if !good(i) {
			continue
		}
		from := i
		for i < n && good(i) {
			i++
		}
		all = append(all, run{from, i})
	}
	return all
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// simplify leaves out points that lie within a fifth of a pixel of the line
// through those it keeps (Douglas and Peucker's method).
func simplify(points []vg.Point) []vg.Point {
	const tolerance = 0.2
	if len(points) < 3 {
		return points
	}
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	todo := []run{{0, len(points) - 1}}
	for len(todo) > 0 {
		r := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		far, at := vg.Length(tolerance), -1
		for i := r.from + 1; i < r.to; i++ {
			if d := distance(points[i], points[r.from], points[r.to]); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			todo = append(todo, run{r.from, at}, run{at, r.to})
		}
	}
	var kept []vg.Point
	for i, k := range keep {
		if k {
			kept = append(kept, points[i])
		}
	}
	return kept
}

// distance is that of p from the stretch from a to b.
func distance(p, a, b vg.Point) vg.Length {
	ab, ap := b.Sub(a), p.Sub(a)
	if l := ab.Dot(ab); l > 0 {
		ap = ap.Sub(ab.Scale(min(max(ap.Dot(ab)/l, 0), 1)))
	}
	return vg.Length(math.Hypot(float64(ap.X), float64(ap.Y)))
}
