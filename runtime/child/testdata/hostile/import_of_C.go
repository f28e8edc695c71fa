// # import of C
//
// want: wrong: a recipe may not import "C"
package main

import "C"

func main() {}
