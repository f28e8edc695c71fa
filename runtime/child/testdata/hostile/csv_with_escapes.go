// # csv with escapes
//
// want: stopped: input.Table: escapes.csv:1:7: the column "<script>alert(1)</script>" must be a name, or a n
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
