package show

import (
	"fmt"
	"math"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// Readings shows what was read: each zone's mean beside what a perfect mirror
// would give, as a drawing and a table; what was noted with the sets; the readings
// that do not fit; and signs that the mirror is no figure of revolution.
func Readings(r *zone.Readings) {
	k := r.Mask()
	s := shopOf(k.Mirror())
	size, decimals, small := unit.MM, 3, unit.UM
	if r.Unit() == unit.Inch || r.Unit() == unit.Thou {
		size, decimals, small = unit.Inch, 4, unit.Thou
	}
	means := r.Means()

	p := document.Plot{
		Title: "What was read, less what a perfect mirror gives",
		X:     document.Axis{Label: "radius", Unit: s.symbol(), Low: round(s.in(k.Mirror().Hole())), High: round(s.in(k.Mirror().Clear()))},
		Y:     document.Axis{Label: "reading off by", Unit: small.Symbol()},
		Below: openings(k),
		Notes: []string{"Longer readings lie above. A common offset is taken out: it is the zero of the scale, or a change of the radius of curvature."},
	}
	c := document.Curve{Name: "mean of the sets", Role: document.Measured, Band: "68 % range"}
	for i, m := range means {
		off, doubt := m.Off.In(small), m.Doubt.In(small)
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
	p.Alt = fmt.Sprintf("By how much the mean reading of each of %d zones is off, with its range. Zone %d is furthest off: %.1f %s, give or take %.1f %[4]s.",
		len(means), far+1, c.Y[far], small.Symbol(), means[far].Doubt.In(small))
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
	missing := 0
	for i := range r.Sets() {
		missing += r.Set(i).Missing
	}
	read := fmt.Sprintf("%s, the source %s, read with %v", count(r.Sets(), "set"), sourceText(r.Source()), r.Way())
	if missing > 0 {
		read += fmt.Sprintf("; %s of %d missing", count(missing, "reading"), r.Sets()*k.Zones())
	}
	t.note("%s. Mean and perfect are from zone 1; a common offset is taken out of what they are off by.", read)
	one := "One reading"
	if r.Way() == zone.Centres {
		one = "One place across the axis"
	}
	t.note("%s scatters by %s, %s. ±: standard deviation of a mean. Scatter: of one reading of that zone.", one, scatter.Text(size, decimals), from)
	t.show()
	sets(r)
	for _, x := range r.Suspects() {
		done := "It is left out"
		if x.Counted {
			done = "It is counted, as the sheet asks"
		}
		Text("The reading of zone %d in set %s (%s) does not fit the others: it is %s, off by %s. %s; counting it moves the mean of its zone by %s.",
			x.Zone, strings.TrimPrefix(x.Set, "set "), x.Place, x.Value.Text(size, decimals), x.Off.Text(size, decimals), done, x.Moves.Text(size, decimals))
	}
	for _, a := range r.Asymmetries() {
		Text("%v", a)
	}
}

// sets shows what was noted with each set, where anything was.
func sets(r *zone.Readings) {
	t := newTable("The sets", "set", "mirror turned (°)", "date", "temperature (°C)", "taken", "missing")
	noted := false
	for i := range r.Sets() {
		s := r.Set(i)
		noted = noted || s.Date != "" || !math.IsNaN(float64(s.Angle)) || !math.IsNaN(s.Temperature) || s.Missing > 0
		t.row(words(s.Name), number(s.Angle.In(unit.Degree), 0), words(s.Date), number(s.Temperature, 1), number(float64(s.Taken), 0), number(float64(s.Missing), 0))
	}
	if noted {
		t.show()
	}
}

// Offsets shows where the scale of each set stands by the figure that the readings
// gave, and the change of the radius of curvature that it means.
func Offsets(r *zone.Readings, f *figure.Figure) {
	size, decimals := unit.MM, 2
	if r.Unit() == unit.Inch || r.Unit() == unit.Thou {
		size, decimals = unit.Inch, 3
	}
	s := shopOf(f.Mirror())
	t := newTable("What is common to all readings of a set", "set", fmt.Sprintf("zero (%s)", size.Symbol()), fmt.Sprintf("change of radius (%s)", size.Symbol()))
	for _, o := range zone.Offsets(r, f) {
		t.row(words(o.Set), number(o.Zero.In(size), decimals), number(o.Change.In(size), decimals))
	}
	t.note("Zero: what the scale shows at the centre of curvature of the middle of the glass. It is no error of figure.")
	t.note("Where the scale was set to 0 at %s from the mirror, the radius of curvature is longer than that by the change.", s.text(f.Mirror().Radius()))
	t.show()
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
