// # panic in a callback
//
// want: panicked: index out of range [9] with length 2
package main

import "fmt"
import "sort"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	s := []int{2, 1}
	sort.Slice(s, func(i, j int) bool { return s[9] < 1 })
}
