// Package recipes carries the recipes that ship, to be read and begun from.
package recipes

import "embed"

// Sources are the folders of the recipes, each with its recipe.go, its data and its
// record.
//
//go:embed */*
var Sources embed.FS
