// # sequence without end
//
// want: limit:
package main

import (
	"fmt"
	"slices"
)

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	all := slices.Collect(func(yield func(int) bool) {
		for yield(1) {
		}
	})
	fmt.Println(len(all))
}
