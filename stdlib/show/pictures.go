package show

import (
	"slices"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/picture"
)

// Pictures shows what a tester would see, side by side, with what to bear in mind.
// It stops the recipe where there is no picture or one is empty.
func Pictures(title string, pictures ...*picture.Picture) {
	if len(pictures) == 0 {
		host.Stopf("show.Pictures", "%q has no pictures; give at least one", title)
	}
	m := document.Image{Title: title}
	for i, p := range pictures {
		if p == nil || p.Side() == 0 {
			host.Stopf("show.Pictures", "picture %d of %q is empty; package picture draws pictures", i+1, title)
		}
		m.Panels = append(m.Panels, document.Panel{Name: p.Name(), Alt: p.Words(), Width: p.Side(), Height: p.Side(), Grey: p.Grey()})
		if !slices.Contains(m.Notes, p.Note()) {
			m.Notes = append(m.Notes, p.Note())
		}
	}
	emit(m)
}
