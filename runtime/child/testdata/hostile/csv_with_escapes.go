// # csv with escapes
//
// want: stopped: input.Table: escapes.csv:1:1: the column "a\x1b[2J" must have its unit in round brackets
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("escapes.csv")
	fmt.Println(t)
}
