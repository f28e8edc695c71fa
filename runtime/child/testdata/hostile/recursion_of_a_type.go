// # recursion of a type
//
// want: wrong: invalid recursive type: tree refers to itself
package main

import "fmt"

type tree struct{ left, right tree }

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var t tree
	fmt.Println(t)
}
