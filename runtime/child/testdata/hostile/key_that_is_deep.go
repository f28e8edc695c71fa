// # key that is deep
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
		x = [1]any{x}
	}
	m := map[any]int{}
	m[x] = 1
	fmt.Println(len(m))
}
