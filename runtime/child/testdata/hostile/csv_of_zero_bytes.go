// # csv of zero bytes
//
// want: stopped: input.Table: zeros.csv is not text; it must be a CSV file
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("zeros.csv")
	fmt.Println(t)
}
