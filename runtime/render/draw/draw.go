// Package draw draws the plots of a document in one house style.
//
// gonum/plot's vg cuts lines and polygons to the plot; the canvas it draws on
// (canvas.go) keeps each stroke with the name of its ink instead of a colour.
// In SVG the inks are classes, so that a page's style sheet gives the colours and
// one drawing serves a light page and a dark one; Style holds the rules for them.
// Whoever draws on paper asks PaintOf.
//
// What things are is never told by colour alone: curves differ in dash, width or
// signs along them, bands have a name in the legend.
package draw

import (
	"math"

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

	whole := draw.NewCanvas(out, vg.Length(size.Width), vg.Length(size.Height))
	inner := draw.Crop(whole, 0, -6, vg.Length(bottom), -vg.Length(top))
	f := newField(inner, hand, p, int(size.Width/95))

	key.draw(&whole, hand)
	y := whole.Max.Y - vg.Length(key.height())
	for _, lane := range above {
		y -= laneStep
		f.lane(lane, y, inkLap)
	}
	put(&whole, hand, inkCaption, text.XLeft, vg.Point{X: 0, Y: y - rowStep + 5}, p.Y.Caption())
	if laps := "laps, edge to edge"; len(above) > 0 && hand.width(p.Y.Caption())+hand.width(laps)+20 < whole.Max.X {
		put(&whole, hand, inkCaption, text.XRight, vg.Point{X: f.Max.X, Y: y - rowStep + 5}, laps)
	}
	f.axes()
	f.grid()
	for i, c := range p.Curves {
		f.band(c, styles[i])
	}
	for _, m := range p.Marks {
		f.mark(m)
	}
	for i, c := range p.Curves {
		if c.Role == document.Measured {
			f.points(c, styles[i])
		} else {
			f.curve(c, styles[i])
		}
	}
	if beside && !f.nameCurves(p) {
		return Canvas{}, false
	}

	y = inner.Min.Y
	if len(p.Marks) > 0 {
		y -= markStep
		for _, m := range p.Marks {
			f.markName(m, y+5)
		}
	}
	for _, lane := range below {
		y -= laneStep
		f.lane(lane, y, inkZone)
	}
	put(&whole, hand, inkCaption, text.XRight, vg.Point{X: f.Max.X, Y: y - rowStep + 5}, p.X.Caption())
	if openings := "openings of the mask"; len(below) > 0 && hand.width(p.X.Caption())+hand.width(openings)+20 < f.Max.X-f.Min.X {
		put(&whole, hand, inkCaption, text.XLeft, vg.Point{X: f.Min.X, Y: y - rowStep + 5}, openings)
	}
	return out.canvas, true
}

// put writes words at a place.
func put(c *draw.Canvas, hand words, colour ink, align text.XAlignment, at vg.Point, s string) {
	if s = document.Line(s); s == "" {
		return
	}
	c.FillText(text.Style{Color: colour, Font: font.Font{Size: FontSize}, XAlign: align, Handler: hand}, at, s)
}

// mark draws a line up the plot at a labelled place.
func (f *field) mark(m document.Mark) {
	if at := f.x(m.At); f.ContainsX(at) {
		f.StrokeLine2(line(inkMark), at, f.Min.Y, at, f.Max.Y)
	}
}

// markName writes the name of a mark under the axis, moved in at the ends.
func (f *field) markName(m document.Mark, y vg.Length) {
	at := f.x(m.At)
	if !f.ContainsX(at) {
		return
	}
	name := "▲ " + m.Name
	half := f.hand.width(name) / 2
	at = min(max(at, f.Min.X+half), f.Max.X-half)
	put(&f.Canvas, f.hand, inkMarkName, text.XCenter, vg.Point{X: at, Y: y}, name)
}

