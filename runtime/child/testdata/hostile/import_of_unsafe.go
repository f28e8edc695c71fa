// # import of unsafe
//
// want: wrong: a recipe may not import "unsafe"
package main

import _ "unsafe"

func main() {}
