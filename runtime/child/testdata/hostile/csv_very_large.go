// # csv very large
//
// want: stopped: input.Table: large.csv is larger than 1024 kB, the most a file may be
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("large.csv")
	fmt.Println(t)
}
