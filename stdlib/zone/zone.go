// Package zone holds the mask, the knife-edge readings taken through it, the way
// from readings to a figure, and the way back.
package zone

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// A Mask is a screen with a ring-shaped opening, or a pair of openings left and
// right, for each zone.
type Mask struct {
	m     *mirror.Mirror
	edges []float64 // metres, rising; zone i lies between edges i and i+1
}

// NewMask returns the mask of m with the given edges, from the innermost out:
// n edges make n-1 zones.
func NewMask(m *mirror.Mirror, edges ...unit.Length) *Mask { panic("unwritten") }

// Mirror returns the mirror the mask is for.
func (k *Mask) Mirror() *mirror.Mirror { return k.m }

// Zones returns the number of zones.
func (k *Mask) Zones() int { return len(k.edges) - 1 }

// Edges returns the inner and outer edge of zone i, counted from 0 at the centre.
func (k *Mask) Edges(i int) (inner, outer unit.Length) { panic("unwritten") }

// Source says what the light source does as the knife moves.
type Source int

// The two ways.
const (
	Moving Source = iota // the source travels with the knife
	Fixed                // the source stays at the centre of curvature
)

// Sheet says how a sheet of readings is written.
type Sheet struct {
	Source Source
	Unit   unit.Length // of the numbers; MM where left out
}

// Readings are sets of knife positions, one position for each zone in each set.
type Readings struct {
	mask   *Mask
	source Source
	unit   unit.Length
	sets   [][]float64 // [set][zone] metres
	names  []string    // of the sets
}

// Read reads a sheet of readings from a CSV file in the recipe's folder.
func Read(k *Mask, file string, s Sheet) *Readings { panic("unwritten") }

// Mask returns the mask they were taken through.
func (r *Readings) Mask() *Mask { return r.mask }

// Reduce turns readings into a figure with its covariance.
func Reduce(r *Readings) *figure.Figure { panic("unwritten") }

// An Expected is what a zone should read at a test.
type Expected struct {
	Zone      int         // from 1 at the centre
	Reading   unit.Length // from the reading of zone 1
	Low, High unit.Length // range with a chance of 68 %
}

// Expect returns what each zone of the mask would read on a mirror with figure f,
// with ranges from the figure's covariance and a reading scatter, measured from
// the first zone.
func Expect(k *Mask, f *figure.Figure, source Source, scatter unit.Length) []Expected {
	panic("unwritten")
}
