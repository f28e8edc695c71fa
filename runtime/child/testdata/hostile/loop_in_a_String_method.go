// # loop in a String method
//
// want: limit: the run took longer than 0.5 s
package main

import "fmt"

type t int

func (t) String() string {
	for {
	}
}

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(t(1))
}
