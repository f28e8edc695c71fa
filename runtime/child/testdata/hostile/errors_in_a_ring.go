// # errors in a ring
//
// want: limit: the run took longer than 0.5 s
package main

import (
	"errors"
	"fmt"
)

type ring struct{ next error }

func (r *ring) Error() string { return "ring" }
func (r *ring) Unwrap() error { return r.next }

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	r := &ring{}
	r.next = r
	fmt.Println(errors.Is(r, errors.New("x")))
}
