package stroke_test

import (
	"fmt"

	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
)

// Along the ring, out of step with the table, the middle moved in and out.
func ExampleTangential() {
	s := stroke.Tangential(60*MM, 7.3, 6*RPM).Wander(4 * MM)
	fmt.Println(s)
	near, far := s.Reach(118 * MM)
	fmt.Println(near, far, s.Period())
	// Output:
	// tangential, 60 mm, 7.3 double strokes a turn, wandering 4 mm in and out
	// 114 mm 125.6 mm 1.37 s
}

// Other ways to move a lap.
func ExamplePath() {
	table := 6 * RPM
	for _, s := range []*stroke.Stroke{
		stroke.Held(table),
		stroke.Radial(40*MM, 5.3, table),
		stroke.Elliptical(50*MM, 20*MM, 4.7, table),
		stroke.Path(3.3, table, stroke.Point{}, stroke.Point{Radial: 20 * MM}, stroke.Point{Radial: 10 * MM, Tangential: 30 * MM}),
		stroke.Tangential(50*MM, 6.3, table).Free(),
	} {
		fmt.Println(s)
	}
	// Output:
	// held in place
	// radial, 40 mm, 5.3 double strokes a turn
	// elliptical, 50 mm along and 20 mm in and out, 4.7 rounds a turn
	// path of 3 points, 3.3 rounds a turn
	// tangential, 50 mm, 6.3 double strokes a turn, the lap free to turn
}
