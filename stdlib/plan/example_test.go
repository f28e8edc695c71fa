package plan_test

import (
	"fmt"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

var (
	blank  = mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})
	ring   = figure.FromHeights(blank, []Length{0, 40 * MM, 55 * MM, 65 * MM, 80 * MM, 100 * MM}, []Length{0, 0, 80 * NM, 80 * NM, 0, 0})
	small  = lap.Round(lap.Spec{Name: "30 mm lap", Diameter: 30 * MM, Load: 3 * Newton})
	middle = lap.Round(lap.Spec{Name: "50 mm lap", Diameter: 50 * MM, Load: 5 * Newton})
	short  = stroke.Tangential(15*MM, 3.3, 6*RPM)
	rate   = wear.NewRate(1.2e-12*PerPascal, 1.3)
)

// Work of one's own: what it is expected to bring.
func ExampleNew() {
	p := plan.New(ring, rate, plan.Spell{Lap: small, Stroke: short, At: 60 * MM, Turns: 150})
	fmt.Println(p)
	before, after := p.RMS()
	fmt.Printf("rms %.0f nm to %.0f nm, chance of a gain %.0f %%\n", before.In(NM), after.In(NM), 100*p.Chance())
	// Output:
	// 1. 30 mm lap at 60.0 mm, tangential, 15 mm, 3.3 double strokes a turn, for 150 turns (25 min)
	// rms 31 nm to 22 nm, chance of a gain 100 %
}

// The best within limits, from two laps at ten radii.
func ExampleBest() {
	shelf := plan.Shelf{Laps: []*lap.Lap{small, middle}, Strokes: []*stroke.Stroke{short}, From: 40 * MM, To: 80 * MM, Step: 4 * MM}
	p := plan.Best(ring, rate, shelf, plan.Limits{Spells: 2, MostTurns: 200})
	for _, s := range p.Spells() {
		fmt.Println(s)
	}
	for _, c := range plan.Choices(ring, rate, shelf, plan.Limits{Spells: 1, MostTurns: 200}) {
		fmt.Println(c.Name, "-", c.Plan.Time().Text(Minute, 0))
	}
	// Output:
	// 30 mm lap at 56.0 mm, tangential, 15 mm, 3.3 double strokes a turn, for 200 turns (33.33 min)
	// 30 mm lap at 60.0 mm, tangential, 15 mm, 3.3 double strokes a turn, for 200 turns (33.33 min)
	// best - 33 min
	// a spell more - 67 min
	// half the time - 17 min
}

// Two laps share twenty minutes on the ring.
func ExampleShare() {
	s := plan.Share(ring, rate, plan.Sharing{Ring: 60 * MM, Width: 20 * MM, Time: 20 * Minute, Laps: []*lap.Lap{small, middle}, Stroke: short})
	fmt.Println(s)
	both, alone := s.Whole().OnRing(60*MM, 20*MM), s.Alone(0).OnRing(60*MM, 20*MM)
	fmt.Printf("beside the ring, inside: %.0f nm by both, %.0f nm by the small one alone\n", both.Inside.Value*1e9, alone.Inside.Value*1e9)
	// Output:
	// 1. 30 mm lap at 60.0 mm, tangential, 15 mm, 3.3 double strokes a turn, for 60 turns (10 min)
	// 2. 50 mm lap at 60.0 mm, tangential, 15 mm, 3.3 double strokes a turn, for 60 turns (10 min)
	// beside the ring, inside: 5 nm by both, 2 nm by the small one alone
}
