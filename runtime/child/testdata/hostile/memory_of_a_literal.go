// # memory of a literal
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	a := []int{1 << 31: 1}
	fmt.Println(len(a))
}
