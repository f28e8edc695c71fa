// # loop in a callback
//
// want: limit: the run took longer than 0.5 s
package main

import "fmt"
import "sort"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	s := []int{2, 1}
	sort.Slice(s, func(i, j int) bool {
		for {
		}
	})
}
