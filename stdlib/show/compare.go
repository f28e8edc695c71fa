package show

import (
	"fmt"
	"math"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// Compare draws figures over one another, each with the band it lies in with a
// chance of 68 % at each radius, piston and focus out, and says where the second
// and those after it differ most from the first. The openings of the mask are drawn
// below. It stops the recipe where there are fewer than two figures and where they,
// or the mask, are of different mirrors.
func Compare(title string, k *zone.Mask, figures ...Named) {
	const call = "show.Compare"
	if len(figures) < 2 {
		host.Stopf(call, "%d figures are given; there must be two or more", len(figures))
	}
	first := figures[0].Figure.Refocused()
	s := shopOf(k.Mirror())
	p := profile(title, first, []*zone.Mask{k})
	p.Notes = []string{"Piston and focus are taken out of each."}
	for i, named := range figures {
		f := named.Figure
		if f.Mirror().Spec() != k.Mirror().Spec() {
			host.Stopf(call, "%q is not of the mirror the mask is for", named.Name)
		}
		c := heights(named.Name, document.Other, f)
		p.Curves = append(p.Curves, c)
		p.Alt += fmt.Sprintf("%s: %s. ", named.Name, extremes(c, p.X.Unit))
		if i == 0 {
			continue
		}
		far, at := 0.0, unit.Length(0)
		for j, v := range f.Refocused().Minus(first).Heights() {
			if math.Abs(v) > math.Abs(far) {
				far, at = v, unit.Length(figure.Grid(f.Mirror())[j])
			}
		}
		p.Notes = append(p.Notes, fmt.Sprintf("Furthest apart: %s from %s at %s, by %.1f nm.", named.Name, figures[0].Name, s.text(at), nm(far)))
	}
	p.Alt = "Height of the surface above the target against radius. " + p.Alt
	emit(p)
}
