// # A mask for a 220 mm mirror
//
// An invented 220 mm f/6.5 mirror is ready for its first test and has no mask yet. How many zones does it want, and
// where should the edges fall? Three ways of cutting are held side by side, by what they would show; one of them is
// drawn at true size, to be printed and cut out of card.
package main

import (
	"lapwright/stdlib/input"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

func main() {
	// ## The mirror
	blank := mirror.New(mirror.Spec{Name: "Invented 220 mm mirror", Diameter: 220 * MM, FocalLength: 1430 * MM, Bevel: 1 * MM})
	show.Mirror(blank)

	// ## How many zones
	//
	// Narrow openings tell more of the shape and less of each place: a zone much narrower than a three hundredth of the
	// radius of curvature blurs its own shadow by diffraction.
	suggested, why := zone.Suggest(blank)
	show.Text("Suggested: %s.", why)
	zones := input.Count("zones", suggested.Zones(), "number of zones", 3, 9)

	// ## Three ways to cut
	//
	// Equal areas give every zone the same light. Equal steps of the reading come to the same for a paraboloid with the
	// lamp on the slide, as here; for another conic, or with the lamp left in its place, they would not. Where a ring is
	// suspected, an edge belongs on it: the third mask has edges at 62 and 80 mm, where the last lap stood.
	equal := zone.EqualAreas(blank, zones)
	steps := zone.EqualReadings(blank, zones, zone.Moving)
	chosen := zone.NewMask(blank, 0*MM, 34*MM, 50*MM, 62*MM, 80*MM, 95*MM, 109*MM)
	show.Table("Edges of the zones", show.Heads("mask", "zone", "from (mm)", "to (mm)", "width (mm)", "reads (mm)"), edges(
		named{"equal areas", equal}, named{"equal steps", steps}, named{"by hand", chosen})...)

	// ## What each would show
	//
	// A ring of this height, read four times over with a scatter of 0.02 mm: how wide it must be to be sure to show. A
	// narrower one can hide.
	height := input.Length("height", 30*NM, "height of a ring worth finding", 5*NM, 200*NM)
	for _, n := range []named{{"Equal areas", equal}, {"By hand", chosen}} {
		show.Text("%s: %v", n.name, zone.Narrowest(fourSets(n.mask), height))
	}

	// ## The mask to cut
	//
	// Print it at full size, hold a ruler to the bar, and cut the openings out. Set it before the mirror with its middle
	// on the mirror's. Glass is heavy and slips: let the mask lean on the stand, not on the mirror.
	show.Mask(chosen)
}

// A named mask.
type named struct {
	name string
	mask *zone.Mask
}

// edges lists the zones of masks with what a perfect mirror reads in each, from that of zone 1.
func edges(masks ...named) [][]any {
	rows := make([][]any, 0, 30)
	for _, n := range masks {
		ideal := zone.Ideal(n.mask, zone.Moving)
		for i := range n.mask.Zones() {
			inner, outer := n.mask.Edges(i)
			rows = append(rows, show.Row(n.name, i+1, inner, outer, outer-inner, ideal[i]-ideal[0]))
		}
	}
	return rows
}

// fourSets makes four sets of readings of a perfect mirror, 0.02 mm up and down: enough to say what a mask can see.
func fourSets(mask *zone.Mask) *zone.Readings {
	sets := make([][]float64, 4)
	for s := range sets {
		for i, reading := range zone.Ideal(mask, zone.Moving) {
			off := 0.02
			if (s+i)%2 == 0 {
				off = -0.02
			}
			sets[s] = append(sets[s], reading.In(MM)+off)
		}
	}
	return zone.Given(mask, zone.Sheet{Source: zone.Moving, Scatter: 0.02 * MM}, sets...)
}
