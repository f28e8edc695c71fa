// # recursion of two
//
// want: limit: calls are nested deeper than allowed
package main

import "fmt"

func f(n int) int { return g(n) + 1 }
func g(n int) int { return f(n) + 1 }

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(f(1))
}
