// # file by a zero byte
//
// want: stopped: input.Table: a.csv
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("a.csv\x00.txt")
	fmt.Println(t)
}
