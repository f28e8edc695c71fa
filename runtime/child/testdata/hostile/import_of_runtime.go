// # import of runtime
//
// want: wrong: a recipe may not import "runtime"
package main

import _ "runtime"

func main() {}
