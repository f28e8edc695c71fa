// # A turned-down edge
//
// A lap hung too far over the rim of an invented 350 mm f/5.5 mirror, and the outermost zone now reads long. How bad is
// it, what does it cost the image, and which way back is shorter: working all the rest down, or a ring of black tape?
package main

import (
	"lapwright/stdlib/figure"
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
	// ## The mirror and its readings
	//
	// The lamp stayed in its place while the knife moved, so that readings change about twice as much from zone to zone
	// as with a lamp on the slide.
	spec := mirror.Spec{Name: "Invented 350 mm mirror", Diameter: 350 * MM, FocalLength: 1925 * MM, Bevel: 1.5 * MM, Thickness: 45 * MM}
	blank := mirror.New(spec)
	mask := zone.NewMask(blank, 0*MM, 62*MM, 98*MM, 124*MM, 144*MM, 157*MM, 166*MM, 173.5*MM)
	readings := zone.Read(mask, "readings.csv", zone.Sheet{Source: zone.Fixed, Unit: MM})
	show.Readings(readings)

	// ## What the edge does
	//
	// At the rim the slope counts most: light from there misses the image by the most. The band is narrow there all the
	// same: it holds the likely ways to join the readings, and a roll-off much narrower than the last opening is not
	// among them. It is guessed at, not seen. A common shift of all readings is no fault of the edge: it is where the
	// scale stands, or a change of the radius.
	glass := zone.Reduce(readings)
	show.Offsets(readings, glass)
	show.Figure("The glass as tested", glass, mask)
	show.Zones(zone.List(mask, glass), mask)

	// ## Tape
	//
	// Covering the edge costs light and nothing else. Each row judges the glass inside a ring of tape.
	taped := []show.Named{show.As("as it is", glass)}
	rows := make([][]any, 0, 4)
	for _, width := range []Length{0, 5 * MM, 8 * MM, 12 * MM} {
		inner := within(glass, spec, width)
		q := inner.Quality()
		share := float64(inner.Mirror().Clear() / blank.Clear())
		rows = append(rows, show.Row(width, 100*share*share, q.PVWave, q.Strehl, q.Ray))
		if width == 8*MM {
			taped = append(taped, show.As("8 mm taped", inner))
		}
	}
	show.Table("A ring of tape", show.Heads("width (mm)", "light left (%)", "wavefront, peak to valley (waves)", "Strehl ratio", "greatest ray error (Airy radii)"), rows...)
	show.Quality("As it is, and behind 8 mm of tape", taped...)

	// ## How a lap turns an edge
	//
	// The same lap at rising overhang: the pressure at the rim over that of a lap that lies inside. The moment of the
	// part that hangs over must be borne by the glass that is left.
	rows = nil
	held := stroke.Held(6 * RPM)
	round := lap.Round(lap.Spec{Diameter: 120 * MM, Load: 20 * Newton})
	for _, share := range []float64{0, 0.1, 0.2, 0.25} {
		at := blank.Clear() - round.Radius() + Length(share)*round.Diameter()
		p := wear.New(blank, wear.Setting{Lap: round, Stroke: held, At: at})
		contact := p.Contact()
		rows = append(rows, show.Row(100*share, at, float64(contact.Greatest/round.Pressure()), contact.Lost))
	}
	show.Table("A 120 mm lap over the rim", show.Heads("overhang (%)", "middle at (mm)", "greatest pressure (times)", "loses contact"), rows...)

	// ## Working it out
	//
	// What is low stays low: all the rest must come down to it. Laps inside the rim, no overhang, low glass counted ten
	// times as dear. The plan says how far that comes in an hour; beside the table above, the tape wins.
	large := lap.Round(lap.Spec{Name: "200 mm lap", Diameter: 200 * MM, Load: 50 * Newton, Contact: 0.8, Limit: 4 * KPa})
	strokes := []*stroke.Stroke{stroke.Tangential(60*MM, 3.3, 6*RPM).Wander(5 * MM)}
	best := plan.Best(glass, wear.NewRate(8e-13*PerPascal, 1.3), plan.Shelf{Laps: []*lap.Lap{large}, Strokes: strokes, Step: 15 * MM},
		plan.Limits{Spells: 2, MostTurns: 400, Overhang: 0.01, Low: 10})
	show.Plan(best, mask)
	show.Card(best)
}

// within returns the figure of the glass inside a ring of tape at the rim.
func within(f *figure.Figure, spec mirror.Spec, tape Length) *figure.Figure {
	spec.Bevel += tape
	inner := mirror.New(spec)
	radii, heights := make([]Length, 0, 200), make([]Length, 0, 200)
	for i := range 200 {
		r := inner.Clear() * Length(i) / 199
		radii = append(radii, r)
		heights = append(heights, f.At(r))
	}
	return figure.FromHeights(inner, radii, heights)
}
