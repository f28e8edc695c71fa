// # memory by a map
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	m := make(map[int][]int)
	for i := 0; ; i++ {
		m[i] = make([]int, 128)
	}
}
