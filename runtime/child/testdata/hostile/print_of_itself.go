// # print of itself
//
// want: limit: calls are nested deeper than allowed
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	list := []any{1, nil}
	list[1] = list
	fmt.Println(list)
}
