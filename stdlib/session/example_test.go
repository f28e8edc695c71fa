package session_test

import (
	"fmt"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/session"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

// Two tests and the work between them tell the rate.
func ExampleLearn() {
	blank := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})
	mask := zone.EqualAreas(blank, 5)
	small := lap.Round(lap.Spec{Name: "40 mm lap", Diameter: 40 * MM, Load: 5 * Newton})
	before := figure.FromHeights(blank, []Length{0, 40 * MM, 60 * MM, 80 * MM, 100 * MM}, []Length{0, 0, 120 * NM, 0, 0})
	p := plan.New(before, wear.Published(), plan.Spell{Lap: small, Stroke: stroke.Tangential(15*MM, 3.3, 6*RPM), At: 60 * MM, Turns: 240})
	for _, line := range session.Lines(p) {
		fmt.Println(line)
	}
	work := session.Work{Before: before, Spells: session.As(p), After: zone.Given(mask, zone.Sheet{Source: zone.Moving},
		[]float64{7.00, 6.97, 8.33, 8.15, 8.67}, []float64{6.23, 6.17, 7.57, 7.37, 7.87}, []float64{7.51, 7.48, 8.88, 8.68, 9.17})}
	fmt.Println(session.Learn(wear.Published(), work))
	fmt.Println("missed:", session.Compare(wear.Published(), work).Missed())
	// Output:
	// 40 mm lap; tangential, 15 mm, 3.3 double strokes a turn; table 6 rpm; at 60 mm; 240 turns
	// 8.887e-13 m²/N, uncertain by a factor of 1.2: 7.14e-13 to 1.11e-12; 40 mm lap: 9.014e-13 m²/N, by a factor of 1.1
	// missed: false
}
