package show_test

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// Words, a table, and a number held against what is expected of it.
func ExampleTable() {
	show.Text("Two laps, and the pressure of each.")
	show.Table("Laps", show.Heads("lap", "diameter (mm)", "pressure (kPa)"),
		show.Row("small", 40*MM, 3.2*KPa),
		show.Row("large", 4*Inch, 2150*Pascal))
	show.Expect("pressure of the large lap", 2150*Pascal, 2*KPa, 200*Pascal)
	// Output:
	// Two laps, and the pressure of each.
	//
	// Laps
	// lap    diameter  pressure
	//              mm       kPa
	// ─────  ────────  ────────
	// small      40.0     3.200
	// large     101.6     2.150
	//
	// [met] pressure of the large lap is 2.15 kPa, as expected: 2 kPa within 200 Pa.
}

// A curve of one's own.
func ExamplePlot() {
	show.Plot("A parabola", "radius (mm)", "depth (mm)",
		show.Curve{Name: "sag", X: []float64{0, 25, 50, 75, 100}, Y: []float64{0, 0.13, 0.52, 1.17, 2.08}})
	// Output:
	// A parabola
	// depth, mm
	//     │
	// 2.0 ┤                                                                       ***
	//     │                                                                     **
	//     │                                                                  ***
	//     │                                                               ***
	// 1.5 ┤                                                             **
	//     │                                                          ***
	//     │                                                       ***
	//     │                                                   ****
	// 1.0 ┤                                               ****
	//     │                                           ****
	//     │                                       ****
	// 0.5 ┤                                   ****
	//     │                             ******
	//     │                      *******
	//     │          ************
	//   0 ┤**********
	//     └┬──────┬───────┬──────┬──────┬───────┬──────┬──────┬──────┬───────┬──────┬
	//      0     10      20     30     40      50     60     70     80      90    100
	//                                                                      radius, mm
	// * sag
	// depth against radius. sag goes from 0 to 2.08, lowest at radius 0, highest at
	// 100.
}

// Plans side by side.
func ExampleChoices() {
	blank := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})
	ring := figure.FromHeights(blank, []Length{0, 40 * MM, 60 * MM, 80 * MM, 100 * MM}, []Length{0, 0, 80 * NM, 0, 0})
	small := lap.Round(lap.Spec{Name: "30 mm lap", Diameter: 30 * MM, Load: 2 * Newton})
	once := plan.Spell{Lap: small, Stroke: stroke.Tangential(15*MM, 3.3, 6*RPM), At: 60 * MM, Turns: 60}
	twice := once
	twice.Turns = 120
	rate := wear.NewRate(6e-13*PerPascal, 1.3)
	show.Choices([]plan.Choice{{Name: "some", Plan: plan.New(ring, rate, once)}, {Name: "more", Plan: plan.New(ring, rate, twice)}})
	// Output:
	// Plans side by side
	//                                         chance of a         worst chance
	// plan  spells  laps  time  rms after            gain  gap    of low glass  there
	//                      min         nm               %  %                 %
	// ────  ──────  ────  ────  ─────────  ──────────────  ───  ──────────────  ──────
	// some       1     1    10       25.3             100  –                 0  1.6 mm
	// more       1     1    20       24.1             100  –                 0  1.6 mm
	//   Rms after: the root of the expected mean square of the surface's height, its
	//   doubt included.
	//   Gap: by how much that may be above the best there is within the limits; 0 is
	//   proven best, and there is none for a plan of our own or where nothing is
	//   proven.
	//   Before the work the rms is 26.5 nm. Low glass: more than 34 nm below the mean
	//   level, an eighth of a wave on the wavefront.
}
