// # recursion that recovers
//
// want: limit: calls are nested deeper than allowed
package main

import "fmt"

func f(n int) int {
	defer func() { recover() }()
	return f(n+1) + 1
}

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(f(1))
}
