package zone

import (
	"fmt"
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// Source says what the light source does as the knife moves.
type Source struct {
	fixed  bool
	beyond unit.Length // of the paraxial centre of curvature, away from the mirror
}

// The two ways: the source travels with the knife, or stays at the paraxial centre
// of curvature of the stated radius.
var (
	Moving = Source{}
	Fixed  = Source{fixed: true}
)

// FixedAt returns a source that stays where it is, beyond the paraxial centre of
// curvature of the stated radius by so much, or nearer to the mirror where that is
// negative. A few millimetres change the readings by less than their scatter; a
// hundredth of the radius changes them by two in a hundred. Sheets and other
// primitives refuse one that is further off than a tenth of the radius.
func FixedAt(beyond unit.Length) Source { return Source{true, beyond} }

// Stays reports whether the source is a fixed one.
func (s Source) Stays() bool { return s.fixed }

// Beyond returns how far beyond the paraxial centre of curvature a fixed source
// stands, 0 for a moving one.
func (s Source) Beyond() unit.Length { return s.beyond }

// String returns "moving source", "fixed source", or where it stands as well:
// "fixed source, 12.0 mm beyond the centre of curvature".
func (s Source) String() string {
	switch {
	case !s.fixed:
		return "moving source"
	case s.beyond == 0:
		return "fixed source"
	case s.beyond < 0:
		return fmt.Sprintf("fixed source, %s short of the centre of curvature", (-s.beyond).Text(unit.MM, 1))
	}
	return fmt.Sprintf("fixed source, %s beyond the centre of curvature", s.beyond.Text(unit.MM, 1))
}

func (s Source) check(call string, m *mirror.Mirror) {
	if most := m.Radius() / 10; !(s.beyond >= -most && s.beyond <= most) {
		host.StopArg(call, "the place of the fixed source", s.beyond, fmt.Sprintf("within %v of the centre of curvature, a tenth of the radius", most))
	}
}

// A tester is a knife on the axis of a mirror and its light source. Readings
// count from the paraxial centre of curvature, away from the mirror.
//
// The geometry is exact for any surface of revolution. With α = atan z' the
// tilt of the normal at radius r and height z:
//
//   - moving: the knife is where the normal meets the axis, z + r/z';
//   - fixed at height S, which is R and what it stands beyond: with
//     β = atan(r/(S-z)) the ray from the source, the reflected ray meets the axis
//     at z + r/tan(2α-β).
//
// Derived from the law of reflection; both run backwards.
type tester struct {
	m      *mirror.Mirror
	source Source
}

// from is the height of a fixed source.
func (t tester) from() float64 { return float64(t.m.Radius() + t.source.beyond) }

// reading is the knife's place for a surface of height z and slope dz at r.
func (t tester) reading(r, z, dz float64) float64 {
	R := float64(t.m.Radius())
	if !t.source.fixed {
		return z + r/dz - R
	}
	return z + r/math.Tan(2*math.Atan(dz)-math.Atan(r/(t.from()-z))) - R
}

// slope is the slope at r of the surface of height z that gives a reading.
func (t tester) slope(r, z, reading float64) float64 {
	R := float64(t.m.Radius())
	above := R + reading - z // of the knife over the zone
	if !t.source.fixed {
		return r / above
	}
	return math.Tan((math.Atan(r/(t.from()-z)) + math.Atan(r/above)) / 2)
}

// change is how the reading changes with the surface's height and slope.
func (t tester) change(r, z, dz float64) (byHeight, bySlope float64) {
	if !t.source.fixed {
		return 1, -r / (dz * dz)
	}
	above := t.from() - z
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
	source.check("zone.Ideal", k.m)
	return lengths(tester{k.m, source}.means(k, perfect))
}

func lengths(metres []float64) []unit.Length {
	list := make([]unit.Length, len(metres))
	for i, v := range metres {
		list[i] = unit.Length(v)
	}
	return list
}
