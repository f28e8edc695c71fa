// # format of a format
//
// want: done
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	s := "%v"
	for range 12 {
		s += s
	}
	fmt.Println(len(fmt.Sprintf("%[1]*[1]*[1]*d", 1<<30, 5)), len(s))
}
