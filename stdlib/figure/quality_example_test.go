package figure_test

import (
	"fmt"

	"lapwright/stdlib/figure"
	. "lapwright/stdlib/unit"
)

// An invented 200 mm f/6 mirror with four fifths of its correction, looked at through a
// mask of four zones of equal area.
func ExampleFigure_Rays() {
	rays := figure.Conic(blank, -0.8).Rays(0, 50*MM, 70.71*MM, 86.6*MM, 100*MM)
	for _, z := range rays.Zones {
		fmt.Printf("%5.1f mm: %5.2f Airy radii\n", z.At.In(MM), z.Error.Value)
	}
	fmt.Printf("greatest of the zones %.2f, of all rays %.2f\n", rays.Greatest.Value, rays.Everywhere.Value)
	// Output:
	//  35.4 mm:  0.83 Airy radii
	//  61.2 mm:  0.78 Airy radii
	//  79.1 mm:  0.15 Airy radii
	//  93.5 mm: -0.83 Airy radii
	// greatest of the zones 0.83, of all rays 1.08
}

// The same mirror behind a secondary of 50 mm: the light within the Airy radius, and
// the contrast left of stripes of half the finest.
func ExampleFigure_Obstructed() {
	for _, f := range []*figure.Figure{figure.Perfect(blank), figure.Conic(blank, -0.8)} {
		behind := f.Obstructed(50 * MM)
		fmt.Printf("Strehl %.3f, light %.3f, contrast %.3f\n", behind.Quality().Strehl.Value,
			behind.Encircled(blank.Airy())[0].Value, behind.Contrast(0.5)[0].Value)
	}
	// Output:
	// Strehl 1.000, light 0.726, contrast 0.354
	// Strehl 0.929, light 0.675, contrast 0.324
}

// Is it good enough?
func ExampleFigure_Outlook() {
	for _, k := range []float64{-0.8, -0.97} {
		o := figure.Conic(blank, k).Outlook(figure.Wish{Strehl: 0.95, Ray: 1})
		fmt.Printf("conic constant %.2f: chance %.0f %%, so %s\n", k, 100*o.Meets, o.Advice)
	}
	// Output:
	// conic constant -0.80: chance 0 %, so another spell
	// conic constant -0.97: chance 100 %, so leave it
}
