package lap_test

import (
	"fmt"

	"lapwright/stdlib/lap"
	. "lapwright/stdlib/unit"
)

// A lap whose face touches by four fifths, between its channels.
func ExampleRound() {
	l := lap.Round(lap.Spec{Diameter: 60 * MM, Load: 7 * Newton, Contact: 0.8, Limit: 4 * KPa})
	fmt.Println(l, l.PressureText())
	fmt.Println(l.Warning(6 * KPa))
	// Output:
	// 60 mm lap 3.09 kPa (0.45 psi, 31.6 g/cm²)
	// 60 mm lap presses with 6.00 kPa, above its limit of 4.00 kPa: it may mark the glass
}

// A ring lap touches in its outer part alone.
func ExampleRing() {
	l := lap.Ring(lap.Spec{Diameter: 80 * MM, Load: 7 * Newton}, 40*MM)
	fmt.Println(l, l.Share(10*MM), l.Share(30*MM))
	// Output:
	// 80 mm ring lap 0 1
}

// Six petals, whole in the middle third, cut to a quarter at the tips.
func ExampleStar() {
	l := lap.Star(lap.Spec{Diameter: 90 * MM, Load: 10 * Newton}, 6, 30*MM, 0.25)
	for _, t := range []Length{10 * MM, 30 * MM, 45 * MM} {
		fmt.Printf("%v: %.2f\n", t, l.Share(t))
	}
	// Output:
	// 10 mm: 1.00
	// 30 mm: 0.62
	// 45 mm: 0.25
}

// A lap with a core that was scraped away to half.
func ExampleShaped() {
	l := lap.Shaped(lap.Spec{Name: "scraped lap", Diameter: 90 * MM, Load: 10 * Newton},
		lap.Share{Radius: 0, Share: 0.5}, lap.Share{Radius: 20 * MM, Share: 0.5},
		lap.Share{Radius: 25 * MM, Share: 1}, lap.Share{Radius: 45 * MM, Share: 1})
	fmt.Println(l, l.Share(10*MM), l.Pressure())
	// Output:
	// scraped lap 0.5 1.798 kPa
}
