// # memory of a builder
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"
import "strings"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var b strings.Builder
	b.Grow(1 << 40)
	fmt.Println(b.Len())
}
