// # memory of a map to make
//
// want: done
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	m := make(map[int]int, 1<<40)
	m[1] = 1
	fmt.Println(len(m))
}
