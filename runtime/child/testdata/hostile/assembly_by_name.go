// # assembly by name
//
// want: wrong: missing function body
package main

import "fmt"

//go:linkname sqrt math.archSqrt
func sqrt(x float64) float64

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(sqrt(2))
}
