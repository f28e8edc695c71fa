// # From the first test to the finish
//
// An invented 210 mm f/7.5 mirror, as its log tells it: three tests, two evenings of work. The log stands beside this
// recipe, one line an event, written with `lapwright log` as things happened. From it come the mirror's story, the rate
// of each lap, and what to do next, if anything.
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
	// ## The mirror and the bench
	//
	// The names of the laps are those the log uses.
	blank := mirror.New(mirror.Spec{Name: "Invented 210 mm mirror", Diameter: 210 * MM, FocalLength: 1575 * MM, Bevel: 1 * MM, Thickness: 28 * MM})
	mask := zone.NewMask(blank, 0*MM, 35*MM, 56*MM, 72*MM, 86*MM, 96*MM, 104*MM)
	large := lap.Round(lap.Spec{Name: "70 mm lap", Diameter: 70 * MM, Load: 12 * Newton, Contact: 0.8, Limit: 5 * KPa})
	small := lap.Round(lap.Spec{Name: "35 mm lap", Diameter: 35 * MM, Load: 3 * Newton, Contact: 0.8, Limit: 5 * KPa})
	along := stroke.Tangential(20*MM, 5.3, 7*RPM).Wander(3 * MM)

	// ## The story
	log := session.Read("recipe.log", session.Bench{Laps: []*lap.Lap{large, small}, Strokes: []*stroke.Stroke{along}})
	rows := make([][]any, 0, 20)
	for _, e := range log.Events() {
		rows = append(rows, show.Row(e.When, e.Kind, e.Text))
	}
	show.Table("The log", show.Heads("when", "what", "as written"), rows...)
	story := log.Story(mask, zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Story(story)

	// ## How the last evening went
	//
	// What the readings after it should have been, by all that was known before.
	works := story.Works()
	first := session.Learn(wear.Published(), works[0])
	last := works[len(works)-1]
	show.Outcome(session.Compare(first.Rate(), last), last)

	// ## What the laps cut
	learned := session.Learn(wear.Published(), works...)
	show.Learned(learned)

	// ## Now
	//
	// The figure of the last test beside that of the first.
	now := story.Latest()
	show.Quality("Then and now", show.As("first test", story.Tests[0].Figure), show.As("last test", now))
	show.Figure("The glass at the last test", now, mask)

	// ## Go on or stop
	//
	// The best further plan, at most two spells. Where the chance of a gain is small, or the gain is within the doubt of
	// the test, the mirror is as good as this test can make it: stop.
	next := plan.Best(now, learned.Rate(), plan.Shelf{Laps: []*lap.Lap{large, small}, Strokes: []*stroke.Stroke{along}, Step: 7 * MM},
		plan.Limits{Spells: 2, MostTurns: 100})
	show.Plan(next, mask)
	before, after := next.RMS()
	doubt := now.Quality().RMSSurface
	show.Text("Going on is expected to bring the surface from %v to %v rms; the test itself knows it to within %.1f to %.1f nm.",
		before, after, 1e9*doubt.Low, 1e9*doubt.High)
	show.Text("The mirror has a Strehl ratio of at least 0.95 with a chance of %.0f %% now.", 100*session.Reaches(now, 0.95))
	show.LogLines(next)
	show.Result("rms of the surface, nm", now.Quality().RMSSurface.Value*1e9)
}
