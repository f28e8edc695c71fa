// # panic in every defer
//
// want: limit: calls are nested deeper than allowed
package main

import "fmt"

func again() {
	defer func() {
		recover()
		again()
	}()
	panic("again")
}

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	again()
}
