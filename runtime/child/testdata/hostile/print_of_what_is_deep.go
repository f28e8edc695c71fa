// # print of what is deep
//
// want: limit: calls are nested deeper than allowed
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var x any
	for range 1_000_000 {
		x = []any{x}
	}
	fmt.Println(x)
}
