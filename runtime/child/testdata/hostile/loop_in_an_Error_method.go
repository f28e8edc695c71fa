// # loop in an Error method
//
// want: limit: the run took longer than 0.5 s
package main

import "fmt"

type bad struct{}

func (bad) Error() string {
	for {
	}
}

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	panic(bad{})
}
