// # a <script>alert(1)</script> [2J title
//
// <script>alert(1)</script> [x](javascript:alert(1)) <b onclick=alert(1)>
//
// want: done
package main

import "fmt"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	// <script>alert(1)</script> [x](javascript:alert(1)) <img src=x onerror=alert(1)> [2J ‮ ![](http://example.org/x.png)
	fmt.Println(1)
}
