// # memory too large to make
//
// want: panicked: makeslice: len out of range
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	n := -1
	_ = make([]int, n)
}
