// # import of plugin
//
// want: wrong: a recipe may not import "plugin"
package main

import _ "plugin"

func main() {}
