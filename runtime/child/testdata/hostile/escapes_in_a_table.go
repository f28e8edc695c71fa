// # escapes in a table
//
// want: done
package main

import "fmt"
import "lapwright/stdlib/show"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	s := "<script>alert(1)</script>\x1b[2J\x1b]0;title\x07\r\u202e[x](javascript:alert(1)) ![](http://example.org/x.png) <img src=x onerror=alert(1)>\n\n# \x00 </pre></svg>"
	show.Table(s, []string{s, s + "2"}, []any{s, s})
}
