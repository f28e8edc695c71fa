package mirror_test

import (
	"fmt"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// A blank of 200 mm and what follows from its sizes.
func ExampleNew() {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM, Bevel: 1 * MM, Thickness: 25 * MM, Glass: mirror.FusedSilica})
	fmt.Printf("f/%.2f, clear to %v, %.2f kg\n", m.FocalRatio(), m.Clear(), m.Mass())
	fmt.Println("depth of the curve", m.Sag(m.Rim()).Text(MM, 3))
	fmt.Println("Airy disc, radius", m.Airy().Text(UM, 2))
	short, long := m.Settling().Wait()
	fmt.Println("wait", short.Text(Minute, 0), "to", long.Text(Minute, 0))
	// Output:
	// f/6.06, clear to 99 mm, 1.66 kg
	// depth of the curve 2.083 mm
	// Airy disc, radius 4.07 µm
	// wait 97 min to 193 min
}

// An ellipsoid.
func ExampleConic() {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM, Shape: mirror.Conic(-0.7)})
	fmt.Println(m.Spec().Shape.Constant(), m.Normal(95*MM)-m.Radius())
	// Output:
	// -0.7 1.316 mm
}
