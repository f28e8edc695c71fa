// # memory by Repeat
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"
import "strings"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	s := strings.Repeat("a", 1<<33)
	fmt.Println(len(s))
}
