package show_test

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// What there is to say of an invented 200 mm f/6 mirror with four fifths of its
// correction.
func ExampleVerdict() {
	blank := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})
	mask := zone.EqualAreas(blank, 5)
	show.Verdict(figure.Conic(blank, -0.8), mask, figure.Wish{Strehl: 0.95})
	// Output:
	// At best focus the surface is off by 13.5 nm rms and the wavefront by 0.16 waves
	// peak to valley. The Strehl ratio by diffraction is 0.909, and the greatest ray
	// error 1.08 Airy radii.
	//
	// It is under-corrected, with 80.0 % of the correction; that makes 100 % of the
	// mean square of the error, and is sure. Beside that it has no zone that stands
	// out.
	//
	// The wish is a Strehl ratio (by diffraction) of at least 0.95. The figure does
	// not meet it, and is taken as exact: another spell is needed.
}
