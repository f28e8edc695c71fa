// # import of time
//
// want: wrong: a recipe may not import "time"
package main

import _ "time"

func main() {}
