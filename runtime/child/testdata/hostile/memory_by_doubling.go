// # memory by doubling
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	b := []byte{1}
	for {
		b = append(b, b...)
	}
}
