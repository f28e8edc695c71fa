// # loop of printing
//
// want: limit: the recipe shows and prints more than 1 MB
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	for {
		fmt.Println("more")
	}
}
