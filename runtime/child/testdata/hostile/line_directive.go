// # line directive
//
// want: panicked: index out of range [3] with length 0
package main

func main() {
	// ## Before
	println("before")

	// ## The attempt
	i := 3
//line /etc/passwd:1
	_ = []int{}[i]
}
