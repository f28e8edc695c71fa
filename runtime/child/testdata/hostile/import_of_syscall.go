// # import of syscall
//
// want: wrong: a recipe may not import "syscall"
package main

import _ "syscall"

func main() {}
