package picture_test

import (
	"fmt"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/picture"
	. "lapwright/stdlib/unit"
)

// What a sphere looks like where a paraboloid is wanted.
func ExampleShadow() {
	blank := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})
	sphere := figure.Conic(blank, 0)
	fmt.Println(picture.Shadow(sphere, picture.Knife{}).Words())
	fmt.Println(picture.Bands(sphere, picture.Grating{Beyond: 3 * MM}).Words())
	fmt.Println(picture.Star(sphere, 0).Words())
	// Output:
	// The knife comes from the left and stands where the middle greys. From left to right through the middle the glass is grey all over.
	// A grating of 0.250 mm from line to line stands 3.00 mm beyond where the middle greys. From left to right through the middle of the glass there are 2 dark bands. The line seen 50 mm right of the middle runs straight up.
	// A star at best focus; the picture is 0.040 mm wide. The middle has 9 % of the brightness that a perfect mirror gives it, the brightest ring 48.2 % of the middle.
}
