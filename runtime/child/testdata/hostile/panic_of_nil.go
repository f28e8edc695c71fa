// # panic of nil
//
// want: panicked: panic called with nil argument
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	panic(nil)
}
