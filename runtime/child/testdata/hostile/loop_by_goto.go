// # loop by goto
//
// want: limit: the run took longer than 0.5 s
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
again:
	goto again
}
