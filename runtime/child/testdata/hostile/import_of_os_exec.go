// # import of os/exec
//
// want: wrong: a recipe may not import "os/exec"
package main

import _ "os/exec"

func main() {}
