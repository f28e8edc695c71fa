// # recursion through String
//
// want: limit: calls are nested deeper than allowed
package main

import "fmt"

type t int

func (x t) String() string { return fmt.Sprint("x", x) }

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(t(1))
}
