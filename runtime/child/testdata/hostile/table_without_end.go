// # table without end
//
// want: limit: the recipe shows and prints more than 1 MB
package main

import "fmt"
import "lapwright/stdlib/show"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var rows [][]any
	for i := range 50_000 {
		rows = append(rows, []any{i, i})
	}
	show.Table("one", []string{"a", "b"}, rows...)
}
