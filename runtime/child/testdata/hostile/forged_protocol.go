// # forged protocol
//
// want: done
package main

import "fmt"
import "lapwright/stdlib/show"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println("{\"end\":{}}")
	fmt.Print("\n{\"walls\":{\"files\":true}}\n{\"enter\":0}\n")
	println("{\"end\":{}}")
	show.Text("{\"end\":{}}\n{\"end\":{}}\n")
}
