// Package mirror describes the blank: its size, curve, hole, bevel and glass.
package mirror

import "lapwright/stdlib/unit"

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
// below -1 a hyperboloid.
func Conic(k float64) Shape { return Shape{k + 1} }

// Constant returns the conic constant.
func (s Shape) Constant() float64 { return s.beyond - 1 }

// Glass is a kind of glass and its nominal properties in SI units. Makers'
// sheets disagree by a few per cent; a recipe may give its own values.
type Glass struct {
	Name         string
	Density      float64 // kg/m³
	Young        float64 // Pa
	Poisson      float64
	Expansion    float64 // 1/K
	Conductivity float64 // W/(m·K)
	Heat         float64 // J/(kg·K)
}

// A Mirror is a blank that has been checked. It does not change.
type Mirror struct {
	spec Spec
}

// New checks the spec and returns the mirror. It stops the recipe where …
func New(s Spec) *Mirror { panic("unwritten") }

// Spec returns what the mirror was made from, with every default filled in.
func (m *Mirror) Spec() Spec { return m.spec }

// Radius returns the vertex radius of curvature R.
func (m *Mirror) Radius() unit.Length { panic("unwritten") }

// Rim returns the radius of the glass, half the diameter.
func (m *Mirror) Rim() unit.Length { panic("unwritten") }

// Clear returns the outer radius of the clear aperture: the rim less the bevel.
func (m *Mirror) Clear() unit.Length { panic("unwritten") }

// Hole returns the radius of the central hole, 0 without one.
func (m *Mirror) Hole() unit.Length { panic("unwritten") }

// Wavelength returns the light errors are judged in.
func (m *Mirror) Wavelength() unit.Length { panic("unwritten") }

// Shop returns the unit lengths across the glass are printed in.
func (m *Mirror) Shop() unit.Length { panic("unwritten") }

// Sag returns z(r), the height of the target surface at radius r above its vertex.
func (m *Mirror) Sag(r unit.Length) unit.Length { panic("unwritten") }

// Slope returns dz/dr of the target surface at radius r.
func (m *Mirror) Slope(r unit.Length) float64 { panic("unwritten") }
