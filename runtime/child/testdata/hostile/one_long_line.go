// # one long line
//
// want: limit: the recipe shows and prints more than 1 MB
package main

import "fmt"
import "strings"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(strings.Repeat("more", 1<<20))
}
