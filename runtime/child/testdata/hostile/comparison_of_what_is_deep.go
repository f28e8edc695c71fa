// # comparison of what is deep
//
// want: limit: calls are nested deeper than allowed
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var x, y any
	for range 1_000_000 {
		x, y = [1]any{x}, [1]any{y}
	}
	fmt.Println(x == y)
}
