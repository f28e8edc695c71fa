package show

import (
	"fmt"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/zone"
)

// Share shows what sharing a ring among laps does, beside what each lap alone
// does in the same time: a drawing of what is taken off, and a table. Where a
// mask is given its openings are drawn below.
func Share(s *plan.Shared, masks ...*zone.Mask) {
	laps, whole := s.Laps(), s.Whole()
	f := whole.Before()
	m := f.Mirror()
	sh := shopOf(m)

	p := profile("What is taken off: each lap alone, and all sharing the time", f, masks)
	p.Y.Label = "depth taken off"
	for i, l := range laps {
		p.Curves = append(p.Curves, curve(l.Name()+" alone", document.Work, f, s.Alone(i).Removed(0)))
		e := whole.Edges(i).Rest
		p.Above = append(p.Above, document.Span{Name: l.Name(), From: round(sh.in(e.Inner)), To: round(sh.in(e.Outer))})
	}
	all := make([]float64, figure.GridSize)
	for i := range laps {
		for k, d := range whole.Removed(i) {
			all[k] += d
		}
	}
	shared := curve("shared", document.After, f, all)
	p.Curves = append(p.Curves, shared)
	p.Marks = []document.Mark{{At: round(sh.in(s.Ring())), Name: "ring"}}
	p.Alt = fmt.Sprintf("Depth taken off against radius by each of %d laps alone and by all of them sharing the time. Shared, the depth is %s.",
		len(laps), extremes(shared, sh.symbol()))
	emit(p)

	t := newTable(fmt.Sprintf("The ring at %s in %s", sh.text(s.Ring()), whole.Time()),
		"work", "turns", fmt.Sprintf("edges at rest (%s)", sh.symbol()),
		"at the ring (nm)", "inside it (nm)", "outside it (nm)", "slope step (nm/mm)", "×/÷", "rms after (nm)")
	row := func(name, turns, edges string, p *plan.Plan) {
		e := p.OnRing(s.Ring(), s.Width())
		t.row(words(name), words(turns), words(edges), number(nm(e.Depth.Value), 1), number(nm(e.Inside.Value), 1), number(nm(e.Outside.Value), 1),
			number(e.Step.Value*1e6, 2), number(e.Depth.High/e.Depth.Value, 2), estimate(e.RMS, 1e-9, 1))
	}
	var turns []string
	for i, l := range laps {
		row(l.Name()+" alone", fmt.Sprint(s.Alone(i).Spells()[0].Turns), sh.fall(whole.Edges(i).Rest), s.Alone(i))
		turns = append(turns, fmt.Sprint(whole.Spells()[i].Turns))
	}
	row("shared", strings.Join(turns, " + "), "", whole)
	t.note("Inside and outside: the mean depth over a strip as wide as the ring, %s, on either side of it.", sh.text(s.Width()))
	t.note("Slope step: the steepest change of slope left beside the ring, which the knife-edge shows as the edge of a groove.")
	t.note("Depths and steps are for the rate %v. With a chance of 68 %% they are not out by more than the factor under ×/÷.", whole.Rate().K)
	t.show()
}
