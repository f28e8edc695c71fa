// Package lap holds the tools on the shelf.
package lap

import "lapwright/stdlib/unit"

// Spec says what a lap is.
type Spec struct {
	Name     string
	Diameter unit.Length
	Load     unit.Force    // the weight on the glass, hand and lap together
	Contact  float64       // share of its area that touches, between channels; 1 where left out
	Limit    unit.Pressure // contact pressure above which it marks the glass; 0 where not known
}

// A Lap is a tool that has been checked. It does not change.
type Lap struct{ spec Spec }

// Round returns a round lap.
func Round(s Spec) *Lap { panic("unwritten") }
