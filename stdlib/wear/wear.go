// Package wear reckons how fast a lap and a stroke lower the glass at each
// radius, by Preston's law dh/dt = k·p·|v|.
package wear

import (
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
)

// A Setting is a lap, a stroke, and the radius its centre works at.
type Setting struct {
	Lap    *lap.Lap
	Stroke *stroke.Stroke
	At     unit.Length // radius of the middle of the stroke
}

// A Rate is the wear coefficient and how well it is known: its logarithm is
// taken as normal, and with a chance of 68 % it lies between K/Factor and K·Factor.
type Rate struct {
	K      unit.Preston
	Factor float64 // 1 where exact
}

// A Profile is what one setting takes off in one turn of the table.
type Profile struct{}

// New reckons the profile of s on mirror m on the grid of figure.Grid.
func New(m *mirror.Mirror, s Setting) *Profile { panic("unwritten") }

// PerTurn returns the depth worn in one turn for k = 1 m²/N at each radius of
// the mirror's grid: multiply by Rate.K. In m per (m²/N).
func (p *Profile) PerTurn() []float64 { panic("unwritten") }
