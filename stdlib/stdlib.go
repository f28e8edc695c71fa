// Package stdlib carries the sources of the primitives, from which the program
// tells how they are used and which it can lay beside a person's own recipes.
package stdlib

import "embed"

// Sources are the Go files of the packages in this folder, as in "zone/mask.go".
// Of tests it holds the examples alone: the patterns take every Go file but those
// that end in _test.go.
//
//go:embed */*[^t].go */*[^s]t.go */*[^e]st.go */*[^t]est.go */*example_test.go
var Sources embed.FS
