// # import of os
//
// want: wrong: a recipe may not import "os"
package main

import _ "os"

func main() {}