// lane draws spans of the x axis side by side, each with its name in the
// middle of what shows of it, or before it where only there is room. An end beyond
// the axis is left open.
func (f *field) lane(lane []document.Span, y vg.Length, colour ink) {
	const tall = 13 // of the brackets at the ends
	middle, foot := y+tall/2+3, y+3
	free := f.Min.X // where nothing is drawn from here on
	for _, s := range lane {
		from, to := f.x(s.From), f.x(s.To)
		if to < f.Min.X || from > f.Max.X || to < from {
			continue
		}
		openFrom, openTo := from < f.Min.X-0.5, to > f.Max.X+0.5
		from, to = max(from, f.Min.X), min(to, f.Max.X)
		const gap = 1 // between neighbours
		w := f.hand.width(s.Name) + 8
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
			f.StrokeLines(line(colour), points)
		}
		rule(from+gap, centre-w/2, !openFrom, from+gap)
		rule(to-gap, centre+w/2, !openTo, to-gap)
		switch at := (vg.Point{X: centre, Y: middle - FontSize*0.36}); {
		case inside:
			put(&f.Canvas, f.hand, inkLabel, text.XCenter, at, s.Name)
		case before:
			at.X = from - 4
			put(&f.Canvas, f.hand, inkLabel, text.XRight, at, s.Name)
		}
	}
}

// band fills what lies between a curve's Low and High.
func (f *field) band(c document.Curve, look style) {
	if c.Role == document.Measured || len(c.Low) != len(c.X) || len(c.High) != len(c.X) {
		return
	}
	for _, r := range runs(len(c.X), func(i int) bool { return finite(c.X[i], c.Low[i], c.High[i]) }) {
		var upper, lower []vg.Point
		for i := r.from; i < r.to; i++ {
			upper = append(upper, f.at(c.X[i], c.High[i]))
			lower = append(lower, f.at(c.X[i], c.Low[i]))
		}
		upper, lower = simplify(upper), simplify(lower)
		for i := len(lower) - 1; i >= 0; i-- {
			upper = append(upper, lower[i])
		}
		f.FillPolygon(look.band, f.ClipPolygonXY(upper))
	}
}

// curve draws a line through points, with signs along it where its style has
// them. Values that are not finite leave a gap.
func (f *field) curve(c document.Curve, look style) {
	var lines [][]vg.Point
	for _, r := range runs(min(len(c.X), len(c.Y)), func(i int) bool { return finite(c.X[i], c.Y[i]) }) {
		var points []vg.Point
		for i := r.from; i < r.to; i++ {
			points = append(points, f.at(c.X[i], c.Y[i]))
		}
		if look.sign != noSign {
			f.signs(points, look)
		}
		if len(points) == 1 {
			sign{look.line, dot}.draw(&f.Canvas, points[0])
		}
		lines = append(lines, simplify(points))
	}
	f.StrokeLines(line(look.line), f.ClipLinesXY(lines...)...)
}

// signs draws the style's sign about every sixtieth pixel, each curve's offset
// from the others'.
func (f *field) signs(points []vg.Point, look style) {
	const step = 60
	next := f.Min.X + 20 + vg.Length(14*look.variant)
	for _, p := range points {
		if p.X >= next {
			if f.Contains(p) {
				sign{look.line, look.sign}.draw(&f.Canvas, p)
			}
			next = p.X + step
		}
	}
}

// points draws measured values with the bars of their error.
func (f *field) points(c document.Curve, look style) {
	for i := range min(len(c.X), len(c.Y)) {
		if !finite(c.X[i], c.Y[i]) {
			continue
		}
		at := f.at(c.X[i], c.Y[i])
		if i < len(c.Low) && i < len(c.High) && finite(c.Low[i], c.High[i]) {
			bar := []vg.Point{f.at(c.X[i], c.Low[i]), f.at(c.X[i], c.High[i])}
			f.StrokeLines(line(look.line), f.ClipLinesXY(bar)...)
		}
		if f.Contains(at) {
			sign{look.line, look.sign}.draw(&f.Canvas, at)
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
