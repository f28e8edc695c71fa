package show

import (
	"fmt"
	"math"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// How a mask is cut, in millimetres and radians: common practice, no source.
const (
	maskBorder  = 12                 // of card beyond the glass
	maskRoom    = 1                  // beyond that, so that no line lies half beside the sheet
	maskBridge  = 4                  // of card left between the corners of neighbouring openings
	maskOpening = 30 * math.Pi / 180 // each opening's share of its ring
	maskTip     = 2                  // radius within which the innermost opening is not cut
)

// Mask draws the mask at true size, to be printed, cut out of card and set before
// the mirror: a pair of openings left and right for each zone, each a piece of its
// ring, so that the mean over an opening by area is that over the ring. Openings
// of neighbouring zones lie above and below the level diameter by turns, so that
// card is left between them. A page or PDF has it on sheets of A4 or Letter; with
// -o FILE.svg lapwright run writes it in one piece. It stops the recipe where the mirror is larger than
// 2970 mm.
func Mask(k *zone.Mask) {
	m := k.Mirror()
	s := shopOf(m)
	rim := m.Rim().In(unit.MM)
	c := rim + maskBorder + maskRoom
	const most = document.MaxDrawing - 2*(maskBorder+maskRoom)
	if 2*c > document.MaxDrawing {
		host.Stopf("show.Mask", "a mask for a mirror of %s is more than can be drawn; the most is %.0f mm", s.text(m.Spec().Diameter), math.Floor(most/10)*10)
	}
	d := document.Drawing{
		Title: fmt.Sprintf("The mask, %s", count(k.Zones(), "zone")),
		Width: 2 * c, Height: 2 * c,
		Notes: []string{
			"Cut along the full lines. The dashed circle is the rim of the glass, the dashed lines cross at its centre; the knife moves along the level one.",
			"Keep the card off the polished face: grit on it scratches.",
		},
	}
	circle := func(line document.LineKind, r float64) {
		d.Outlines = append(d.Outlines, document.Outline{Line: line, X: c - r, Y: c, Steps: []document.Step{{X: c + r, Y: c, Radius: r}, {X: c - r, Y: c, Radius: r}}})
	}
	circle(document.CutLine, rim+maskBorder)

	_, shared := k.Edges(0) // the smallest radius at which two openings have corners
	lean := math.Asin(math.Min(maskBridge/(2*shared.In(unit.MM)), 0.35))
	var edges []string
	for i := range k.Zones() {
		inner, outer := k.Edges(i)
		edges = append(edges, s.text(inner)+" to "+s.text(outer))
		a, b := math.Max(inner.In(unit.MM), maskTip), outer.In(unit.MM)
		from, up := lean, -1.0 // y runs down
		if i%2 == 1 {
			up = 1
		}
		for _, side := range []float64{1, -1} {
			at := func(r, angle float64) (x, y float64) {
				return c + side*r*math.Cos(angle), c + up*r*math.Sin(angle)
			}
			turn := side * up // clockwise where the angle grows to the right and downwards
			x1, y1 := at(a, from)
			x2, y2 := at(b, from)
			x3, y3 := at(b, from+maskOpening)
			x4, y4 := at(a, from+maskOpening)
			d.Outlines = append(d.Outlines, document.Outline{Line: document.CutLine, X: x1, Y: y1, Steps: []document.Step{
				{X: x2, Y: y2}, {X: x3, Y: y3, Radius: turn * b}, {X: x4, Y: y4}, {X: x1, Y: y1, Radius: -turn * a},
			}})
			x, y := at((a+b)/2, from+maskOpening+document.LabelSize/math.Max((a+b)/2, 3*document.LabelSize))
			d.Labels = append(d.Labels, document.Label{X: x, Y: y, Text: fmt.Sprint(i + 1)})
		}
	}
	circle(document.GuideLine, rim)
	if hole := m.Hole().In(unit.MM); hole > 0 {
		circle(document.GuideLine, hole)
	}
	d.Outlines = append(d.Outlines,
		document.Outline{Line: document.GuideLine, X: 0, Y: c, Steps: []document.Step{{X: 2 * c, Y: c}}},
		document.Outline{Line: document.GuideLine, X: c, Y: 0, Steps: []document.Step{{X: c, Y: 2 * c}}})
	d.Alt = fmt.Sprintf("A mask for a mirror of %s, with a pair of openings left and right for each zone, from the centre out: %s.",
		s.text(m.Spec().Diameter), strings.Join(edges, ", "))
	emit(d)
}
