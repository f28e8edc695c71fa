package draw

import (
	"math"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"lapwright/stdlib/document"
)

// nameable tells whether curves can have their names beside them: there are
// several, all of them lines with a name.
func nameable(curves []document.Curve) bool {
	for _, c := range curves {
		if c.Role == document.Measured || document.Line(c.Name) == "" {
			return false
		}
	}
	return len(curves) > 1
}

// nameCurves writes the name of each curve beside it, clear of every curve, mark
// and name. It reports whether all found room; where one does not, the drawing is
// not to be used.
func (f *field) nameCurves(p document.Plot) bool {
	var curves [][]vg.Point
	for _, curve := range p.Curves {
		var points []vg.Point
		for i := range min(len(curve.X), len(curve.Y)) {
			if finite(curve.X[i], curve.Y[i]) {
				points = append(points, f.at(curve.X[i], curve.Y[i]))
			}
		}
		curves = append(curves, simplify(points))
	}
	var taken []vg.Rectangle
	for _, m := range p.Marks {
		at := f.x(m.At)
		taken = append(taken, vg.Rectangle{Min: vg.Point{X: at - 1, Y: f.Min.Y}, Max: vg.Point{X: at + 1, Y: f.Max.Y}})
	}
	var lines []vg.Length // of the grid
	for _, t := range f.yTicks {
		lines = append(lines, f.y(t.value))
	}
	for i, curve := range p.Curves {
		name := document.Line(curve.Name)
		box, ok := place(&f.Canvas, f.hand.width(name), i, curves, taken, lines)
		if !ok {
			return false
		}
		taken = append(taken, box)
		put(&f.Canvas, f.hand, inkLabel, text.XLeft, vg.Point{X: box.Min.X, Y: box.Min.Y + 3}, name)
	}
	return true
}

// place finds the best room for a name of a width beside curve own: near it, far
// from the others, off the lines of the grid.
func place(c *draw.Canvas, width vg.Length, own int, curves [][]vg.Point, taken []vg.Rectangle, lines []vg.Length) (vg.Rectangle, bool) {
	const (
		height = FontSize + 2
		air    = 3   // that the name keeps from its curve, at least
		far    = 16  // it is taken for its curve's up to here
		enough = 40  // more room to the other curves is no better
		step   = 7.0 // from one place that is tried to the next
	)
	var best vg.Rectangle
	most := math.Inf(-1)
	for left := c.Min.X + 4; left+width < c.Max.X-4; left += step {
		low, high, ok := spanned(curves[own], left, left+width)
		if !ok {
			continue
		}
		for _, foot := range []vg.Length{high + air, low - air - height} {
			box := vg.Rectangle{Min: vg.Point{X: left, Y: foot}, Max: vg.Point{X: left + width, Y: foot + height}}
			if box.Min.Y < c.Min.Y+2 || box.Max.Y > c.Max.Y || overlaps(box, taken) {
				continue
			}
			near := gap(curves[own], box)
			other := enough + 0.0
			for i, curve := range curves {
				if i != own {
					other = math.Min(other, gap(curve, box))
				}
			}
			// It must lie nearer to its own curve than to any other, plainly.
			if near > far || other < near+6 {
				continue
			}
			worth := other - 2*near
			for _, line := range lines {
				if line > box.Min.Y && line < box.Max.Y {
					worth -= 6
				}
			}
			if worth > most {
				best, most = box, worth
			}
		}
	}
	return best, !math.IsInf(most, -1)
}

func overlaps(box vg.Rectangle, taken []vg.Rectangle) bool {
	const air = 4
	for _, t := range taken {
		if box.Min.X < t.Max.X+air && box.Max.X > t.Min.X-air && box.Min.Y < t.Max.Y+air && box.Max.Y > t.Min.Y-air {
			return true
		}
	}
	return false
}

// spanned returns how low and how high a curve goes from left to right, and whether
// it is there at all.
func spanned(curve []vg.Point, left, right vg.Length) (low, high vg.Length, ok bool) {
	low, high = vg.Length(math.Inf(1)), vg.Length(math.Inf(-1))
	for i := 1; i < len(curve); i++ {
		a, b := curve[i-1], curve[i]
		if max(a.X, b.X) < left || min(a.X, b.X) > right {
			continue
		}
		for _, p := range []vg.Point{cutAt(a, b, left), cutAt(a, b, right)} {
			low, high = min(low, p.Y), max(high, p.Y)
		}
		for _, p := range []vg.Point{a, b} {
			if p.X >= left && p.X <= right {
				low, high = min(low, p.Y), max(high, p.Y)
			}
		}
		ok = true
	}
	return low, high, ok
}

// cutAt is the place on the stretch from a to b that is nearest to x across.
func cutAt(a, b vg.Point, x vg.Length) vg.Point {
	if a.X == b.X {
		return a
	}
	t := min(max((x-a.X)/(b.X-a.X), 0), 1)
	return vg.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)}
}

// gap is the least distance, up or down, between a curve and a box that it passes
// over or under; 0 where it goes through.
func gap(curve []vg.Point, box vg.Rectangle) float64 {
	const beside = 4 // the curve is looked at so far beyond the box's ends
	low, high, ok := spanned(curve, box.Min.X-beside, box.Max.X+beside)
	switch {
	case !ok:
		return math.Inf(1)
	case low > box.Max.Y:
		return float64(low - box.Max.Y)
	case high < box.Min.Y:
		return float64(box.Min.Y - high)
	}
	return 0
}
