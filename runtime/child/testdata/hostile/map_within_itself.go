// # map within itself
//
// want: limit:
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	m := map[string]any{}
	m["m"] = m
	fmt.Println(m)
}
