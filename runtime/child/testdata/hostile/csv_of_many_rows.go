// # csv of many rows
//
// want: stopped: input.Table: long.csv is larger than 1024 kB, the most a file may be
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("long.csv")
	fmt.Println(t)
}
