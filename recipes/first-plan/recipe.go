// # A first plan
//
// From one sheet of readings to a run card. The mirror and the readings are invented: put yours in their place, one
// section after the other, and run again. What the words mean, `lapwright doc words` tells; any call is explained by
// its name, as in `lapwright doc zone.Reduce`.
package main

import (
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

func main() {
	// ## The mirror
	//
	// Size and curve, the width of the bevel, the thickness at the rim. Lengths may be in inches: 10*Inch.
	blank := mirror.New(mirror.Spec{
		Name:        "Invented 250 mm mirror",
		Diameter:    250 * MM,
		FocalLength: 1375 * MM,
		Bevel:       1 * MM,
		Thickness:   32 * MM,
		Glass:       mirror.Borosilicate,
	})
	show.Mirror(blank)

	// ## The readings
	//
	// The edges of the mask's openings, from the centre out: seven edges make six zones. The sheet beside this file has
	// a row for each time all zones were read. If the lamp stays in its place while the knife moves, write zone.Fixed.
	mask := zone.NewMask(blank, 0*MM, 44*MM, 68*MM, 86*MM, 101*MM, 113*MM, 124*MM)
	readings := zone.Read(mask, "readings.csv", zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Readings(readings)

	// ## The figure
	//
	// What the readings say of the glass. Where the band is wider than a hill is high, the hill may not be there.
	glass := zone.Reduce(readings)
	show.Figure("The glass as tested", glass, mask)
	show.Quality("How good the mirror is", show.As("as tested", glass))
	show.Zones(zone.List(mask, glass), mask)

	// ## The shelf
	//
	// The laps there are, each with the weight on the glass and the share of its face that touches; and how they are
	// moved: along the ring, 15 mm from end to end, 3.3 double strokes in each turn of the table.
	large := lap.Round(lap.Spec{Name: "80 mm lap", Diameter: 80 * MM, Load: 14 * Newton, Contact: 0.8, Limit: 4 * KPa})
	small := lap.Round(lap.Spec{Name: "40 mm lap", Diameter: 40 * MM, Load: 4 * Newton, Contact: 0.8, Limit: 4 * KPa})
	strokes := stroke.Tangential(15*MM, 3.3, 6*RPM).Wander(3 * MM)

	// How fast the laps cut is not known before it was measured. What has been published spans a factor of ten; after a
	// first spell and another test you know better: wear.NewRate(6e-13*PerPascal, 1.3).
	rate := wear.Published()

	// ## The plan
	//
	// At most two spells, no longer than 100 turns each. With the rate in so much doubt the plan goes only part of the
	// way: test after it, and plan anew.
	best := plan.Best(glass, rate, plan.Shelf{Laps: []*lap.Lap{large, small}, Strokes: []*stroke.Stroke{strokes}},
		plan.Limits{Spells: 2, MostTurns: 100})
	show.Plan(best, mask)
	show.Card(best)

	// ## The next test
	//
	// What each zone should read once the glass has settled.
	scatter, _ := readings.Scatter()
	show.Forecast(best, mask, zone.Moving, scatter)
}
