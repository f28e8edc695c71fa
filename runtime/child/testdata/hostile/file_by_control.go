// # file by control
//
// want: stopped: input.Table:
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("a\x1b[2J.csv")
	fmt.Println(t)
}
