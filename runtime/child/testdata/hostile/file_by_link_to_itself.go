// # file by link to itself
//
// want: stopped: input.Table: loop.csv cannot be read: too many levels of symbolic links
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("loop.csv")
	fmt.Println(t)
}
