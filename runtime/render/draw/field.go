package draw

import (
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"lapwright/stdlib/document"
)

// A field is where the values of a plot are drawn.
type field struct {
	draw.Canvas
	hand                     words
	xLow, xHigh, yLow, yHigh float64
	xTicks, yTicks           []tick
}

// A tick is a value that an axis names.
type tick struct {
	value float64
	label string
}

func ticks(low, high float64, n int) (all []tick) {
	at, labels := document.Ticks(low, high, max(n, 2))
	for i := range at {
		all = append(all, tick{at[i], labels[i]})
	}
	return all
}

const (
	tickLength = 5
	tickHeight = capitals * FontSize // of a label
)

// newField takes from a canvas the room for the labels of the axes, below and to the
// left, and so much on the right and above that the last labels find theirs.
func newField(c draw.Canvas, hand words, p document.Plot, across int) *field {
	f := &field{Canvas: c, hand: hand}
	f.xLow, f.xHigh, f.yLow, f.yHigh = p.Bounds()
	f.xTicks, f.yTicks = ticks(f.xLow, f.xHigh, across), ticks(f.yLow, f.yHigh, 6)
	if len(f.yTicks) > 0 {
		f.Min.X += f.labelWidth() + hand.width(" ")
	}
	f.Min.Y += 0.5 // of the width of the axis
	if len(f.xTicks) > 0 {
		f.Min.Y += tickLength + tickHeight
	}
	f.Max.X = fitted(f.Min.X, f.Max.X, f.xTicks, f.normX, func(t tick) vg.Length { return hand.width(t.label) / 2 })
	f.Max.Y = fitted(f.Min.Y, f.Max.Y, f.yTicks, f.normY, func(tick) vg.Length { return tickHeight / 2 })
	return f
}

// fitted returns the end of an axis from low such that what stands out half of each
// tick stays below high.
func fitted(low, high vg.Length, ticks []tick, norm func(float64) vg.Length, half func(tick) vg.Length) vg.Length {
	end := high
	for _, t := range ticks {
		if at := norm(t.value); at > 0 && at <= 1 {
			end = min(end, low+(high-half(t)-low)/at)
		}
	}
	return end
}

func (f *field) normX(v float64) vg.Length { return vg.Length((v - f.xLow) / (f.xHigh - f.xLow)) }
func (f *field) normY(v float64) vg.Length { return vg.Length((v - f.yLow) / (f.yHigh - f.yLow)) }

// x and y are the place of a value.
func (f *field) x(v float64) vg.Length { return f.Min.X + f.normX(v)*(f.Max.X-f.Min.X) }
func (f *field) y(v float64) vg.Length { return f.Min.Y + f.normY(v)*(f.Max.Y-f.Min.Y) }

func (f *field) at(x, y float64) vg.Point { return vg.Point{X: f.x(x), Y: f.y(y)} }

// labelWidth is the width of the widest label of the y axis.
func (f *field) labelWidth() (w vg.Length) {
	for _, t := range f.yTicks {
		w = max(w, f.hand.width(t.label))
	}
	return w
}

// axes draws both axes with their labels. The y axis has no ticks: the grid carries
// its values.
func (f *field) axes() {
	foot := f.Min.Y - 0.5
	var shown []tick
	for _, t := range f.xTicks {
		if f.ContainsX(f.x(t.value)) {
			shown = append(shown, t)
			put(&f.Canvas, f.hand, inkLabel, text.XCenter, vg.Point{X: f.x(t.value), Y: foot - tickLength - tickHeight}, t.label)
		}
	}
	for _, t := range shown {
		f.StrokeLine2(line(inkAxis), f.x(t.value), foot-tickLength, f.x(t.value), foot)
	}
	f.StrokeLine2(line(inkAxis), f.Min.X, foot, f.Max.X, foot)
	right := f.Min.X - f.hand.width(" ")
	for _, t := range f.yTicks {
		if at := f.y(t.value); f.ContainsY(at) {
			put(&f.Canvas, f.hand, inkLabel, text.XRight, vg.Point{X: right, Y: at - tickHeight/2}, t.label)
		}
	}
	f.StrokeLine2(line(inkAxis), f.Min.X, f.Min.Y, f.Min.X, f.Max.Y)
}

// grid draws a line across at each value of the y axis, a stronger one at zero.
func (f *field) grid() {
	for _, t := range f.yTicks {
		colour := inkGrid
		if t.value == 0 {
			colour = inkZero
		}
		f.StrokeLine2(line(colour), f.Min.X, f.y(t.value), f.Max.X, f.y(t.value))
	}
}
