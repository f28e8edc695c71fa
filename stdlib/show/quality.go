package show

import (
	"fmt"
	"math"
	"slices"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

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
		t.note("Waves are of %.0f nm.", figures[0].Figure.Mirror().Wavelength().In(1e-9))
	}
	if slices.ContainsFunc(figures, func(n Named) bool { return n.Figure.Covariance() != nil }) {
		t.note("In brackets: the range with a chance of 68 %%. The greatest ray error may well be less: it counts roughness that no reading can rule out.")
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

// Form shows the conic nearest to each figure and its form deviation in the terms of
// ISO 10110-5, one column each.
func Form(title string, figures ...Named) {
	heads := []string{"form of the surface"}
	for _, f := range figures {
		heads = append(heads, f.Name)
	}
	t := newTable(title, heads...)
	var conics []figure.ConicFit
	var forms []figure.Form
	for _, f := range figures {
		conics, forms = append(conics, f.Figure.BestConic()), append(forms, f.Figure.Form())
	}
	row := func(name string, of func(c figure.ConicFit, g figure.Form) figure.Estimate, size float64, decimals int) {
		cells := []document.Cell{words(name)}
		for i := range figures {
			cells = append(cells, estimate(of(conics[i], forms[i]), size, decimals))
		}
		t.row(cells...)
	}
	row("nearest conic, constant", func(c figure.ConicFit, _ figure.Form) figure.Estimate { return c.Constant }, 1, 3)
	if len(figures) > 0 && figures[0].Figure.Mirror().Spec().Shape.Constant() != 0 {
		row("correction (%)", func(c figure.ConicFit, _ figure.Form) figure.Estimate { return c.Correction }, 1, 1)
	}
	row("left beside it, rms (nm)", func(c figure.ConicFit, _ figure.Form) figure.Estimate { return c.Rest }, 1e-9, 1)
	row("B, irregularity, peak to valley (nm)", func(_ figure.ConicFit, g figure.Form) figure.Estimate { return g.Irregularity }, 1e-9, 1)
	row("C, of that the part of revolution (nm)", func(_ figure.ConicFit, g figure.Form) figure.Estimate { return g.Rotational }, 1e-9, 1)
	row("RMSi, irregularity, rms (nm)", func(_ figure.ConicFit, g figure.Form) figure.Estimate { return g.RMSi }, 1e-9, 1)
	t.note("B, C and RMSi as ISO 10110-5 has them, of the surface. A, the sagitta error, is not known of a figure from readings, which have a zero of their own. What varies around the axis is not in a figure of revolution.")
	t.note("In brackets: the range with a chance of 68 %%.")
	t.show()
}

// Rays shows where the rays of each zone of a mask pass the focus.
func Rays(f *figure.Figure, k *zone.Mask) {
	edges := make([]unit.Length, k.Zones()+1)
	for i := range k.Zones() {
		edges[i], edges[i+1] = k.Edges(i)
	}
	rays := f.Rays(edges...)
	s := shopOf(f.Mirror())
	in := s.symbol()
	t := newTable("Rays at the focus, zone by zone", "zone", fmt.Sprintf("from (%s)", in), fmt.Sprintf("to (%s)", in), fmt.Sprintf("taken at (%s)", in), "ray error (Airy radii)")
	for i, z := range rays.Zones {
		t.row(number(float64(i+1), 0), number(s.in(z.Inner), s.decimals), number(s.in(z.Outer), s.decimals), number(s.in(z.At), s.decimals),
			warned(estimate(z.Error, 1, 2), math.Abs(z.Error.Value) > 1))
	}
	t.note("Positive: the rays meet the axis beyond the focus. The focus is the one that makes the greatest of these least: %s.", ranged(rays.Greatest, 1, 2))
	t.note("Of all radii, between the zones too, the greatest is %s. A mask of few zones understates it: judge by this.", ranged(rays.Everywhere, 1, 2))
	t.show()
}

// Envelope shows by how much readings would be off, with what they may be off for all
// rays to fall within the Airy radius. Where a mask is given its openings are drawn
// below.
func Envelope(f *figure.Figure, source zone.Source, masks ...*zone.Mask) {
	p := profile("Readings against the tolerance", f, masks)
	s, size := shopOf(f.Mirror()), unit.MM
	if s.unit == unit.Inch {
		size = unit.Inch
	}
	p.Y = document.Axis{Label: "reading less that of a perfect mirror", Unit: size.Symbol()}
	twice := 1.0
	if source.Stays() {
		twice = 2
	}
	in := func(metres float64) float64 { return math.Round(twice*metres/float64(size)*1e5) / 1e5 }
	v := f.Envelope()
	c := document.Curve{Name: "figure", Role: document.Before}
	allowed := document.Curve{Name: "perfect mirror", Role: document.Target, Band: "rays within the Airy radius"}
	for i, r := range v.At {
		x := math.Round(s.in(r)*1e4) / 1e4
		c.X, c.Y = append(c.X, x), append(c.Y, in(v.Error[i].Value))
		half := in(float64(v.Half[i]))
		allowed.X, allowed.Y, allowed.Low, allowed.High = append(allowed.X, x), append(allowed.Y, 0), append(allowed.Low, -half), append(allowed.High, half)
		if f.Covariance() != nil {
			c.Band = "68 % band"
			c.Low, c.High = append(c.Low, in(v.Error[i].Low)), append(c.High, in(v.Error[i].High))
		}
	}
	p.Curves = []document.Curve{allowed, c}
	// A curve comes nearest to the envelope where it takes up the greatest share of it.
	at, most := 0, 0.0
	for i := range c.Y {
		if share := math.Abs(c.Y[i]) / allowed.High[i]; share > most {
			at, most = i, share
		}
	}
	p.Alt = fmt.Sprintf("Error of a reading against radius, the source %s, in the envelope it may fill. It comes nearest to the edge of that, or goes furthest beyond, at %.4g %s, with %.0f %% of what is allowed.",
		sourceText(source), c.X[at], s.symbol(), 100*most)
	p.Notes = []string{
		fmt.Sprintf("The chance that the whole curve lies within is %s: every ray then falls within the Airy radius.", sampled(v.Inside, f)),
		"It is a tolerance of slopes. A narrow zone can break it and harm little, a wide one can keep it and harm more: look at the Strehl ratio too.",
	}
	emit(p)
}

// Encircled shows how much of a star's light falls within each radius of the middle of
// its image, beside a perfect mirror. It stops the recipe where there is no figure.
func Encircled(title string, figures ...Named) {
	p := document.Plot{Title: title, X: document.Axis{Label: "radius in the image", Unit: "µm"}, Y: document.Axis{Label: "light within", Unit: "%", High: 100}}
	images("show.Encircled", "Share of the light within a radius, against that radius.", p, figures, func(f *figure.Figure) ([]float64, []figure.Estimate) {
		const points = 41
		airy := f.Mirror().Airy()
		var x []float64
		var at []unit.Length
		for i := range points {
			r := 4 * airy * unit.Length(i) / (points - 1)
			x, at = append(x, r.In(unit.UM)), append(at, r)
		}
		return x, f.Encircled(at...)
	}, func(f *figure.Figure) string {
		airy := f.Mirror().Airy()
		return fmt.Sprintf("%s %% within the Airy radius, %s", ranged(f.Encircled(airy)[0], 0.01, 1), airy.Text(unit.UM, 1))
	})
}

// Contrast shows how much contrast is left of ever finer stripes (MTF), beside a perfect
// mirror. It stops the recipe where there is no figure.
func Contrast(title string, figures ...Named) {
	p := document.Plot{Title: title, X: document.Axis{Label: "fineness, of the finest", Unit: "%", High: 100}, Y: document.Axis{Label: "contrast left", Unit: "%", High: 100}}
	if len(figures) > 0 {
		m := figures[0].Figure.Mirror()
		p.Notes = []string{fmt.Sprintf("The finest stripes that this aperture shows at all are %.0f to the millimetre in the focal plane.", 1/(m.Wavelength().In(unit.MM)*m.FocalRatio()))}
	}
	images("show.Contrast", "Contrast left, against the fineness of the stripes.", p, figures, func(f *figure.Figure) ([]float64, []figure.Estimate) {
		const points = 21
		var x, shares []float64
		for i := range points {
			share := float64(i) / (points - 1)
			x, shares = append(x, 100*share), append(shares, share)
		}
		return x, f.Contrast(shares...)
	}, func(f *figure.Figure) string {
		return fmt.Sprintf("%s %% left of stripes of half the finest", ranged(f.Contrast(0.5)[0], 0.01, 1))
	})
}

// images draws a property of the images of figures in per cent, and that of perfect
// mirrors with the same apertures; in says one number of it.
func images(call, lead string, p document.Plot, figures []Named, of func(f *figure.Figure) ([]float64, []figure.Estimate), in func(f *figure.Figure) string) {
	if len(figures) == 0 {
		host.Stopf(call, "%q has no figures; give at least one", p.Title)
	}
	draw := func(name string, role document.Role, f *figure.Figure) {
		x, y := of(f)
		c := document.Curve{Name: name, Role: role}
		for i, e := range y {
			c.X, c.Y = append(c.X, round(x[i])), append(c.Y, round(100*e.Value))
			if f.Covariance() != nil {
				c.Band = "68 % band"
				c.Low, c.High = append(c.Low, round(100*e.Low)), append(c.High, round(100*e.High))
			}
		}
		p.Curves = append(p.Curves, c)
		p.Alt += fmt.Sprintf(" %s: %s.", name, in(f))
	}
	p.Alt = lead
	for i, f := range figures {
		role := document.Other
		if i == 0 {
			role = document.Before
		}
		draw(f.Name, role, f.Figure)
	}
	drawn := make(map[unit.Length]bool)
	for _, f := range figures {
		m := f.Figure.Mirror()
		if drawn[m.Hole()] {
			continue
		}
		drawn[m.Hole()] = true
		name := "perfect mirror"
		if m.Hole() > 0 {
			name += fmt.Sprintf(", %s obstructed", shopOf(m).text(2*m.Hole()))
		}
		draw(name, document.Target, figure.Perfect(m))
	}
	emit(p)
}

// ranged prints an estimate in words: a value and its range, as numbers of size.
func ranged(e figure.Estimate, size float64, decimals int) string {
	return estimate(e, size, decimals).Text
}

// sampled prints a chance that was found by drawing samples of a figure, which are never
// enough to be sure.
func sampled(chance float64, f *figure.Figure) string {
	if f.Covariance() != nil {
		chance = math.Min(math.Max(chance, 0.005), 0.995)
	}
	return percent(chance)
}
