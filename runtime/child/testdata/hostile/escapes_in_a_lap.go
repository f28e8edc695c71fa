// # escapes in a lap
//
// want: stopped: lap.Round: Load is -1 N; it must be above 0 and at most 20000 N
package main

import "fmt"
import "lapwright/stdlib/lap"
import "lapwright/stdlib/unit"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	s := "<script>alert(1)</script>\x1b[2J\x1b]0;title\x07\r\u202e[x](javascript:alert(1)) ![](http://example.org/x.png) <img src=x onerror=alert(1)>\n\n# \x00 </pre></svg>"
	fmt.Println(lap.Round(lap.Spec{Name: s, Diameter: 80 * unit.MM, Load: -1 * unit.Newton}))
}
