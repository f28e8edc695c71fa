// # file by link to a folder
//
// want: stopped: input.Table: up/secret.csv cannot be read: path escapes from parent
package main

import "fmt"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table("up/secret.csv")
	fmt.Println(t)
}
