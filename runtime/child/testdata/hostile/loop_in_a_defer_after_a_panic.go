// # loop in a defer after a panic
//
// want: limit: the run took longer than 0.5 s
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	defer func() {
		for recover() == nil {
		}
		for {
		}
	}()
	panic("on")
}
