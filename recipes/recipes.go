// Package recipes carries the recipes that ship, to be read and begun from.
package recipes

import (
	"embed"
	"io/fs"
	"iter"
	"path"
)

// Sources are the folders of the recipes, each with its recipe.go, its data and its
// record.
//
//go:embed */*
var Sources embed.FS

// All returns the names of the recipes with their sources, in the order of the names.
func All() iter.Seq2[string, []byte] {
	return func(yield func(name string, source []byte) bool) {
		files, _ := fs.Glob(Sources, "*/recipe.go")
		for _, file := range files {
			source, err := Sources.ReadFile(file)
			if err != nil {
				panic(err) // it is embedded
			}
			if !yield(path.Dir(file), source) {
				return
			}
		}
	}
}
