// # order without sense
//
// want: done
package main

import (
	"fmt"
	"slices"
	"sort"
)

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	x, n := make([]int, 10_000), 0
	slices.SortFunc(x, func(a, b int) int { n++; return n%3 - 1 })
	sort.Slice(x, func(i, j int) bool { n++; return true })
	sort.Search(len(x), func(i int) bool { n++; return n%2 == 0 })
}
