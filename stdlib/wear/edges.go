package wear

import (
	"fmt"
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// Edges tells where the edges of a lap fall: with the lap at the middle of its
// stroke (at rest) and over the whole stroke, wander included (at work). The rim is
// that of the worked face, inside any bevel.
type Edges struct {
	Rest, Work Fall
	rim, hole  unit.Length
	shop       unit.Length
}

// Fall is the radii a lap's edge reaches on the radius through its middle. Inner
// is negative where the lap covers the mirror's centre and reaches beyond it.
type Fall struct {
	Inner, Outer unit.Length
}

// EdgesOf returns where the edges fall under setting s on mirror m. It stops the
// recipe as New does.
func EdgesOf(m *mirror.Mirror, s Setting) Edges {
	if _, message := s.check(m); message != "" {
		host.Stopf("wear.EdgesOf", "%s", message)
	}
	return edgesOf(m, s)
}

func edgesOf(m *mirror.Mirror, s Setting) Edges {
	b := s.Lap.Radius()
	least, greatest := s.Stroke.Reach(s.At)
	return Edges{
		Rest: Fall{s.At - b, s.At + b},
		Work: Fall{least - b, greatest + b},
		rim:  m.Clear(), hole: m.Hole(), shop: m.Shop(),
	}
}

// Overhang returns how far the lap overhangs the rim: at rest, and at most at
// work. It is negative where the lap stays inside.
func (e Edges) Overhang() (rest, work unit.Length) {
	return e.Rest.Outer - e.rim, e.Work.Outer - e.rim
}

// OverHole returns how far the lap overhangs the edge of the central hole: at
// rest, and at most at work. It is negative where the lap stays outside, and 0
// where there is no hole.
func (e Edges) OverHole() (rest, work unit.Length) {
	if e.hole == 0 {
		return 0, 0
	}
	return e.hole - e.Rest.Inner, e.hole - e.Work.Inner
}

// RestText prints where the edges fall at rest, in the shop's unit: "83.0 mm to
// 153.0 mm".
func (e Edges) RestText() string { return e.fallText(e.Rest) }

// WorkText prints between which radii the lap works over the stroke.
func (e Edges) WorkText() string { return e.fallText(e.Work) }

func (e Edges) fallText(f Fall) string {
	from := across(f.Inner, e.shop)
	if f.Inner < 0 {
		from = across(-f.Inner, e.shop) + " beyond the centre"
	}
	return from + " to " + across(f.Outer, e.shop)
}

// RimText says how the lap lies to the rim at its furthest: "stays 12.0 mm inside
// the rim", "is tangent to the rim", "overhangs the rim by 8.0 mm (0.31 in)".
func (e Edges) RimText() string {
	_, work := e.Overhang()
	return e.gapText(work, "rim", "inside the rim")
}

// MiddleText says how the lap lies to the central hole, or to the centre where
// there is none, at its nearest: "stays 20.0 mm clear of the hole", "overhangs the
// hole by 3.0 mm (0.12 in)", "covers the centre at times".
func (e Edges) MiddleText() string {
	if e.hole > 0 {
		_, work := e.OverHole()
		return e.gapText(work, "hole", "clear of the hole")
	}
	inner := e.Work.Inner
	switch {
	case math.Abs(float64(inner)) < e.tangent():
		return "is tangent to the centre"
	case inner > 0:
		return "stays " + across(inner, e.shop) + " clear of the centre"
	case e.Work.Outer < e.Rest.Outer-e.Rest.Inner: // the lap's middle stays within its radius
		return "covers the centre"
	}
	return "covers the centre at times"
}

func (e Edges) gapText(over unit.Length, edge, inside string) string {
	switch {
	case math.Abs(float64(over)) < e.tangent():
		return "is tangent to the " + edge
	case over < 0:
		return "stays " + across(-over, e.shop) + " " + inside
	}
	other := unit.Inch
	if e.shop == unit.Inch {
		other = unit.MM
	}
	return fmt.Sprintf("overhangs the %s by %s (%s)", edge, across(over, e.shop), across(over, other))
}

// tangent is the distance that prints as 0.
func (e Edges) tangent() float64 {
	if e.shop == unit.Inch {
		return 0.005 * float64(unit.Inch)
	}
	return 0.05 * float64(unit.MM)
}

// String says it all in a sentence: "from 83.0 mm to 153.0 mm at rest, 82.1 mm to
// 156.4 mm at work; overhangs the rim by 6.4 mm (0.25 in); stays 82.1 mm clear of
// the centre".
func (e Edges) String() string {
	text := "from " + e.RestText()
	if e.Work != e.Rest {
		text += " at rest, " + e.WorkText() + " at work"
	}
	return text + "; " + e.RimText() + "; " + e.MiddleText()
}
