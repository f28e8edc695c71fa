package show

import (
	"fmt"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/zone"
)

// Figure shows a figure as a curve of height against radius, piston and focus
// out, with the band it lies in with a chance of 68 % at each radius. Where a
// mask is given its openings are drawn below.
func Figure(title string, f *figure.Figure, masks ...*zone.Mask) {
	p := profile(title, f, masks)
	c := heights("figure", document.Before, f)
	p.Curves = []document.Curve{c}
	p.Alt = fmt.Sprintf("Height of the surface above the target against radius: %s.", extremes(c, p.X.Unit))
	p.Notes = []string{"Piston and focus are taken out."}
	emit(p)
}

// Quality shows how good figures make their mirror, one column each. Names are
// the heads of the columns; there must be one for each figure.
func Quality(title string, figures ...Named) {
	heads := []string{"at best focus"}
	for _, f := range figures {
		heads = append(heads, f.Name)
	}
	t := newTable(title, heads...)
	rows := []struct {
		name     string
		of       func(q figure.Quality) figure.Estimate
		size     float64
		decimals int
	}{
		{"surface, rms (nm)", func(q figure.Quality) figure.Estimate { return q.RMSSurface }, 1e-9, 1},
		{"surface, peak to valley (nm)", func(q figure.Quality) figure.Estimate { return q.PVSurface }, 1e-9, 1},
		{"wavefront, rms (waves)", func(q figure.Quality) figure.Estimate { return q.RMSWave }, 1, 3},
		{"wavefront, peak to valley (waves)", func(q figure.Quality) figure.Estimate { return q.PVWave }, 1, 3},
		{"Strehl ratio, by diffraction", func(q figure.Quality) figure.Estimate { return q.Strehl }, 1, 3},
		{"Strehl ratio, exp(-(2πσ/λ)²)", func(q figure.Quality) figure.Estimate { return q.StrehlRMS }, 1, 3},
		{"greatest ray error (Airy radii)", func(q figure.Quality) figure.Estimate { return q.Ray }, 1, 2},
	}
	var qualities []figure.Quality
	for _, f := range figures {
		qualities = append(qualities, f.Figure.Quality())
	}
	for _, r := range rows {
		cells := []document.Cell{words(r.name)}
		for _, q := range qualities {
			cells = append(cells, estimate(r.of(q), r.size, r.decimals))
		}
		t.row(cells...)
	}
	if len(figures) > 0 {
		t.note("Waves are of %.0f nm. In brackets: the range with a chance of 68 %%.", figures[0].Figure.Mirror().Wavelength().In(1e-9))
	}
	t.show()
}

// Named is a figure and what to call it.
type Named struct {
	Name   string
	Figure *figure.Figure
}

// As gives a figure a name: show.Quality("Quality", show.As("before", f)).
func As(name string, f *figure.Figure) Named { return Named{name, f} }
