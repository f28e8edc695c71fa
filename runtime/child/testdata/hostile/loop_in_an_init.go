// # loop in an init
//
// want: limit: the run took longer than 0.5 s
package main

import "fmt"

var n int

func init() {
	for {
		n++
	}
}

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
}
