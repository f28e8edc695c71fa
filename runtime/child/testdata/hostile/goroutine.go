// # goroutine
//
// want: wrong:
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	go fmt.Println()
}
