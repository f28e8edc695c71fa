// # Astigmatism suspected
//
// A star through an invented 300 mm f/5.5 telescope is long one way inside the focus and long the other way outside. A
// zonal mask cannot show that: it looks along one diameter. But the mirror can be turned on its stand between sets. It
// was read eight times, at four angles, and neither the slide nor the stand was touched between.
package main

import (
	"math"

	"lapwright/stdlib/mirror"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

func main() {
	// ## The sheet
	//
	// A column of the sheet says how far the mirror was turned. Two sets at each angle tell scatter from change.
	blank := mirror.New(mirror.Spec{Name: "Invented 300 mm mirror", Diameter: 300 * MM, FocalLength: 1650 * MM, Bevel: 1 * MM, Thickness: 25 * MM})
	mask := zone.EqualAreas(blank, 5)
	readings := zone.Read(mask, "readings.csv", zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Readings(readings)

	// ## What does not fit a figure of revolution
	//
	// What of the differences chance does not explain. A zone that reads otherwise at another angle, and a zero that
	// moves when the mirror is turned, are both signs.
	found := readings.Asymmetries()
	for _, a := range found {
		show.Text("%v", a)
	}
	if len(found) == 0 {
		show.Text("Nothing: the sets agree at all angles.")
	}

	// ## Against the angle
	//
	// The mean of all zones of each set. Astigmatism goes twice up and down in a full turn: what is long at one angle is
	// short a quarter turn on. The curve is the cosine of twice the angle that fits best.
	angles, means := make([]float64, 0, 8), make([]float64, 0, 8)
	for s := range readings.Sets() {
		sum := 0.0
		for i := range mask.Zones() {
			value, _ := readings.Value(s, i)
			sum += value.In(MM)
		}
		angles = append(angles, readings.Set(s).Angle.In(Degree))
		means = append(means, sum/float64(mask.Zones()))
	}
	mean, size, axis := doubleAngle(angles, means)
	curve := show.Curve{Name: "twice the angle"}
	for i := range 37 {
		a := 5 * float64(i)
		curve.X = append(curve.X, a)
		curve.Y = append(curve.Y, mean+size*math.Cos(2*(a-axis)*math.Pi/180))
	}
	show.Plot("Mean reading of each set", "angle of the mirror (degrees)", "reading (mm)",
		show.Curve{Name: "sets", X: angles, Y: means, Points: true}, curve)

	// ## How much
	//
	// Half the difference between the longest and the shortest mean is δR, by which R is longer along one diameter than on
	// the average, and shorter along the other: the surface at the rim stands a²·δR/(2R²) low along one and high along the
	// other.
	R, a := blank.Radius(), blank.Clear()
	rim := Length(size) * MM * (a / R) * (a / R) / 2
	show.Table("Astigmatism, if it is that", show.Heads("what", "value"),
		show.Row("longest with the mirror turned to, degrees", axis),
		show.Row("longer by", Length(size)*MM),
		show.Row("surface at the rim, up and down by", rim),
		show.Row("wavefront there, from crest to hollow, waves", float64(4*rim/blank.Wavelength())))
	show.Result("surface at the rim, nm", rim.In(NM))

	// ## Glass or stand
	//
	// If the long direction turned with the mirror it is in the glass. If it had stayed with the stand, turning would
	// have changed nothing here, and the star would have shown it all the same. Thin glass sags on three points: before
	// any work, turn the mirror on its support and test again with a sling or more points. What a turntable does alike
	// all around cannot mend astigmatism.
	show.Text("The blank is %.0f times as wide as thick.", float64(2*blank.Rim()/blank.Spec().Thickness))
}

// doubleAngle fits mean + size·cos 2(angle - axis) by least squares; angles in degrees, spread evenly over half a turn.
func doubleAngle(angles, values []float64) (mean, size, axis float64) {
	var c, s float64
	n := float64(len(values))
	for _, v := range values {
		mean += v / n
	}
	for i, v := range values {
		c += 2 / n * (v - mean) * math.Cos(2*angles[i]*math.Pi/180)
		s += 2 / n * (v - mean) * math.Sin(2*angles[i]*math.Pi/180)
	}
	return mean, math.Hypot(c, s), math.Atan2(s, c) * 90 / math.Pi
}
