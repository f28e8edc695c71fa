package figure_test

import (
	"fmt"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

var blank = mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})

// Heights written down at a few radii: a hill in the middle.
func ExampleFromHeights() {
	f := figure.FromHeights(blank,
		[]Length{0 * MM, 20 * MM, 40 * MM, 70 * MM, 100 * MM},
		[]Length{60 * NM, 40 * NM, 10 * NM, 0 * NM, 0 * NM})
	fmt.Println(f.At(20*MM), f.At(90*MM))
	q := f.Quality()
	fmt.Printf("rms %.1f nm of surface, Strehl ratio %.2f\n", q.RMSSurface.Value*1e9, q.Strehl.Value)
	// Output:
	// 40 nm 0 mm
	// rms 8.5 nm of surface, Strehl ratio 0.96
}

// A mirror that has come four fifths of the way from the sphere to its paraboloid.
func ExampleConic() {
	f := figure.Conic(blank, -0.8)
	fit := f.BestConic()
	fmt.Printf("corrected to %.0f %%\n", fit.Correction.Value)
	fmt.Printf("wavefront, peak to valley: %.3f waves\n", f.Quality().PVWave.Value)
	// Output:
	// corrected to 80 %
	// wavefront, peak to valley: 0.164 waves
}

// Spherical aberration of a quarter wave at best focus, by its rms: the Strehl ratio
// is 0.80, as textbooks have it.
func ExampleZernikeWave() {
	light := blank.Wavelength()
	wave := figure.ZernikeWave(blank, figure.Noll, figure.Term{Index: 11, RMS: 0.0745356 * light})
	surface := figure.ZernikeSurface(blank, figure.OSA, figure.Term{Index: 12, RMS: 0.0745356 * light / 2})
	fmt.Printf("%.2f %.2f\n", wave.Quality().Strehl.Value, surface.Quality().Strehl.Value)
	// Output:
	// 0.80 0.80
}

// Figures are added and taken from each other: what was worn between two tests is
// the one before less the one after.
func ExampleFigure_Minus() {
	before := figure.FromHeights(blank, []Length{0, 50 * MM, 100 * MM}, []Length{0, 80 * NM, 0})
	after := figure.FromHeights(blank, []Length{0, 50 * MM, 100 * MM}, []Length{0, 30 * NM, 0})
	worn := before.Minus(after)
	fmt.Println(worn.At(50*MM), after.Plus(worn).At(50*MM))
	// Output:
	// 50 nm 80 nm
}

// A mean over the area by hand: half of the area lies inside 0.707 of the radius.
func ExampleWeights() {
	radii, weights := figure.Grid(blank), figure.Weights(blank)
	inside := 0.0
	for i, r := range radii {
		if r <= 0.0707 {
			inside += weights[i]
		}
	}
	fmt.Printf("%.2f\n", inside)
	// Output:
	// 0.50
}
