// # loop that recovers
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
			var p *int
			*p = 1
		}()
	}
}
