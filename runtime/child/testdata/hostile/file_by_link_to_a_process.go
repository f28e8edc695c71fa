// # file by link to a process
//
// want: stopped: input.Table: environ.csv cannot be read: path escapes from parent
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("environ.csv")
	fmt.Println(t)
}
