package wear_test

import (
	"fmt"

	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// A 70 mm lap works a ring near the edge of an invented 300 mm f/5 mirror.
func Example() {
	blank := mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM})
	small := lap.Round(lap.Spec{Name: "the 70 mm lap", Diameter: 70 * MM, Load: 8 * Newton, Contact: 0.8, Limit: 4 * KPa})
	p := wear.New(blank, wear.Setting{
		Lap:    small,
		Stroke: stroke.Tangential(60*MM, 7.3, 6*RPM).Wander(3 * MM),
		At:     118 * MM,
	})
	fmt.Println(p.Setting())
	fmt.Println(p.Edges())
	fmt.Println("contact", lap.PressureText(p.Contact().Mean))
	fmt.Println("a turn at the ring:", wear.Published().DepthText(p.At(118*MM)))
	for _, w := range p.Warnings() {
		fmt.Println(w)
	}
	// Output:
	// the 70 mm lap at 118.0 mm, tangential, 60 mm, 7.3 double strokes a turn, wandering 3 mm in and out
	// from 83.0 mm to 153.0 mm at rest, 80.0 mm to 159.7 mm at work; overhangs the rim by 9.7 mm (0.38 in); stays 80.0 mm clear of the centre
	// contact 2.70 kPa (0.39 psi, 27.5 g/cm²)
	// a turn at the ring: 0.1 nm, between 0.033 and 0.33
}

// How far each of some laps hangs over the rim, and which of them takes off most in a
// turn.
func ExampleAll() {
	blank := mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM})
	held := stroke.Held(6 * RPM)
	var settings []wear.Setting
	for _, d := range []Length{40 * MM, 70 * MM, 100 * MM} {
		settings = append(settings, wear.Setting{Lap: lap.Round(lap.Spec{Diameter: d, Load: 8 * Newton}), Stroke: held, At: 120 * MM})
	}
	for i, p := range wear.All(blank, settings) {
		at, _ := p.Peak()
		rest, _ := wear.EdgesOf(blank, settings[i]).Overhang()
		fmt.Printf("%v: most at %v, overhang %v\n", settings[i].Lap, at.Text(MM, 0), rest.Text(MM, 0))
	}
	// Output:
	// 40 mm lap: most at 122 mm, overhang -10 mm
	// 70 mm lap: most at 129 mm, overhang 5 mm
	// 100 mm lap: most at 147 mm, overhang 20 mm
}
