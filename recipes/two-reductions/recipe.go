// # One sheet, two reductions
//
// An invented 250 mm f/6 mirror with invented readings, reduced twice: in straight pieces, one slope for each zone, as
// it has long been done with pencil and paper, and as the smooth surface that the readings make most likely. Where do
// the two agree, where do they part, and what can neither of them tell?
package main

import (
	"math"

	"lapwright/stdlib/mirror"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

func main() {
	// ## The mirror and its mask
	//
	// Six zones, cut a little narrower where the reading changes faster. The drawing below is the mask itself: printed at
	// its actual size it can be cut out and used.
	blank := mirror.New(mirror.Spec{
		Name:        "Invented 250 mm mirror",
		Diameter:    250 * MM,
		FocalLength: 1500 * MM,
		Bevel:       1 * MM,
		Thickness:   30 * MM,
	})
	mask := zone.NewMask(blank, 0*MM, 48*MM, 70*MM, 86*MM, 100*MM, 112*MM, 124*MM)
	show.Mask(mask)
	_, why := zone.Suggest(blank)
	show.Text("What this mirror's test calls for: %s.", why)

	// ## The readings
	//
	// Six sets, the mirror turned a quarter of the way round after every two. One reading was not taken. If the mirror
	// were not a figure of revolution, or its cell pressed, the sets would differ by the angle; the program looks for it
	// and says so where it finds it.
	readings := zone.Read(mask, "readings.csv", zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Readings(readings)

	// ## Two reductions
	//
	// Both use the exact geometry of the knife-edge and leave the common zero of the readings free. The straight pieces
	// give each zone the one slope its reading calls for. The smooth surface asks of all surfaces that could be, which
	// read so, and says how far they differ.
	straight := zone.Straight(readings)
	smooth := zone.Reduce(readings)
	show.Compare("The same readings, reduced twice", mask, show.As("smooth surface", smooth), show.As("straight pieces", straight))

	// ## Where they differ
	//
	// A reading is the mean over its opening, and that fixes one thing alone: how much higher the glass stands at the
	// outer edge of the opening than at the inner one. So the two agree at the edges, and part between them, where the
	// straight piece cannot bend: most of all at the centre, which the pieces leave as the tip of a cone where glass is
	// always flat, and beside the top of a ring.
	edge, between := 0.0, 0.0
	rows := [][]any{show.Row("centre", 1, 0*MM, smooth.At(0), smooth.SigmaAt(0), straight.At(0), straight.SigmaAt(0), straight.At(0)-smooth.At(0))}
	for i := 0; i < mask.Zones(); i++ {
		inner, outer := mask.Edges(i)
		for _, r := range []Length{(inner + outer) / 2, outer} {
			place := "middle of zone"
			a, b := smooth.At(r), straight.At(r)
			gap := (b - a).In(NM)
			if r == outer {
				place = "outer edge of zone"
				edge += gap * gap / float64(mask.Zones())
			} else {
				between += gap * gap / float64(mask.Zones())
			}
			rows = append(rows, show.Row(place, i+1, r, a, smooth.SigmaAt(r), b, straight.SigmaAt(r), b-a))
		}
	}
	edges, middles := Length(math.Sqrt(edge))*NM, Length(math.Sqrt(between))*NM
	show.Table("Heights by both", show.Heads("where", "zone", "radius (mm)", "smooth (nm)", "± (nm)", "straight (nm)", "± (nm)", "difference (nm)"), rows...)
	show.Text("At the edges of the openings the two differ by %.1f nm in the root mean square, in the middles by %.1f nm.", edges.In(NM), middles.In(NM))
	show.Expect("difference at the edges", edges, 0*NM, 3*NM)
	show.Text("The ± of the straight pieces is what the scatter of the readings does to them, and nothing else: it does not know how far the glass may bend between the edges. That of the smooth surface does.")

	// ## What it makes of the mirror
	//
	// Straight pieces have corners, and corners scatter light that the glass may not. Judge a mirror by the smooth
	// surface, and by the range, not the number.
	show.Quality("How good the mirror is, by both", show.As("smooth surface", smooth), show.As("straight pieces", straight))
	show.Zones(zone.List(mask, smooth), mask)

	// ## What neither can tell
	//
	// A ring that lies wholly within one opening moves no reading. This is how wide one must be to be seen for sure:
	show.Text("%v.", zone.Narrowest(readings, 30*NM))

	// What all readings of a set have in common is no error of figure. It is where the slide stood, or a radius of
	// curvature that is not what it was taken for.
	show.Offsets(readings, smooth)
}
