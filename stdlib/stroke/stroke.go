// Package stroke says how a lap is moved while the table turns.
package stroke

import "lapwright/stdlib/unit"

// A Stroke is a way of moving a lap. It does not change.
type Stroke struct{}

// Held keeps the lap where it is while the table turns under it.
func Held(table unit.Rate) *Stroke { panic("unwritten") }

// Tangential moves the lap to and fro along the ring's tangent, length from end
// to end, perTurn double strokes for each turn of the table.
func Tangential(length unit.Length, perTurn float64, table unit.Rate) *Stroke { panic("unwritten") }
