// # print by width
//
// want: limit: the recipe shows and prints more than 1 MB
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	for {
		fmt.Printf("%1000000d", 1)
	}
}
