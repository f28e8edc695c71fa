// # escapes in a value
//
// want: panicked: index out of range [5] with length 1
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	s, n := "<script>alert(1)</script>\x1b[2J\x1b]0;title\x07\r\u202e[x](javascript:alert(1)) ![](http://example.org/x.png) <img src=x onerror=alert(1)>\n\n# \x00 </pre></svg>", 5
	list := []int{1}
	fmt.Println(s, list[n])
}
