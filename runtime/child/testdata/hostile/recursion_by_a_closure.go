// # recursion by a closure
//
// want: limit: calls are nested deeper than allowed
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var f func(int) int
	f = func(n int) int { return f(n+1) + 1 }
	fmt.Println(f(1))
}
