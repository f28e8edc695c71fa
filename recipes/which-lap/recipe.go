// # The next lap for the shelf
//
// The shelf of an invented shop that makes 250 mm f/5.6 mirrors holds one 100 mm lap, and pitch for one more. Which size
// would help most? Three errors that come again and again are given to laps of every size, one spell each, and then to
// pairs.
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

func main() {
	// ## Three errors
	//
	// A broad zone, a narrow ring and a hill in the middle, each 80 nm high. Figures may be written down like this to try
	// things out; no readings stand behind them.
	blank := mirror.New(mirror.Spec{Name: "Invented 250 mm mirror", Diameter: 250 * MM, FocalLength: 1400 * MM, Bevel: 1 * MM})
	faults := []show.Named{
		show.As("broad zone", heights(blank, 0, 0, 40, 10, 70, 80, 100, 10, 124, 0)),
		show.As("narrow ring", heights(blank, 0, 0, 70, 0, 80, 80, 90, 0, 124, 0)),
		show.As("hill", heights(blank, 0, 80, 12, 55, 25, 12, 40, 0, 124, 0)),
	}
	show.Quality("The errors", faults...)

	// ## Laps of every size
	//
	// Loads go with the face, so that all press alike, with 3 kPa. Each lap gets the best spell it can have, at the best
	// radius, of at most 200 turns; the number is the rms of the surface that is expected to be left.
	pressure := input.Pressure("pressure", 3*KPa, "contact pressure of all laps", 0.5*KPa, 10*KPa)
	rate := wear.NewRate(8e-13*PerPascal, 1.2)
	sizes := []Length{25 * MM, 40 * MM, 60 * MM, 80 * MM, 100 * MM}
	laps := make([]*lap.Lap, 0, len(sizes))
	for _, d := range sizes {
		area := 0.8 * math.Pi * float64(d) * float64(d) / 4
		laps = append(laps, lap.Round(lap.Spec{Diameter: d, Load: Force(float64(pressure) * area), Contact: 0.8}))
	}
	show.Table("One spell with one lap: rms left", show.Heads("lap", "broad zone (nm)", "narrow ring (nm)", "hill (nm)", "longest (min)"),
		tried(faults, rate, 1, alone(laps)...)...)

	// ## A pair
	//
	// The same, with two spells, for the 100 mm lap together with each of the others.
	pairs := make([][]*lap.Lap, 0, len(laps))
	for _, l := range laps[:len(laps)-1] {
		pairs = append(pairs, []*lap.Lap{l, laps[len(laps)-1]})
	}
	show.Table("Two spells with the 100 mm lap and another: rms left", show.Heads("the other", "broad zone (nm)", "narrow ring (nm)", "hill (nm)", "longest (min)"),
		tried(faults, rate, 2, pairs...)...)

	// ## What to make of it
	//
	// A lap wider than the ring cannot mend it without harm beside it; a lap much narrower can, but takes long, and each
	// of its edges is a place where something can go wrong. Which error comes most often in your shop decides.
	show.Text("The rms is that of the model with a rate known to a factor of 1.2. Differences of a nanometre between laps mean nothing.")
}

// heights is a figure by heights in nanometres at radii in millimetres, given in turns.
func heights(m *mirror.Mirror, pairs ...float64) *figure.Figure {
	radii, high := make([]Length, 0, 8), make([]Length, 0, 8)
	for i := 0; i < len(pairs); i += 2 {
		radii = append(radii, Length(pairs[i])*MM)
		high = append(high, Length(pairs[i+1])*NM)
	}
	return figure.FromHeights(m, radii, high)
}

// alone makes a shelf of each lap.
func alone(laps []*lap.Lap) [][]*lap.Lap {
	all := make([][]*lap.Lap, 0, len(laps))
	for _, l := range laps {
		all = append(all, []*lap.Lap{l})
	}
	return all
}

// tried gives each error to each shelf of laps and lists the rms that the best plan leaves.
func tried(faults []show.Named, rate wear.Rate, spells int, shelves ...[]*lap.Lap) [][]any {
	rows := make([][]any, 0, len(shelves))
	along := []*stroke.Stroke{stroke.Tangential(15*MM, 3.3, 6*RPM).Wander(2 * MM)}
	for _, laps := range shelves {
		row := show.Row(laps[0].Name())
		var longest Time
		for _, fault := range faults {
			best := plan.Best(fault.Figure, rate, plan.Shelf{Laps: laps, Strokes: along, Step: 10 * MM}, plan.Limits{Spells: spells, MostTurns: 200})
			_, after := best.RMS()
			longest = max(longest, best.Time())
			row = append(row, after)
		}
		rows = append(rows, append(row, longest))
	}
	return rows
}
