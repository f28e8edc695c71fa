// # function without a body
//
// want: wrong: missing function body
package main

import "fmt"

//go:linkname escape os.Exit
func escape()

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	escape()
}
