package show

import (
	"fmt"
	"math"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// Plan shows a plan: the figure before and after with the laps above, and what
// each spell does. Where a mask is given its openings are drawn below.
func Plan(p *plan.Plan, masks ...*zone.Mask) {
	emit(beforeAfter(p, masks))

	m := p.Before().Mirror()
	s := shopOf(m)
	t := newTable("The spells", "spell", "lap", fmt.Sprintf("stroke (%s)", s.symbol()), fmt.Sprintf("at (%s)", s.symbol()), "turns", "time (min)",
		"greatest depth (nm)", fmt.Sprintf("there (%s)", s.symbol()), "worth (nm)", "risk (%)")
	for i, sp := range p.Spells() {
		e := p.Effect(i)
		t.row(number(float64(i+1), 0), words(sp.Lap.Name()), number(s.in(sp.Stroke.Length()), s.decimals), number(s.in(sp.At), s.decimals),
			number(float64(sp.Turns), 0), number(sp.Time().In(unit.Minute), 1),
			estimate(e.Deepest, 1e-9, 1), number(s.in(e.At), s.decimals), warned(number(e.Worth.In(unit.NM), 1), e.Worth < 0), number(100*e.Risk, 0))
	}
	t.note("Worth: by how much the expected rms of the surface would be greater without the spell. Risk: its share of the doubt that the rate brings, below 0 where it makes up for others.")
	t.note("The rate is %v.", p.Rate())
	t.show()
	Text("%s", planText(p))
	for _, w := range p.Warnings() {
		Text("Note: %s.", w)
	}
}

// beforeAfter is a drawing of a plan.
func beforeAfter(p *plan.Plan, masks []*zone.Mask) document.Plot {
	d := profile("The figure before and after the plan", p.Before(), masks)
	s := shopOf(p.Before().Mirror())
	before, after := heights("before", document.Before, p.Before()), heights("after, forecast", document.After, p.Forecast())
	d.Curves = []document.Curve{before, after}
	for i, sp := range p.Spells() {
		e := p.Edges(i).Rest
		d.Above = append(d.Above, document.Span{Name: fmt.Sprintf("%d: %s", i+1, sp.Lap.Name()), From: round(math.Max(0, s.in(e.Inner))), To: round(s.in(e.Outer))})
	}
	d.Alt = fmt.Sprintf("Height of the surface above the target against radius. Before: %s. After, as forecast: %s.",
		extremes(before, s.symbol()), extremes(after, s.symbol()))
	d.Notes = []string{"Piston and focus are taken out."}
	return d
}

// planText says in words how much a plan does and how sure that is.
func planText(p *plan.Plan) string {
	n := len(p.Spells())
	if n == 0 {
		return "Nothing on the shelf is expected to make the figure better: leave the glass alone."
	}
	before, after := p.RMS()
	var b strings.Builder
	take, they := "take", "They are"
	if n == 1 {
		take, they = "takes", "It is"
	}
	fmt.Fprintf(&b, "%s with %s %s %s. %s expected to bring the rms of the surface, its doubt included, from %.1f nm to %.1f nm. The chance that the figure gets better is %s.",
		count(n, "spell"), count(p.Laps(), "lap"), take, minutes(p.Time()), they, before.In(unit.NM), after.In(unit.NM), percent(p.Chance()))
	switch gap := p.Gap(); {
	case math.IsNaN(gap):
	case math.IsInf(gap, 1):
		fmt.Fprintf(&b, " It was chosen from %d settings; how near it comes to the best there is could not be proven.", p.Candidates())
	case gap == 0:
		fmt.Fprintf(&b, " Of all plans from %d settings within the limits none is expected to be better; that is proven.", p.Candidates())
	default:
		fmt.Fprintf(&b, " It was chosen from %d settings; the best there is may have an rms smaller by up to %.2g %%.", p.Candidates(), 100*gap/(1+gap))
	}
	return b.String()
}

// count prints a number of things: "1 lap", "3 laps".
func count(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return fmt.Sprintf("%d %s", n, thing)
}

// minutes prints a time as it is kept on the bench.
func minutes(t unit.Time) string {
	if m := t.In(unit.Minute); m < 120 {
		return fmt.Sprintf("%.0f min", m)
	}
	whole := int(math.Round(t.In(unit.Minute)))
	return fmt.Sprintf("%d h %d min", whole/60, whole%60)
}

// Forecast shows what is expected after a plan: the figure, and what each zone of
// the mask should read at the next test, from the reading of zone 1. Scatter is
// the standard deviation of one reading; 0 leaves it out of the ranges.
func Forecast(p *plan.Plan, k *zone.Mask, source zone.Source, scatter unit.Length) {
	d := profile("The figure to expect at the next test", p.Forecast(), []*zone.Mask{k})
	after := heights("forecast", document.After, p.Forecast())
	d.Curves = []document.Curve{after}
	d.Alt = fmt.Sprintf("Height of the surface above the target against radius, as forecast: %s.", extremes(after, d.X.Unit))
	d.Notes = []string{"Piston and focus are taken out."}
	emit(d)
	Quality("Before and after", As("before", p.Before()), As("after, forecast", p.Forecast()))
	s := shopOf(k.Mirror())
	size, decimals := unit.MM, 3
	if s.unit == unit.Inch {
		size, decimals = unit.Inch, 4
	}
	t := newTable("What each zone should read at the next test", "zone", fmt.Sprintf("from (%s)", s.symbol()), fmt.Sprintf("to (%s)", s.symbol()),
		fmt.Sprintf("reading (%s)", size.Symbol()), fmt.Sprintf("least (%s)", size.Symbol()), fmt.Sprintf("greatest (%s)", size.Symbol()))
	for i, e := range zone.Expect(k, p.Forecast(), source, scatter) {
		inner, outer := k.Edges(i)
		t.row(number(float64(e.Zone), 0), number(s.in(inner), s.decimals), number(s.in(outer), s.decimals),
			number(e.Reading.In(size), decimals), number(e.Low.In(size), decimals), number(e.High.In(size), decimals))
	}
	t.note("Readings are from that of zone 1, with the source %s. Each lies between least and greatest with a chance of 68 %%.", sourceText(source))
	t.note("A reading far outside its range means that the rate, the figure or the work was not as taken here.")
	t.show()
	Text("The chance that the figure gets better is %s. %s", percent(p.Chance()), lowText(p))
}

func sourceText(s zone.Source) string {
	if s.Stays() {
		return strings.Replace(s.String(), "fixed source", "fixed", 1)
	}
	return "moving with the knife"
}
