// # panic with escapes
//
// want: panicked: panic: [2J
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	panic("\x1b[2J\x1b]0;gone\x07")
}
