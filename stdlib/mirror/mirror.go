// Package mirror describes the blank: its size, curve, hole, bevel and glass.
//
// The target surface is a conic of vertex radius R and conic constant K,
//
//	z(r) = r²/(R + √(R² - (1+K)r²)),
//
// where z is the height above the vertex, measured towards the centre of
// curvature. All formulas here are exact for any conic.
package mirror

import (
	"math"

	"lapwright/stdlib/unit"
)

// Spec says what mirror is to be made.
type Spec struct {
	Name        string      // what the maker calls it
	Diameter    unit.Length // of the glass
	FocalLength unit.Length // give this, or Radius
	Radius      unit.Length // vertex radius of curvature, twice the focal length
	Shape       Shape       // Paraboloid where left out
	Hole        unit.Length // diameter of a central hole, 0 for none
	Bevel       unit.Length // width of the bevel at the rim, 0 for none
	Thickness   unit.Length // at the rim, 0 where not known
	Glass       Glass       // Borosilicate where left out
	Wavelength  unit.Length // of the light errors are judged in, 550 nm where left out
	Shop        unit.Length // the unit lengths across the glass are printed in: MM (where left out) or Inch
}

// Shape is the conic a mirror is to have. The zero value is the paraboloid.
type Shape struct{ beyond float64 } // conic constant + 1

// The usual shapes.
var (
	Paraboloid = Shape{}
	Sphere     = Shape{1}
)

// Conic returns the shape with conic constant k: -1 a paraboloid, 0 a sphere,
// below -1 a hyperboloid, between -1 and 0 a prolate and above 0 an oblate
// ellipsoid. New refuses a k that is not a number or beyond ±1000.
func Conic(k float64) Shape { return Shape{k + 1} }

// Constant returns the conic constant.
func (s Shape) Constant() float64 { return s.beyond - 1 }

// A Mirror is a blank that has been checked. It does not change.
type Mirror struct {
	spec Spec
	r    float64 // R, metres
}

// Spec returns what the mirror was made from, with every default filled in.
func (m *Mirror) Spec() Spec { return m.spec }

// Radius returns the vertex radius of curvature R.
func (m *Mirror) Radius() unit.Length { return m.spec.Radius }

// FocalLength returns the focal length, R/2.
func (m *Mirror) FocalLength() unit.Length { return m.spec.FocalLength }

// Rim returns the radius of the glass, half the diameter.
func (m *Mirror) Rim() unit.Length { return m.spec.Diameter / 2 }

// Clear returns the outer radius of the clear aperture: the rim less the bevel.
func (m *Mirror) Clear() unit.Length { return m.spec.Diameter/2 - m.spec.Bevel }

// Hole returns the radius of the central hole, 0 without one.
func (m *Mirror) Hole() unit.Length { return m.spec.Hole / 2 }

// Wavelength returns the light errors are judged in.
func (m *Mirror) Wavelength() unit.Length { return m.spec.Wavelength }

// Shop returns the unit lengths across the glass are printed in.
func (m *Mirror) Shop() unit.Length { return m.spec.Shop }

// FocalRatio returns the focal length over the clear diameter.
func (m *Mirror) FocalRatio() float64 { return float64(m.FocalLength() / (2 * m.Clear())) }

// Airy returns the radius of the first dark ring of the image of a star at the
// focus, 1.2197 λF, for the full clear aperture without a hole.
func (m *Mirror) Airy() unit.Length {
	const zero = 1.2196698912665045 // of J1(πx)
	return unit.Length(zero * m.FocalRatio() * float64(m.Wavelength()))
}

// Sag returns z(r), the height of the target surface at radius r above its
// vertex. It is NaN beyond the widest r that a closed conic reaches, which no
// radius of the glass is.
func (m *Mirror) Sag(r unit.Length) unit.Length {
	return r * r / unit.Length(m.r+m.height(r))
}

// Slope returns dz/dr of the target surface at radius r.
func (m *Mirror) Slope(r unit.Length) float64 { return float64(r) / m.height(r) }

// Normal returns the height above the vertex at which the normal of the target
// surface at radius r meets the axis. It is z + r/z', and for any conic exactly
// R - K·z(r).
func (m *Mirror) Normal(r unit.Length) unit.Length {
	return m.Radius() - unit.Length(m.spec.Shape.Constant())*m.Sag(r)
}

// height is √(R² - (1+K)r²): how far above z(r) the normal meets the axis.
func (m *Mirror) height(r unit.Length) float64 {
	return math.Sqrt(m.r*m.r - m.spec.Shape.beyond*float64(r*r))
}
