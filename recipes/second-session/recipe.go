// # The second session
//
// An invented mirror with an invented log, to show what is learned from work: a 250 mm f/6 blank was tested, worked with
// two laps, and tested again. Did the work go as foreseen? What does it say of the laps? And what comes next?
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
	// ## The bench
	//
	// The mirror, its mask, the laps and the stroke that the log speaks of.
	blank := mirror.New(mirror.Spec{
		Name:        "Demonstration blank 2",
		Diameter:    250 * MM,
		FocalLength: 1500 * MM,
		Thickness:   35 * MM,
		Glass:       mirror.Borosilicate,
	})
	mask := zone.NewMask(blank, 0*MM, 36*MM, 60*MM, 78*MM, 93*MM, 105*MM, 116*MM, 125*MM)
	wide := lap.Round(lap.Spec{Name: "100 mm lap", Diameter: 100 * MM, Load: 14 * Newton, Contact: 0.8})
	small := lap.Round(lap.Spec{Name: "55 mm lap", Diameter: 55 * MM, Load: 5 * Newton, Contact: 0.8})
	along := stroke.Tangential(20*MM, 3.3, 6*RPM).Wander(3 * MM)

	// ## The story so far
	//
	// The log lies beside this recipe as plain text. `lapwright log` adds a line when it is told to; nothing else
	// writes it.
	log := session.Read("recipe.log", session.Bench{Laps: []*lap.Lap{wide, small}, Strokes: []*stroke.Stroke{along}})
	story := log.Story(mask, zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Story(story)

	// ## Did it go as foreseen?
	//
	// Before the work the rate was taken from the published range, narrowed by a trial to within a factor of 1.5 either
	// way. The figure before, the turns as worked and that rate foretold what the zones should read.
	before := wear.NewRate(6e-13*PerPascal, 1.5)
	work := story.Works()[0]
	show.Outcome(session.Compare(before, work), work)

	// ## What the laps do on this glass
	//
	// The readings before and after, and the turns as worked, say how fast each lap really cuts.
	learned := session.Learn(before, story.Works()...)
	show.Learned(learned)

	// ## Is it done?
	//
	// A mirror is done when its maker is content. Here that is a Strehl ratio of 0.95, as likely as nine to one.
	glass := story.Latest()
	show.Figure("The glass now", glass, mask)
	show.Text("The chance that the Strehl ratio is 0.95 or more is %.0f %%.", 100*session.Reaches(glass, 0.95))

	// ## What comes next
	//
	// With rates that are better known the plan dares more.
	next := plan.Best(glass, learned.Rate(), plan.Shelf{Laps: []*lap.Lap{wide, small}, Strokes: []*stroke.Stroke{along}},
		plan.Limits{Spells: 3, MostTurns: 250})
	show.Plan(next, mask)
	show.Card(next)
	show.LogLines(next)
}
