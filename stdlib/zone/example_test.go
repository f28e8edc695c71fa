package zone_test

import (
	"fmt"
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

var blank = mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})

// Four zones of equal area.
func ExampleEqualAreas() {
	mask := zone.EqualAreas(blank, 4)
	for i := range mask.Zones() {
		inner, outer := mask.Edges(i)
		fmt.Println(i+1, inner.Text(MM, 1), outer.Text(MM, 1))
	}
	// Output:
	// 1 0.0 mm 50.0 mm
	// 2 50.0 mm 70.7 mm
	// 3 70.7 mm 86.6 mm
	// 4 86.6 mm 100.0 mm
}

// How many zones this mirror wants, and why.
func ExampleSuggest() {
	mask, why := zone.Suggest(blank)
	fmt.Println(mask.Zones(), "zones")
	fmt.Println(why)
	// Output:
	// 6 zones
	// 6 zones of equal area: the outermost is 9 mm wide; one much narrower than 1/300 of the radius of curvature, 8 mm, blurs its own shadow
}

// What a perfect mirror reads with the lamp on the slide, and with the lamp left in
// its place: about twice as much.
func ExampleIdeal() {
	mask := zone.EqualAreas(blank, 3)
	moving, fixed := zone.Ideal(mask, zone.Moving), zone.Ideal(mask, zone.Fixed)
	for i := range moving {
		fmt.Println(moving[i].Text(MM, 3), fixed[i].Text(MM, 3))
	}
	// Output:
	// 0.347 mm 0.695 mm
	// 1.042 mm 2.084 mm
	// 1.736 mm 3.475 mm
}

// What an under-corrected mirror will read, from zone 1, if one reading scatters by
// 0.02 mm.
func ExampleExpect() {
	mask := zone.EqualAreas(blank, 3)
	for _, e := range zone.Expect(mask, figure.Conic(blank, -0.8), zone.Moving, 0.02*MM) {
		fmt.Println(e.Zone, e.Reading.Text(MM, 2), "between", e.Low.Text(MM, 2), "and", e.High.Text(MM, 2))
	}
	// Output:
	// 1 0.00 mm between 0.00 mm and 0.00 mm
	// 2 0.56 mm between 0.53 mm and 0.58 mm
	// 3 1.11 mm between 1.08 mm and 1.14 mm
}

// Readings written in the recipe itself: two sets, one reading not taken. The figure
// comes from them by the classical reduction and by that with doubt.
func ExampleGiven() {
	mask := zone.EqualAreas(blank, 3)
	readings := zone.Given(mask, zone.Sheet{Source: zone.Moving},
		[]float64{7.31, 8.00, 8.71},
		[]float64{6.02, math.NaN(), 7.45})
	for _, m := range readings.Means() {
		fmt.Println("zone", m.Zone, "off by", m.Off.Text(MM, 3), "give or take", m.Doubt.Text(MM, 3))
	}
	for _, f := range []*figure.Figure{zone.Reduce(readings), zone.Straight(readings)} {
		fmt.Printf("surface rms %.0f nm\n", f.Quality().RMSSurface.Value*1e9)
	}
	// Output:
	// zone 1 off by -0.011 mm give or take 0.011 mm
	// zone 2 off by -0.008 mm give or take 0.018 mm
	// zone 3 off by 0.015 mm give or take 0.011 mm
	// surface rms 2 nm
	// surface rms 2 nm
}

// Where the scale of each set stands.
func ExampleOffsets() {
	mask := zone.EqualAreas(blank, 3)
	readings := zone.Given(mask, zone.Sheet{Source: zone.FixedAt(2 * MM)}, []float64{11.3, 12.7, 14.1}, []float64{10.2, 11.6, 13.0})
	for _, o := range zone.Offsets(readings, zone.Reduce(readings)) {
		fmt.Println("set", o.Set, "zero at", o.Zero.Text(MM, 1))
	}
	// Output:
	// set 1 zero at 12.6 mm
	// set 2 zero at 11.5 mm
}

// The narrowest ring of 40 nm that these readings are sure to show.
func ExampleNarrowest() {
	mask := zone.EqualAreas(blank, 5)
	set := []float64{7.0, 7.42, 7.83, 8.25, 8.66}
	readings := zone.Given(mask, zone.Sheet{Source: zone.Moving}, set, set, set, set)
	fmt.Println(zone.Narrowest(readings, 40*NM))
	// Output:
	// a ring 40 nm high is sure to be seen if it is at least this wide at half its height: 23 mm in zone 1, 9 mm in zone 2, 7 mm in zone 3, 5 mm in zone 4, 5 mm in zone 5; a narrower one may hide between the edges of the openings
}

// The centres of curvature of a perfect mirror's zones, along the axis and across it:
// where the caustic method finds them.
func ExampleCaustic() {
	for _, c := range zone.Caustic(zone.EqualAreas(blank, 3), zone.Moving) {
		fmt.Printf("%+v\n", c)
	}
	// Output:
	// {Zone:1 Along:1.042 mm Across:23.63 µm}
	// {Zone:2 Along:3.125 mm Across:122.8 µm}
	// {Zone:3 Along:5.208 mm Across:264.1 µm}
}
