// # memory by closures
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	f := func() int { return 0 }
	for {
		g := f
		f = func() int { return g() }
	}
}
