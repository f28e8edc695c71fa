// # tables without end
//
// want: limit: the recipe shows and prints more than 1 MB
package main

import "fmt"
import "lapwright/stdlib/show"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	for {
		show.Table("one", []string{"a", "b"}, []any{1, 2})
	}
}
