// # Learning the rate
//
// How fast does this lap cut? Nobody knows before it was measured: published figures span a factor of ten. A ring was
// found on an invented 240 mm f/6 mirror, worked for 120 turns with one lap, and tested again. Two tests and the work
// between them are enough.
package main

import (
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/session"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

func main() {
	// ## Before
	blank := mirror.New(mirror.Spec{Name: "Invented 240 mm mirror", Diameter: 240 * MM, FocalLength: 1440 * MM, Bevel: 1 * MM, Thickness: 30 * MM})
	mask := zone.NewMask(blank, 0*MM, 40*MM, 62*MM, 78*MM, 92*MM, 106*MM, 119*MM)
	sheet := zone.Sheet{Source: zone.Moving, Unit: MM}
	before := zone.Reduce(zone.Read(mask, "before.csv", sheet))
	show.Figure("Before the work", before, mask)

	// ## The work
	//
	// One lap on the ring, 120 whole turns, counted. The load was weighed: lap, weight on it, and the hand on a kitchen
	// balance. Of what is not written down nothing can be learned.
	small := lap.Round(lap.Spec{Name: "50 mm lap", Diameter: 50 * MM, Load: 6 * Newton, Contact: 0.75, Limit: 5 * KPa})
	along := stroke.Tangential(20*MM, 4.3, 8*RPM).Wander(3 * MM)
	worked := plan.Spell{Lap: small, Stroke: along, At: 85 * MM, Turns: 120}
	known := wear.Published()
	trial := plan.New(before, known, worked)
	show.Text("What was known before: %v.", known)
	show.Text("By that the spell would take off %.0f nm at most, and may take off from %.0f to %.0f.",
		1e9*trial.Effect(0).Deepest.Value, 1e9*trial.Effect(0).Deepest.Low, 1e9*trial.Effect(0).Deepest.High)

	// ## After
	//
	// Tested again the next morning, the glass at rest.
	after := zone.Read(mask, "after.csv", sheet)
	show.Figure("After the work", zone.Reduce(after), mask)
	work := session.Work{Before: before, Spells: session.As(trial), After: after}
	show.Outcome(session.Compare(known, work), work)

	// ## The rate
	//
	// What the readings after the work say, given those before it. The doubt that is left comes from both tests and from
	// how well the model knows the shape of what a lap takes off.
	learned := session.Learn(known, work)
	show.Learned(learned)
	own := learned.Rate().Of(small)
	show.Result("rate of the 50 mm lap, 1e-13 m²/N", float64(own.K)*1e13)

	// ## What it is worth
	//
	// The same further work, planned with what was known before and with what is known now. The first must hold back:
	// it may cut three times as fast as thought.
	shelf := plan.Shelf{Laps: []*lap.Lap{small}, Strokes: []*stroke.Stroke{along}, Step: 8 * MM}
	limits := plan.Limits{Spells: 1, MostTurns: 400}
	now := zone.Reduce(after)
	show.Choices([]plan.Choice{
		{Name: "with published rates", Plan: plan.Best(now, known, shelf, limits)},
		{Name: "with the learned rate", Plan: plan.Best(now, learned.Rate(), shelf, limits)},
	})
}
