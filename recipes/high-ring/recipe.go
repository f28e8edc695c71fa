// # A high ring near the edge
//
// An invented mirror with invented readings, to show the whole job once: a 300 mm f/5 blank of low-expansion glass on
// which a narrow ring near 0.8 of the radius stands high after the last session. What do the readings say, what would
// one lap do to the ring and beside it, what do three laps do that share the time, and which spells are best?
package main

import (
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
	// ## The mirror
	//
	// A blank on the turntable, polished out and close to its paraboloid. Everything below is measured from this one
	// description.
	blank := mirror.New(mirror.Spec{
		Name:        "Demonstration blank",
		Diameter:    300 * MM,
		FocalLength: 1500 * MM,
		Thickness:   40 * MM,
		Bevel:       1.5 * MM,
		Glass:       mirror.Borosilicate,
	})
	show.Mirror(blank)

	// ## The readings
	//
	// Seven zones, read five times over with knife and lamp on one slide. The slide was taken off its rail between the
	// sets, so each set has a zero of its own; only the differences within a set count.
	mask := zone.NewMask(blank, 0*MM, 52*MM, 84*MM, 104*MM, 118*MM, 130*MM, 140*MM, 148*MM)
	readings := zone.Read(mask, "readings.csv", zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Readings(readings)

	// ## The figure
	//
	// The readings become a height at every radius, with the band in which it lies two times out of three. Where the
	// band is wider than a hill is high, the hill may not be there.
	glass := zone.Reduce(readings)
	show.Figure("The glass as tested", glass, mask)
	show.Quality("How good the mirror is", show.As("as tested", glass))
	show.Zones(zone.List(mask, glass), mask)

	// ## The shelf
	//
	// Four round laps, faceted so that four fifths of the face touch. The small ones carry less weight: pitch pressed
	// too hard on a small face marks the glass.
	large := lap.Round(lap.Spec{Name: "150 mm lap", Diameter: 150 * MM, Load: 35 * Newton, Contact: 0.8})
	middle := lap.Round(lap.Spec{Name: "90 mm lap", Diameter: 90 * MM, Load: 15 * Newton, Contact: 0.8, Limit: 4 * KPa})
	small := lap.Round(lap.Spec{Name: "60 mm lap", Diameter: 60 * MM, Load: 7 * Newton, Contact: 0.8, Limit: 4 * KPa})
	least := lap.Round(lap.Spec{Name: "40 mm lap", Diameter: 40 * MM, Load: 4 * Newton, Contact: 0.8, Limit: 4 * KPa})

	// The table turns slowly; strokes are short, along the ring, and out of step with the table. The lap's middle is
	// moved in and out a little all the while, so that no edge of it works twice in the same place.
	table := input.Rate("table", 6*RPM, "rate of the turntable", 1*RPM, 20*RPM)
	strokes := stroke.Tangential(20*MM, 3.3, table).Wander(3 * MM)

	// What these laps take off is known from earlier work on this glass, within a factor of 1.4 either way.
	rate := wear.NewRate(9e-13*PerPascal, 1.4)

	// ## One lap against three
	//
	// The trade's way with a narrow high ring: centre several laps of different size on it and let them share the time,
	// so that their edges fall in different places. Here is what that does, beside each lap working all the time alone.
	ring := input.Length("ring", 118*MM, "radius of the high ring", 60*MM, 140*MM)
	time := input.Time("time", 12*Minute, "time the laps share", 1*Minute, 60*Minute)
	shared := plan.Share(glass, rate, plan.Sharing{
		Ring:   ring,
		Width:  20 * MM,
		Time:   time,
		Laps:   []*lap.Lap{least, small, middle},
		Stroke: strokes,
	})
	show.Share(shared, mask)
	show.Result("ring lowered by the laps together, nm", shared.Whole().OnRing(ring, 20*MM).Depth.Value*1e9)

	// ## The best plan
	//
	// All four laps at every workable radius: the few spells in whole turns that are expected to leave the best figure,
	// with glass left low counted three times as dear as glass left high. No spell is longer than 150 turns, so that the
	// glass is looked at now and then.
	spells := input.Count("spells", 4, "the most spells of work", 1, 6)
	shelf := plan.Shelf{
		Laps:    []*lap.Lap{large, middle, small, least},
		Strokes: []*stroke.Stroke{strokes},
	}
	best := plan.Best(glass, rate, shelf, plan.Limits{Spells: spells, MostTurns: 150, Time: 90 * Minute})
	show.Plan(best, mask)
	show.FromAbove(best)
	_, after := best.RMS()
	show.Result("rms to expect after the plan, nm", after.In(NM))

	// ## The run card
	//
	// One page for the bench.
	show.Card(best)

	// ## The next test
	//
	// What should be read when the glass has settled. A zone that reads outside its range says that the rate, the laps
	// or the test are not what was thought: find out which before going on.
	scatter, _ := readings.Scatter()
	show.Forecast(best, mask, zone.Moving, scatter)
}
