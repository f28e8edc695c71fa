package show

import (
	"fmt"
	"math"

	"lapwright/stdlib/document"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// Readings shows what was read: each zone's mean beside what a perfect mirror
// would give, as a drawing and a table, and the readings that do not fit.
func Readings(r *zone.Readings) {
	k := r.Mask()
	s := shopOf(k.Mirror())
	size, decimals := unit.MM, 3
	if r.Unit() == unit.Inch || r.Unit() == unit.Thou {
		size, decimals = unit.Inch, 4
	}
	means := r.Means()

	p := document.Plot{
		Title: "What was read, less what a perfect mirror gives",
		X:     document.Axis{Label: "radius", Unit: s.symbol(), Low: round(s.in(k.Mirror().Hole())), High: round(s.in(k.Mirror().Clear()))},
		Y:     document.Axis{Label: "reading off by", Unit: "µm"},
		Below: openings(k),
		Notes: []string{"Longer readings lie above. A common offset is taken out: it is the zero of the scale, or a change of the radius of curvature."},
	}
	c := document.Curve{Name: "mean of the sets", Role: document.Measured, Band: "68 % range"}
	for i, m := range means {
		off, doubt := m.Off.In(unit.UM), m.Doubt.In(unit.UM)
		c.X, c.Y = append(c.X, round(s.in(k.Radius(i)))), append(c.Y, round(off))
		c.Low, c.High = append(c.Low, round(off-doubt)), append(c.High, round(off+doubt))
	}
	p.Curves = []document.Curve{c}
	far := 0
	for i, m := range means {
		if math.Abs(float64(m.Off)) > math.Abs(float64(means[far].Off)) {
			far = i
		}
	}
	p.Alt = fmt.Sprintf("By how much the mean reading of each of %d zones is off, with its range. Zone %d is furthest off: %.1f µm, give or take %.1f µm.",
		len(means), far+1, c.Y[far], means[far].Doubt.In(unit.UM))
	emit(p)

	head := func(name string) string { return fmt.Sprintf("%s (%s)", name, size.Symbol()) }
	t := newTable("The readings", "zone", fmt.Sprintf("from (%s)", s.symbol()), fmt.Sprintf("to (%s)", s.symbol()), "taken",
		head("mean"), head("perfect"), head("off by"), head("±"), head("scatter"))
	for i, m := range means {
		inner, outer := k.Edges(i)
		t.row(number(float64(m.Zone), 0), number(s.in(inner), s.decimals), number(s.in(outer), s.decimals), number(float64(m.Taken), 0),
			number(m.Reading.In(size), decimals), number(m.Ideal.In(size), decimals), number(m.Off.In(size), decimals),
			number(m.Doubt.In(size), decimals), number(m.Scatter.In(size), decimals))
	}
	scatter, measured := r.Scatter()
	from := "as found from the sets"
	if !measured {
		from = "as taken beforehand: there are too few sets to tell"
	}
	t.note("%s, the source %s. Mean and perfect are from zone 1; a common offset is taken out of what they are off by.", count(r.Sets(), "set"), sourceText(r.Source()))
	t.note("One reading scatters by %s, %s. ±: standard deviation of a mean. Scatter: of one reading of that zone.", scatter.Text(size, decimals), from)
	t.show()
	for _, x := range r.Suspects() {
		done := "It is left out"
		if x.Counted {
			done = "It is counted, as the sheet asks"
		}
		Text("The reading of zone %d in set %s (%s) does not fit the others: it is %v, off by %v. %s; counting it moves the mean of its zone by %v.",
			x.Zone, x.Set, x.Place, x.Value, x.Off, done, x.Moves)
	}
}

// openings are the openings of a mask, to be drawn below.
func openings(k *zone.Mask) []document.Span {
	s := shopOf(k.Mirror())
	var spans []document.Span
	for i := range k.Zones() {
		inner, outer := k.Edges(i)
		spans = append(spans, document.Span{Name: fmt.Sprint(i + 1), From: round(s.in(inner)), To: round(s.in(outer))})
	}
	return spans
}
