// # file by a long name
//
// want: stopped: input.Table: aaaaaaaaaa
package main

import "fmt"
import "strings"
import "lapwright/stdlib/input"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	t := input.Table(strings.Repeat("a", 1<<20))
	fmt.Println(t)
}
