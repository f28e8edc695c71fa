// # memory in one bite
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	b := make([]byte, 8<<30)
	for i := 0; i < len(b); i += 4096 {
		b[i] = 1
	}
	fmt.Println(len(b))
}
