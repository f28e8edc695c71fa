// # loop of panics
//
// want: limit: the run took longer than 0.5 s
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	for {
		func() {
			defer func() { recover() }()
			panic("again")
		}()
	}
}
