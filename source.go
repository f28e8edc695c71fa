// Package lapwright holds the sources that the program carries with it: those of
// the primitives, from which it tells how they are used and which it can lay
// beside a person's own recipes, and the recipes that ship.
package lapwright

import "embed"

// Sources are the files, under the paths they have in the repository. Of tests it
// holds the examples alone: the patterns for stdlib take every Go file but those
// that end in _test.go.
//
//go:embed go.mod go.sum LICENSE
//go:embed stdlib/*/*[^t].go stdlib/*/*[^s]t.go stdlib/*/*[^e]st.go stdlib/*/*[^t]est.go stdlib/*/*example_test.go
//go:embed recipes
var Sources embed.FS
