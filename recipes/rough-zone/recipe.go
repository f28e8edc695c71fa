// # A rough zone, and what smoothing costs
//
// Work with a small lap left three narrow rings between 60 and 115 mm on an invented 280 mm f/5 mirror. Each is lower than
// the eye minds; together they scatter light. They can be worked down one by one, or the whole zone can be gone over with
// a lap wide enough to ride on all three. What does either way cost?
package main

import (
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/input"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/picture"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

func main() {
	// ## The rings
	//
	// The heights come from a table, not from a mask: rings this narrow fall between the openings. A recipe may take a
	// figure from any test that gives heights.
	blank := mirror.New(mirror.Spec{Name: "Invented 280 mm mirror", Diameter: 280 * MM, FocalLength: 1400 * MM, Bevel: 1 * MM, Thickness: 36 * MM})
	table := input.Table("heights.csv")
	rough := figure.FromHeights(blank, table.Lengths("radius"), table.Lengths("height"))
	show.Figure("The rough zone", rough)
	show.Quality("How good the mirror is", show.As("rough", rough))
	show.Pictures("What the knife shows", picture.Shadow(rough, picture.Knife{Null: 85 * MM}))

	// ## How rough
	//
	// Rms and Strehl ratio say little of narrow rings. The slope says more: rms over the zone, in millionths.
	show.Text("Slope in the zone from 55 to 120 mm: %.2f millionths rms.", slope(rough))

	// ## One by one
	//
	// A lap of 20 mm on each crest. It must be placed to a few millimetres, which takes a steady hand and a ruler; three
	// millimetres off and it digs beside the crest. The second plan is the same work, placed three millimetres too far out.
	rate := wear.NewRate(8e-13*PerPascal, 1.2)
	least := lap.Round(lap.Spec{Name: "20 mm lap", Diameter: 20 * MM, Load: 1 * Newton, Contact: 0.8, Limit: 5 * KPa})
	short := stroke.Tangential(10*MM, 3.3, 6*RPM)
	var right, off []plan.Spell
	for _, crest := range []Length{68 * MM, 90 * MM, 112 * MM} {
		right = append(right, plan.Spell{Lap: least, Stroke: short, At: crest, Turns: 150})
		off = append(off, plan.Spell{Lap: least, Stroke: short, At: crest + 3*MM, Turns: 150})
	}

	// ## All at once
	//
	// A stiff lap of 110 mm rides on the crests and wears them first; how much depends on its stiffness, which these
	// primitives do not reckon with: their lap presses evenly and lowers crest and hollow alike. So this is the worst it
	// can do, and the cost is what it takes off besides.
	wide := lap.Round(lap.Spec{Name: "110 mm lap", Diameter: 110 * MM, Load: 20 * Newton, Contact: 0.75, Limit: 4 * KPa})
	long := stroke.Tangential(50*MM, 3.7, 6*RPM).Wander(8 * MM)
	over := []plan.Spell{{Lap: wide, Stroke: long, At: 80 * MM, Turns: 100}}

	// ## Side by side
	//
	// If the wide lap wears down the crests by themselves, what it does to the figure beneath must be paid back by
	// another spell, or was wanted anyway: look at the correction before choosing.
	choices := []plan.Choice{
		{Name: "one by one", Plan: plan.New(rough, rate, right...)},
		{Name: "3 mm too far out", Plan: plan.New(rough, rate, off...)},
		{Name: "all at once", Plan: plan.New(rough, rate, over...)},
	}
	rows := make([][]any, 0, 3)
	for _, c := range choices {
		after := c.Plan.Forecast()
		fit := after.BestConic()
		rows = append(rows, show.Row(c.Name, slope(after), fit.Correction.Value, c.Plan.RadiusChange()))
	}
	show.Choices(choices)
	show.Table("What it costs", show.Heads("way", "slope (millionths)", "correction (%)", "change of radius (µm)"), rows...)
	show.Figure("After all at once, if the lap does not ride on the crests", choices[2].Plan.Forecast())
}

// slope is the rms of dE/dr between 55 and 120 mm, in millionths.
func slope(f *figure.Figure) float64 {
	radii, slopes := figure.Grid(f.Mirror()), f.Refocused().Slopes()
	sum, area := 0.0, 0.0
	for i, r := range radii {
		if r >= 0.055 && r <= 0.120 {
			sum += r * slopes[i] * slopes[i]
			area += r
		}
	}
	return 1e6 * math.Sqrt(sum/area)
}
