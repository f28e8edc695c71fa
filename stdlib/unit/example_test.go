package unit_test

import (
	"fmt"

	. "lapwright/stdlib/unit"
)

// Lengths are multiplied, compared, and printed in any unit.
func ExampleLength() {
	ring := 118 * MM
	fmt.Println(ring, ring.Text(Inch, 2), ring > 4*Inch)
	fmt.Printf("%.1f of a 300 mm mirror\n", float64(ring/(150*MM)))
	// Output:
	// 118 mm 4.65 in true
	// 0.8 of a 300 mm mirror
}

// What is written as text is read with its unit; the error says what is wrong.
func ExampleParseLength() {
	for _, s := range []string{"118mm", `8 1/2"`, "118"} {
		l, err := ParseLength(s)
		fmt.Println(l, err)
	}
	angle, _ := ParseAngle("30 deg")
	force, _ := ParseForce("2 kgf")
	pressure, _ := ParsePressure("0.5 psi")
	k, _ := ParsePreston("5e-13 m²/N")
	rate, _ := ParseRate("6 rpm")
	time, _ := ParseTime("1.5 h")
	number, _ := ParseNumber("2 1/2")
	fmt.Println(angle, force, pressure, k, rate, time, number)
	// Output:
	// 118 mm <nil>
	// 215.9 mm <nil>
	// 0 mm "118" has no unit; write a number and a unit, one of nm, µm, mm, cm, m, in, thou
	// 30 deg 19.61 N 3.447 kPa 5e-13 m²/N 6 rpm 1.5 h 2.5
}

// One turn of the table takes the period of its rate.
func ExampleRate() {
	table := 6 * RPM
	fmt.Println(table, table.Period(), 120*table.Period())
	// Output:
	// 6 rpm 10 s 20 min
}
