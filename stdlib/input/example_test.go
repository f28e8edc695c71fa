package input_test

import (
	"fmt"

	"lapwright/stdlib/input"
	. "lapwright/stdlib/unit"
)

// Each declaration has a name, the value where nobody gives another, what it is
// about, and perhaps the least and the greatest allowed.
func Example() {
	ring := input.Length("ring", 118*MM, "radius of the high ring", 60*MM, 140*MM)
	spells := input.Count("spells", 3, "the most spells of work", 1, 6)
	care := input.Number("care", 3, "how many times glass left low counts", 1, 10)
	source := input.Choice("source", "moving", "what the lamp does", "moving", "fixed")
	bars := input.YesNo("bars", true, "show the plan of work")
	load := input.Force("load", 8*Newton, "weight on the lap", 1*Newton, 50*Newton)
	limit := input.Pressure("limit", 4*KPa, "pressure that marks the glass")
	k := input.Preston("k", 6e-13*PerPascal, "wear coefficient")
	table := input.Rate("table", 6*RPM, "rate of the turntable")
	time := input.Time("time", 20*Minute, "time for the work")
	tilt := input.Angle("tilt", 30*Degree, "how the mirror was turned between sets")
	fmt.Println(ring, spells, care, source, bars)
	fmt.Println(load, limit, k, table, time, tilt)
	// Output:
	// 118 mm 3 3 moving true
	// 8 N 4 kPa 6e-13 m²/N 6 rpm 20 min 30 deg
}
