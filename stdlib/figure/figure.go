// Package figure holds the error of a mirror's surface: height against radius,
// how sure it is, and how good it makes the mirror.
//
// Heights are positive where the glass stands high, above the target surface.
// A figure is known up to a common height (piston) and a small change of the
// radius of curvature (focus); both are taken out by least squares, weighted by
// area, wherever heights are shown or judged.
package figure

import (
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// GridSize is the number of radii a figure is held on.
const GridSize = 257

// A Figure is E(r) on the grid of its mirror, with its covariance. It does not change.
type Figure struct {
	m   *mirror.Mirror
	r   []float64     // metres, GridSize of them, evenly from the hole to the clear radius
	e   []float64     // metres
	cov *mat.SymDense // square metres; nil where the heights are taken as exact
}

// Grid returns the radii a figure of m is held on, in metres.
func Grid(m *mirror.Mirror) []float64 { panic("unwritten") }

// Weights returns the share of the clear aperture's area that belongs to each
// radius of the grid: trapezoids of r dr, summing to 1.
func Weights(m *mirror.Mirror) []float64 { panic("unwritten") }

// New returns the figure with heights e on the grid of m, in metres, and
// covariance cov in square metres, or nil where the heights are exact.
// It panics where a length is wrong: recipes use the other ways in.
func New(m *mirror.Mirror, e []float64, cov *mat.SymDense) *Figure { panic("unwritten") }

// Mirror returns the mirror the figure belongs to.
func (f *Figure) Mirror() *mirror.Mirror { return f.m }

// Heights returns E on the grid, in metres, as given. The slice is a copy.
func (f *Figure) Heights() []float64 { panic("unwritten") }

// Covariance returns the covariance of Heights, or nil where they are exact.
// It is shared: do not change it.
func (f *Figure) Covariance() *mat.SymDense { return f.cov }

// Refocused returns the figure with piston and focus taken out by least squares
// weighted by area, covariance included.
func (f *Figure) Refocused() *Figure { panic("unwritten") }

// At returns the height at radius r, linear between the radii of the grid.
func (f *Figure) At(r unit.Length) unit.Length { panic("unwritten") }

// Sigma returns the standard deviation of Heights at each radius of the grid,
// zeros where they are exact.
func (f *Figure) Sigma() []float64 { panic("unwritten") }

// An Estimate is a number with the range it lies in with a chance of 68 %.
type Estimate struct{ Value, Low, High float64 }

// Quality is how good a figure makes its mirror, at best focus.
type Quality struct {
	RMSSurface Estimate // metres
	PVSurface  Estimate // metres
	RMSWave    Estimate // wavelengths
	PVWave     Estimate // wavelengths
	StrehlRMS  Estimate // exp(-(2πσ/λ)²)
	Strehl     Estimate // by the diffraction integral at its best focus
	Ray        Estimate // greatest transverse ray error over the Airy radius 1.22 λF
}

// Quality judges the figure.
func (f *Figure) Quality() Quality { panic("unwritten") }
