// # channel
//
// want: wrong:
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	c := make(chan int)
	c <- 1
}
