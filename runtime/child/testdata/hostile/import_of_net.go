// # import of net
//
// want: wrong: a recipe may not import "net"
package main

import _ "net"

func main() {}
