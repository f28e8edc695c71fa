// # recursion by types
//
// want: wrong: instantiation cycle:
package main

import "fmt"

func grow[T any](n int) {
	if n > 0 {
		grow[[]T](n - 1)
	}
}

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	grow[int](1)
}
