// # print one long text
//
// want: limit: the recipe shows and prints more than 1 MB
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	s := "a"
	for range 22 {
		s += s
	}
	fmt.Println(s)
}
