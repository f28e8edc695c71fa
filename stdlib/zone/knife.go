package zone

import (
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// Source says what the light source does as the knife moves.
type Source int

// The two ways.
const (
	Moving Source = iota // the source travels with the knife
	Fixed                // the source stays at the centre of curvature
)

// String returns "moving source" or "fixed source".
func (s Source) String() string {
	if s == Fixed {
		return "fixed source"
	}
	return "moving source"
}

func (s Source) check(call string) {
	if s != Moving && s != Fixed {
		host.StopArg(call, "Source", int(s), "Moving or Fixed")
	}
}

// A tester is a knife on the axis of a mirror and its light source. Readings
// count from the paraxial centre of curvature, away from the mirror.
//
// The geometry is exact for any surface of revolution. With α = atan z' the
// tilt of the normal at radius r and height z:
//
//   - moving: the knife is where the normal meets the axis, z + r/z';
//   - fixed at height S: with β = atan(r/(S-z)) the ray from the source, the
//     reflected ray meets the axis at z + r/tan(2α-β).
//
// Derived from the law of reflection; both run backwards.
type tester struct {
	m      *mirror.Mirror
	source Source
}

// reading is the knife's place for a surface of height z and slope dz at r.
func (t tester) reading(r, z, dz float64) float64 {
	R := float64(t.m.Radius())
	if t.source == Moving {
		return z + r/dz - R
	}
	return z + r/math.Tan(2*math.Atan(dz)-math.Atan(r/(R-z))) - R
}

// slope is the slope at r of the surface of height z that gives a reading.
func (t tester) slope(r, z, reading float64) float64 {
	R := float64(t.m.Radius())
	above := R + reading - z // of the knife over the zone
	if t.source == Moving {
		return r / above
	}
	return math.Tan((math.Atan(r/(R-z)) + math.Atan(r/above)) / 2)
}

// change is how the reading changes with the surface's height and slope.
func (t tester) change(r, z, dz float64) (byHeight, bySlope float64) {
	if t.source == Moving {
		return 1, -r / (dz * dz)
	}
	above := float64(t.m.Radius()) - z
	sin := math.Sin(2*math.Atan(dz) - math.Atan(r/above))
	steep := r / (sin * sin)
	return 1 + steep*r/(above*above+r*r), -steep * 2 / (1 + dz*dz)
}

// target is the height and slope of the target surface at r.
func (t tester) target(r float64) (z, dz float64) {
	return float64(t.m.Sag(unit.Length(r))), t.m.Slope(unit.Length(r))
}

// means returns what each zone of the mask reads on the target surface with the
// error that at gives: its height and slope at a radius.
func (t tester) means(k *Mask, at func(r float64) (e, slope float64)) []float64 {
	list := make([]float64, k.Zones())
	for i := range list {
		for _, n := range k.nodes(i) {
			e, s := at(n.r)
			z, dz := t.target(n.r)
			list[i] += n.share * t.reading(n.r, z+e, dz+s)
		}
	}
	return list
}

func perfect(float64) (e, slope float64) { return 0, 0 }

// Ideal returns what each zone of the mask reads on a perfect mirror, from the
// paraxial centre of curvature.
func Ideal(k *Mask, source Source) []unit.Length {
	source.check("zone.Ideal")
	return lengths(tester{k.m, source}.means(k, perfect))
}

func lengths(metres []float64) []unit.Length {
	list := make([]unit.Length, len(metres))
	for i, v := range metres {
		list[i] = unit.Length(v)
	}
	return list
}
