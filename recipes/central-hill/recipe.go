// # A hill in the middle
//
// The innermost zone of an invented 180 mm f/7 mirror stands high. The middle is a small part of the light, so the first
// question is whether it is worth the risk; the second is how to lower it without digging a hole, since a lap on the
// centre of the table works one place all the time.
package main

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/picture"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

func main() {
	// ## The readings
	//
	// Zone 1 is the hardest to read: its light crosses near the axis, and a large error of the reading is a small one of
	// the glass.
	blank := mirror.New(mirror.Spec{Name: "Invented 180 mm mirror", Diameter: 180 * MM, FocalLength: 1260 * MM, Bevel: 1 * MM, Thickness: 25 * MM})
	mask := zone.NewMask(blank, 0*MM, 22*MM, 38*MM, 56*MM, 73*MM, 89*MM)
	readings := zone.Read(mask, "readings.csv", zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Readings(readings)

	// ## The hill
	glass := zone.Reduce(readings)
	show.Figure("The glass as tested", glass, mask)
	show.Zones(zone.List(mask, glass), mask)
	show.Pictures("The shadow, and that of a good mirror",
		picture.Shadow(glass, picture.Knife{Null: 60 * MM, Cut: 0.005 * MM}),
		picture.Shadow(figure.Perfect(blank), picture.Knife{Null: 60 * MM, Cut: 0.005 * MM}))

	// ## Is it worth it
	//
	// In a telescope a secondary mirror of 45 mm stands before the middle. Most of this hill then lies in its shadow.
	show.Quality("How good the mirror is", show.As("bare", glass), show.As("behind a 45 mm secondary", glass.Obstructed(45*MM)))

	// ## Three ways to lower it
	//
	// The same small lap for the same hundred turns: held on the centre, moved across it, and run round beside it. Held
	// on the centre it takes off nothing in the middle itself, where the glass stands still under it. Moved across, it is
	// the stroke alone that cuts there.
	small := lap.Round(lap.Spec{Name: "30 mm lap", Diameter: 30 * MM, Load: 2.5 * Newton, Contact: 0.8, Limit: 5 * KPa})
	table := 8 * RPM
	rate := wear.NewRate(8e-13*PerPascal, 1.3)
	ways := []plan.Spell{
		{Lap: small, Stroke: stroke.Held(table), At: 0, Turns: 100},
		{Lap: small, Stroke: stroke.Radial(30*MM, 4.3, table), At: 0, Turns: 100},
		{Lap: small, Stroke: stroke.Tangential(20*MM, 4.3, table).Wander(3 * MM), At: 12 * MM, Turns: 100},
	}
	names := []string{"held on the centre", "across the centre", "beside the centre"}
	radii := figure.Grid(blank)
	curves := make([]show.Curve, 0, 3)
	rows := make([][]any, 0, 3)
	for i, spell := range ways {
		p := plan.New(glass, rate, spell)
		x, y := make([]float64, 0, 130), make([]float64, 0, 130)
		for j, depth := range p.Removed(0) {
			if radii[j] <= 0.045 {
				x, y = append(x, radii[j]*1e3), append(y, depth*1e9)
			}
		}
		curves = append(curves, show.Curve{Name: names[i], X: x, Y: y})
		_, after := p.RMS()
		rows = append(rows, show.Row(names[i], 1e9*p.Effect(0).Deepest.Value, p.Effect(0).At, after, 100*p.Chance()))
	}
	show.Plot("What a hundred turns take off", "radius (mm)", "depth (nm)", curves...)
	show.Table("Three ways", show.Heads("way", "deepest (nm)", "at (mm)", "rms after (nm)", "chance of a gain (%)"), rows...)

	// ## The plan
	//
	// The laps of the shelf, moved across or beside the centre, no spell longer than 120 turns.
	middle := lap.Round(lap.Spec{Name: "50 mm lap", Diameter: 50 * MM, Load: 6 * Newton, Contact: 0.8, Limit: 5 * KPa})
	best := plan.Best(glass, rate, plan.Shelf{
		Laps:    []*lap.Lap{small, middle},
		Strokes: []*stroke.Stroke{stroke.Radial(30*MM, 4.3, table), stroke.Tangential(20*MM, 4.3, table).Wander(3 * MM)},
		To:      40 * MM,
		Step:    4 * MM,
	}, plan.Limits{Spells: 2, MostTurns: 120})
	show.Plan(best, mask)
	show.Card(best)
}
