// # A loss of one's own
//
// The planner looks for the least mean square of the height. The owner of this invented 380 mm f/5 mirror asks for
// something else: no zone's light outside the Airy disc, whatever the rms. That is another measure, and a recipe is Go: it
// can search by itself, with the same profiles of wear.
package main

import (
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/input"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// blank is the mirror of this recipe.
var blank = mirror.New(mirror.Spec{Name: "Invented 380 mm mirror", Diameter: 380 * MM, FocalLength: 1900 * MM, Bevel: 2 * MM, Thickness: 45 * MM})

func main() {
	// ## The figure
	//
	// Two zones, given by heights: a broad one and a steep one.
	glass := figure.FromHeights(blank,
		[]Length{0, 40 * MM, 80 * MM, 110 * MM, 130 * MM, 145 * MM, 160 * MM, 188 * MM},
		[]Length{0, 30 * NM, 70 * NM, 30 * NM, 20 * NM, 60 * NM, 10 * NM, 0})
	show.Figure("The glass", glass)
	show.Quality("How good the mirror is", show.As("as it is", glass))

	// ## The measure
	//
	// A zone's ray misses the best image by 2f times its slope. The measure is the greatest miss over the Airy radius, at
	// the focus that makes it least; the Couder criterion asks for at most 1. Slopes are taken over a fiftieth of the
	// radius, since the knife sees no finer step.
	show.Text("Greatest miss as it is: %.2f Airy radii.", miss(glass.Heights()))

	// ## The search
	//
	// Every lap at every radius tried is a candidate. Turns are added a handful at a time where they help the measure
	// most, as long as any help. It is a plain search and proves nothing; Best proves, for its own measure.
	rate := wear.NewRate(8e-13*PerPascal, 1.2)
	table := 6 * RPM
	along := stroke.Tangential(20*MM, 3.3, table).Wander(3 * MM)
	laps := []*lap.Lap{
		lap.Round(lap.Spec{Name: "30 mm lap", Diameter: 30 * MM, Load: 2.5 * Newton, Contact: 0.8, Limit: 5 * KPa}),
		lap.Round(lap.Spec{Name: "60 mm lap", Diameter: 60 * MM, Load: 9 * Newton, Contact: 0.8, Limit: 5 * KPa}),
		lap.Round(lap.Spec{Name: "110 mm lap", Diameter: 110 * MM, Load: 30 * Newton, Contact: 0.8, Limit: 5 * KPa}),
	}
	settings := make([]wear.Setting, 0, 30)
	for _, l := range laps {
		for at := 30 * MM; at+l.Radius() <= blank.Clear(); at += 12 * MM {
			settings = append(settings, wear.Setting{Lap: l, Stroke: along, At: at})
		}
	}
	profiles := wear.All(blank, settings)
	step := input.Count("step", 25, "turns added at a time", 5, 100)
	most := input.Count("most", 24, "the most steps", 1, 60)
	turns := search(glass.Heights(), profiles, float64(rate.K)*float64(step), most)

	// ## Beside the best by mean square
	//
	// The same laps, three spells at most. Each plan is the better one by its own measure.
	spells := make([]plan.Spell, 0, 6)
	for i, n := range turns {
		if n > 0 {
			s := settings[i]
			spells = append(spells, plan.Spell{Lap: s.Lap, Stroke: s.Stroke, At: s.At, Turns: n * step})
		}
	}
	mine := plan.New(glass, rate, spells...)
	best := plan.Best(glass, rate, plan.Shelf{Laps: laps, Strokes: []*stroke.Stroke{along}, Step: 24 * MM}, plan.Limits{Spells: 3, MostTurns: 250})
	rows := make([][]any, 0, 3)
	for _, c := range []plan.Choice{{Name: "by the greatest miss", Plan: mine}, {Name: "by the mean square", Plan: best}} {
		_, after := c.Plan.RMS()
		rows = append(rows, show.Row(c.Name, len(c.Plan.Spells()), c.Plan.Time(), after, miss(c.Plan.Forecast().Heights())))
	}
	show.Table("Two measures, two plans", show.Heads("plan", "spells", "time (min)", "rms after (nm)", "greatest miss (Airy radii)"), rows...)
	show.Plan(mine)
	show.Result("greatest miss after, Airy radii", miss(mine.Forecast().Heights()))
}

// search adds steps of turns to the candidates, each time to the one that lessens the measure most, and returns how many
// steps each got. Perstep is the wear coefficient times the turns of a step.
func search(heights []float64, profiles []*wear.Profile, perStep float64, most int) []int {
	turns := make([]int, len(profiles))
	depths := make([][]float64, len(profiles))
	for i, p := range profiles {
		depths[i] = p.PerTurn()
	}
	now := miss(heights)
	trial := make([]float64, len(heights))
	for range most {
		best := -1
		for i, d := range depths {
			for j, h := range heights {
				trial[j] = h - float64(perStep*d[j])
			}
			if m := miss(trial); m < now-1e-6 {
				best, now = i, m
			}
		}
		if best < 0 {
			break
		}
		turns[best]++
		for j := range heights {
			heights[j] -= float64(perStep * depths[best][j])
		}
	}
	return turns
}

// miss is the greatest transverse miss of a ray over the Airy radius, at the focus that makes it least. A change of focus
// adds to every slope in proportion to r: the least greatest miss is sought by halving the range that holds it.
func miss(heights []float64) float64 {
	radii := figure.Grid(blank)
	const over = 5 // steps of the grid, about a fiftieth of the radius
	f := float64(blank.FocalLength())
	airy := float64(blank.Airy())
	low, high := -2e-6, 2e-6 // slope at the rim that a change of focus may add
	worst := func(focus float64) (most, leaning float64) {
		for j := 0; j+over < len(heights); j += 2 {
			r := (radii[j] + radii[j+over]) / 2
			slope := (heights[j+over]-heights[j])/(radii[j+over]-radii[j]) + focus*r/radii[len(radii)-1]
			if m := math.Abs(slope); m > most {
				most, leaning = m, slope
			}
		}
		return 2 * f * most / airy, leaning
	}
	for range 14 {
		middle := (low + high) / 2
		if _, leaning := worst(middle); leaning > 0 {
			high = middle
		} else {
			low = middle
		}
	}
	most, _ := worst((low + high) / 2)
	return most
}
