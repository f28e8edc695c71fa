// # method of a nil mirror
//
// want: panicked: invalid memory address or nil pointer dereference
package main

import "fmt"
import "lapwright/stdlib/mirror"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	var m *mirror.Mirror
	fmt.Println(m.FocalLength())
}
