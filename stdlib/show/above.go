package show

import (
	"fmt"
	"math"

	"lapwright/stdlib/document"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/unit"
)

// FromAbove shows the laps of a plan on the mirror as they are seen from above, to
// scale: where each lies in the middle of its stroke and at the ends of it, how its
// middle goes, and how much of it hangs over the rim. The spells are turned about
// the mirror, each to its own direction, so that they do not lie on one another.
func FromAbove(p *plan.Plan) {
	m := p.Before().Mirror()
	s := shopOf(m)
	v := document.View{
		Title: "The laps from above", Unit: s.symbol(),
		Radius: round(s.in(m.Spec().Diameter) / 2), Clear: round(s.in(m.Clear())), Hole: round(s.in(m.Hole())),
	}
	spells := p.Spells()
	v.Alt = fmt.Sprintf("The mirror of %s from above, with the laps of %s to scale.", s.text(m.Spec().Diameter), count(len(spells), "spell"))
	for i, sp := range spells {
		// From the top, in the sense of a clock's hands.
		sin, cos := math.Sincos(math.Pi/2 - 2*math.Pi*float64(i)/float64(len(spells)))
		at := func(radial, tangential float64) (x, y float64) {
			return round(s.in(unit.Length(radial*cos - tangential*sin))), round(s.in(unit.Length(radial*sin + tangential*cos)))
		}
		l := document.Laid{Name: fmt.Sprint(i + 1), Radius: round(s.in(sp.Lap.Radius()))}
		l.X, l.Y = at(float64(sp.At), 0)
		l.Inner = innerEdges(s, sp)
		if sp.Stroke.Length() > 0 {
			const steps = 48
			for k := range steps + 1 {
				motion := sp.Stroke.Motion(float64(k) / steps)
				x, y := at(float64(sp.At)+motion.X, motion.Y)
				l.PathX, l.PathY = append(l.PathX, x), append(l.PathY, y)
			}
		}
		l.Text = fmt.Sprintf("%s, middle at %s, %s", sp.Lap.Name(), s.text(sp.At), overText(s, p, i))
		v.Laps = append(v.Laps, l)
	}
	v.Notes = []string{"Full line: the lap in the middle of its stroke. Dashes: at the ends of the stroke. Line through the middle: the way of its middle, without the wander. Each spell is turned to a direction of its own; on the table all directions are alike."}
	emit(v)
}

// innerEdges are the radii at which the face of a lap begins, ends or steps inside
// its rim.
func innerEdges(s shop, sp plan.Spell) []float64 {
	var all []float64
	last := -1.0
	for _, b := range sp.Lap.Bands() {
		for _, r := range []unit.Length{b.Inner, b.Outer} {
			if edge := round(s.in(r)); r > 0 && r < sp.Lap.Radius() && edge != last {
				all = append(all, edge)
				last = edge
			}
		}
	}
	return all
}

// overText says how the lap of a spell lies to the rim at the end of its stroke,
// wander included.
func overText(s shop, p *plan.Plan, i int) string {
	_, work := p.Edges(i).Overhang()
	switch over := fixed(s.in(work), s.decimals); {
	case over == fixed(0, s.decimals):
		return "comes to the rim"
	case work > 0:
		return "comes " + s.text(work) + " over the rim"
	default:
		return "stays " + s.text(-work) + " inside the rim"
	}
}
