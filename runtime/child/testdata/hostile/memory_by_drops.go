// # memory by drops
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var all [][]float64
	for {
		all = append(all, make([]float64, 512))
	}
}
