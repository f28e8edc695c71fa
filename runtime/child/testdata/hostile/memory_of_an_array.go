// # memory of an array
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var a [1 << 33]byte
	fmt.Println(len(a), a[5])
}
