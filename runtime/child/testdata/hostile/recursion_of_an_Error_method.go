// # recursion of an Error method
//
// want: panicked: panic: main.bad
package main

import "fmt"

type bad struct{}

func (b bad) Error() string { return b.Error() + "!" }

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	panic(bad{})
}
