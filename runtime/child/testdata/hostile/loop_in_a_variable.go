// # loop in a variable
//
// want: limit: the run took longer than 0.5 s
package main

import "fmt"

var v = endless()

func endless() int {
	for i := 0; ; i++ {
		if i < 0 {
			return i
		}
	}
}

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(v)
}
