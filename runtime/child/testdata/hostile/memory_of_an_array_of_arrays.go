// # memory of an array of arrays
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var a [1 << 20][1 << 20][1 << 20]int
	fmt.Println(a[1][1][1])
}
