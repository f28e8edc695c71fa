// # field not exported
//
// want: wrong: m.diameter undefined (type *mirror.Mirror has no field or method diameter)
package main

import "fmt"
import "lapwright/stdlib/mirror"
import "lapwright/stdlib/unit"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	m := mirror.New(mirror.Spec{Diameter: 200 * unit.MM, FocalLength: 1200 * unit.MM})
	fmt.Println(m.diameter)
}
