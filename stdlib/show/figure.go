package show

import (
	"fmt"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/zone"
)

// Figure shows a figure as a curve of height against radius, piston and focus
// out, with the band it lies in with a chance of 68 % at each radius. Where a
// mask is given its openings are drawn below.
func Figure(title string, f *figure.Figure, masks ...*zone.Mask) {
	p := profile(title, f, masks)
	c := heights("figure", document.Before, f)
	p.Curves = []document.Curve{c}
	p.Alt = fmt.Sprintf("Height of the surface above the target against radius: %s.", extremes(c, p.X.Unit))
	p.Notes = []string{"Piston and focus are taken out."}
	emit(p)
}
