package zone

import (
	"math"

	"lapwright/stdlib/unit"
)

// A Centre is where the rays from either opening of a zone come together, beside
// the axis: a point of the caustic.
type Centre struct {
	Zone   int         // from 1 at the centre
	Along  unit.Length // from the paraxial centre of curvature, away from the mirror
	Across unit.Length // how far apart the two openings' lie, more than 0 where each lies across the axis from its opening
}

// Caustic returns where each zone of the mask has its centre of curvature on a
// perfect mirror, at the radius that stands for the zone (Mask.Radius). With a
// moving source it is that of the surface's section, for a paraboloid 3r²/2R along
// and 2r³/R² across; with a fixed one it is the image of the source by the zone,
// nearly twice as far along.
//
// A sheet that holds both places of each zone is read as the readings they stand
// for. The line from the zone through its centre is the zone's normal, or the ray
// it reflects, and meets the axis at what the knife would read there; that holds for
// any point of the line, so that it matters little how well the place along the axis
// was found. What counts is how well the place across was: a hundredth of a
// millimetre there makes R/2r hundredths of a reading, and Sheet.Scatter is that of
// the place across. As the slope of the line comes into it, the scale's zero along
// the axis must be known; it is taken from the places along, set by set.
//
// The method is that of Gaviola and Platzeck 1936, J. Opt. Soc. Am. 26, 163 (abstract
// seen); the formulas are derived from the law of reflection, exact for any conic.
// Caustic stops the recipe where the source is further off than a tenth of the radius.
func Caustic(k *Mask, source Source) []Centre {
	source.check("zone.Caustic", k.m)
	list := make([]Centre, k.Zones())
	for i := range list {
		along, across := tester{k.m, source}.centre(float64(k.Radius(i)))
		list[i] = Centre{i + 1, unit.Length(along), unit.Length(across)}
	}
	return list
}

// centre is the point of the caustic of the target surface at r.
//
// The ray through the zone has the tilt θ to the axis, α for a moving source and
// 2α-β for a fixed one, and lies at r - (x-z)·tan θ at the height x. Where it
// touches its envelope that does not change with r:
// x - z = (1 + z'·tan θ)/(θ'·sec² θ).
func (t tester) centre(r float64) (along, across float64) {
	R := float64(t.m.Radius())
	z, dz := t.target(r)
	beyond := t.m.Spec().Shape.Constant() + 1
	square := R*R - beyond*r*r
	ddz := R * R / (square * math.Sqrt(square))
	tilt, turn := math.Atan(dz), ddz/(1+dz*dz)
	if t.source.fixed {
		above := t.from() - z
		tilt = 2*tilt - math.Atan(r/above)
		turn = 2*turn - (above+r*dz)/(above*above+r*r)
	}
	tan := math.Tan(tilt)
	x := (1 + dz*tan) / (turn * (1 + tan*tan))
	return z + x - R, 2 * (x*tan - r)
}

// alongAxis turns the places of centres, along the axis and across it, into what
// the knife would read, in place. The scale's zero along the axis is taken so that
// the places along are on the mean those of a perfect mirror.
func (k *Mask) alongAxis(source Source, along, across []float64) {
	t := tester{k.m, source}
	zero, n := 0.0, 0.0
	for i, v := range along {
		if ideal, _ := t.centre(float64(k.Radius(i))); !math.IsNaN(v) {
			zero, n = zero+v-ideal, n+1
		}
	}
	zero /= n
	R := float64(k.m.Radius())
	for i, v := range along {
		r := float64(k.Radius(i))
		z, _ := t.target(r)
		along[i] = z + r*(R+v-zero-z)/(r+across[i]/2) - R + zero
	}
}

// shape returns by how much more than Sheet.Scatter the readings of each zone are
// thought to scatter.
func (r *Readings) shape() []float64 {
	shape := make([]float64, r.mask.Zones())
	for i := range shape {
		shape[i] = 1
		if r.way == Centres {
			shape[i] = float64(r.mask.m.Radius() / (2 * r.mask.Radius(i)))
		}
	}
	return shape
}
