package show

import (
	"fmt"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/session"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// Story shows what became of a mirror, test by test: a table, and a drawing of the
// surface's rms against the minutes worked. It stops the recipe where the story has no
// test or one has no figure.
func Story(s *session.Story) {
	if len(s.Tests) == 0 {
		host.Stopf("show.Story", "the story has no test")
	}
	t := newTable("The story of the mirror", "test", "when", "surface rms (nm)", "Strehl ratio", "against the last",
		"then spells", "time (min)", "in all (min)")
	p := document.Plot{
		Title: "Surface rms against time worked",
		X:     document.Axis{Label: "worked before the test", Unit: "min"},
		Y:     document.Axis{Label: "surface rms", Unit: "nm"},
		Notes: []string{"Marks are tests, by their numbers in the table. Time is that of the turns written down, without changing laps."},
	}
	c := document.Curve{Name: "as tested", Role: document.Measured, Band: "68 % range"}
	var total unit.Time
	var last, first float64
	for i, test := range s.Tests {
		if test.Figure == nil {
			host.Stopf("show.Story", "test %d has no Figure", i+1)
		}
		q := test.Figure.Quality()
		rms := q.RMSSurface
		against := words("–")
		if i > 0 {
			against = number(rms.Value/last, 2)
			against.Warn = rms.Value > last
		} else {
			first = rms.Value
		}
		last = rms.Value
		x := round(total.In(unit.Minute))
		c.X, c.Y = append(c.X, x), append(c.Y, round(nm(rms.Value)))
		c.Low, c.High = append(c.Low, round(nm(rms.Low))), append(c.High, round(nm(rms.High)))
		p.Marks = append(p.Marks, document.Mark{At: x, Name: fmt.Sprint(i + 1)})
		total += test.Time()
		t.row(number(float64(i+1), 0), words(test.When), estimate(rms, 1e-9, 1), estimate(q.Strehl, 1, 3), against,
			number(float64(len(test.Then)), 0), number(test.Time().In(unit.Minute), 0), number(total.In(unit.Minute), 0))
	}
	p.Curves = []document.Curve{c}
	worked := c.X[len(c.X)-1]
	p.Alt = fmt.Sprintf("Surface rms at each of %s against the minutes worked: %.1f nm at the first, %.1f nm at the last, after %.0f min.",
		count(len(s.Tests), "test"), nm(first), nm(last), worked)
	t.note("Against the last: the surface rms as a share of that at the test before. Surface rms and Strehl are at best focus, with the range they lie in with a chance of 68 %%.")
	t.show()
	if len(s.Tests) > 1 {
		emit(p)
	}
	if since := s.Since(); len(since) > 0 {
		Text("Note: %s worked since the last test: the figure is no longer the one tested.", wereWas(len(since), "spell"))
	}
	if log := s.Log(); log != nil && log.Broken() != "" {
		Text("Note: the last line of the log has no end, so that it may have been broken off, and is left out: %q. If it is whole, end it.", log.Broken())
	}
}

// wereWas is count with its verb.
func wereWas(n int, thing string) string {
	if n == 1 {
		return count(n, thing) + " was"
	}
	return count(n, thing) + " were"
}

// Learned shows what works told of the rates.
func Learned(l *session.Learned) {
	t := newTable("What the work tells of the rates", "rate of", "before (m²/N)", "after (m²/N)", "ratio", "told apart")
	before, after := l.Common()
	row := func(name string, before, after wear.Rate, apart string) {
		t.row(words(name), rateCell(before), rateCell(after), number(float64(after.K/before.K), 2), words(apart))
	}
	row("what all laps have in common", before, after, "")
	for _, p := range l.Laps() {
		row(p.Lap.Name(), p.Before, p.After, map[bool]string{true: "yes", false: "not yet"}[p.Own])
	}
	t.note("In brackets: the factor either way within which it lies with a chance of 68 %%. Told apart: the works halve the doubt about its ratio to the other laps.")
	t.show()
}

func rateCell(r wear.Rate) document.Cell {
	c := document.Cell{Text: fmt.Sprintf("%.3g (factor %.2f)", float64(r.K), r.Factor)}
	v := float64(r.K)
	c.Number = &v
	return c
}

// Outcome shows how some work turned out, held against what was foreseen: each zone,
// whether the forecast was missed, and the causes that the readings bear out.
func Outcome(o session.Outcome, w session.Work) {
	k := w.After.Mask()
	s := shopOf(k.Mirror())
	size, decimals := unit.MM, 3
	if s.unit == unit.Inch {
		size, decimals = unit.Inch, 4
	}
	head := func(name string) string { return fmt.Sprintf("%s (%s)", name, size.Symbol()) }
	t := newTable("The test against the forecast", "zone", fmt.Sprintf("from (%s)", s.symbol()), fmt.Sprintf("to (%s)", s.symbol()),
		head("foreseen"), head("read"), head("off by"), head("±"))
	for i, z := range o.Zones {
		inner, outer := k.Edges(i)
		far := z.Off > 2*z.Doubt || z.Off < -2*z.Doubt
		t.row(number(float64(z.Zone), 0), number(s.in(inner), s.decimals), number(s.in(outer), s.decimals), number(z.Foreseen.In(size), decimals),
			number(z.Read.In(size), decimals), warned(number(z.Off.In(size), decimals), far), number(z.Doubt.In(size), decimals))
	}
	t.note("What was read is from zone 1, and what was foreseen is shifted to where all zones fit best. ±: standard deviation, from the figure before, the rates, the shape of the wear and the scatter.")
	t.show()
	if !o.Missed() {
		Text("The work went as foreseen: readings off by as much or more are to be expected in %s of such works.", percent(o.Chance))
		return
	}
	Text("The forecast was missed: readings off by as much are to be expected in %s of works that go as foreseen. What the readings bear out, the likeliest first:", percent(o.Chance))
	c := newTable("What may be behind it", "cause", "chance (%)")
	rest := 0
	for i, cause := range o.Causes {
		if i < 6 && (i < 2 || cause.Chance >= 0.01) {
			c.row(words(upper(cause.What)), number(100*cause.Chance, 0))
		} else {
			rest++
		}
	}
	c.note("Chances are among the causes held against each other, each kind as likely as another beforehand; what is not among them is not found. %s less likely left out.", wereWas(rest, "cause"))
	c.show()
}

// LogLines shows what to write into the log as the spells of a plan are worked.
func LogLines(p *plan.Plan) {
	Text("When a spell is done, write it into the log, with the turns as worked:")
	var b strings.Builder
	for _, line := range session.Lines(p) {
		fmt.Fprintf(&b, "lapwright log RECIPE spell %q\n", line)
	}
	b.WriteString("lapwright log RECIPE test FILE\n")
	emit(document.Printed{Text: b.String()})
}
