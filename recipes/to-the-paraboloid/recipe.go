// # From under-corrected to the paraboloid
//
// An invented 320 mm f/4.8 mirror has come five sixths of the way from the sphere to its paraboloid and has no other
// fault worth naming. The rest is taken off with large laps and long strokes, where smoothness comes by itself. How much
// glass is that, where, and does one evening do it?
package main

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/input"
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
	// ## The readings
	blank := mirror.New(mirror.Spec{Name: "Invented 320 mm mirror", Diameter: 320 * MM, FocalLength: 1536 * MM, Bevel: 1.5 * MM, Thickness: 42 * MM})
	mask := zone.EqualAreas(blank, 6)
	readings := zone.Read(mask, "readings.csv", zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Readings(readings)

	// ## How far it has come
	//
	// The conic that fits the glass best, and its correction: a sphere has none, the paraboloid a hundred per cent. What
	// is left beside the conic is what more parabolising will not mend.
	glass := zone.Reduce(readings)
	fit := glass.BestConic()
	show.Form("The nearest conic", show.As("as tested", glass))
	show.Figure("The glass as tested", glass, mask)
	show.Quality("How good the mirror is", show.As("as tested", glass), show.As("that conic alone", figure.Conic(blank, fit.Constant.Value)))

	// ## Large laps, long strokes
	//
	// Two laps of about half and a third of the diameter, each with a short and a long stroke along the ring; the lap is
	// free to turn under the hand. At best focus such glass stands high in the middle and at the edge, and the middle is
	// where a lap on the table cuts by itself.
	half := lap.Round(lap.Spec{Name: "160 mm lap", Diameter: 160 * MM, Load: 35 * Newton, Contact: 0.75, Limit: 4 * KPa})
	third := lap.Round(lap.Spec{Name: "110 mm lap", Diameter: 110 * MM, Load: 20 * Newton, Contact: 0.75, Limit: 4 * KPa})
	table := input.Rate("table", 7*RPM, "rate of the turntable", 1*RPM, 20*RPM)
	shelf := plan.Shelf{
		Laps: []*lap.Lap{half, third},
		Strokes: []*stroke.Stroke{
			stroke.Tangential(40*MM, 3.3, table).Free().Wander(5 * MM),
			stroke.Tangential(120*MM, 2.3, table).Free().Wander(5 * MM),
		},
		Step: 16 * MM,
	}
	rate := wear.NewRate(7e-13*PerPascal, 1.3)
	minutes := input.Time("evening", 45*Minute, "time for the work", 5*Minute, 4*Hour)
	best := plan.Best(glass, rate, shelf, plan.Limits{Spells: 3, Time: minutes})
	show.Plan(best, mask)
	show.Text("The radius of curvature changes by %v: no error of figure, but the focus moves by half of that.", best.RadiusChange())

	// ## The card, and the next test
	//
	// Long strokes warm the glass: wait before testing.
	show.Card(best)
	scatter, _ := readings.Scatter()
	show.Forecast(best, mask, zone.Moving, scatter)
	after := best.Forecast().BestConic()
	show.Result("correction after the plan, per cent", after.Correction.Value)
}
