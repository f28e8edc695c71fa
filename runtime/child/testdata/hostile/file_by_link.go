// # file by link
//
// want: stopped: input.Table:
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("link.csv")
	fmt.Println(t)
}
