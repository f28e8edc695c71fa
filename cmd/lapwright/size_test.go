package main

import (
	"encoding/json"
	"path/filepath"
	"slices"
	"testing"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// TestPageOfTheWholeJobKeepsToItsSize holds the page of the recipe that shows the whole
// job to 25 kB, and each of its plots to 15 kB beyond.
func TestPageOfTheWholeJobKeepsToItsSize(t *testing.T) {
	var d document.Document
	if err := json.Unmarshal(runRecipe(t, filepath.Join("..", "..", "recipes", "high-ring"))[".json"], &d); err != nil {
		t.Fatal(err)
	}
	size := func() int {
		page, err := render.HTML(&d)
		if err != nil {
			t.Fatal(err)
		}
		return len(page)
	}
	for i := range d.Sections {
		all := d.Sections[i].Blocks
		for j := len(all) - 1; j >= 0; j-- {
			switch b := all[j]; b.(type) {
			case document.Plot, document.View, document.Image, document.Drawing:
				before := size()
				all = slices.Delete(all, j, j+1)
				d.Sections[i].Blocks = all
				if _, plot := b.(document.Plot); plot && before-size() > 15_000 {
					t.Errorf("plot %d of %s takes %d bytes", j+1, d.Sections[i].Title, before-size())
				}
			}
		}
	}
	if rest := size(); rest > 25_000 {
		t.Errorf("without its figures the page takes %d bytes", rest)
	}
}
