// # import of reflect
//
// want: wrong: a recipe may not import "reflect"
package main

import _ "reflect"

func main() {}
