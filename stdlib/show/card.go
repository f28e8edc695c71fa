package show

import (
	"fmt"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// Card shows the run card of a plan: one page to take to the machine.
func Card(p *plan.Plan) {
	m := p.Before().Mirror()
	c := document.Card{Title: "Run card", Facts: cardFacts(p), Spells: cardSpells(p), Cautions: cautions()}
	if name := m.Spec().Name; name != "" {
		c.Title += ": " + name
	}
	c.Steps = []string{
		"Work the spells in their order. Begin and end each with the table's mark at the pointer, in whole turns.",
		"Keep the lap's middle at its radius. Let it drift slowly in and out by the wander given, so that no edge stays in one place.",
		"Turn the lap a little under the hand every few turns, and keep the slurry even and wet.",
		"Between spells rinse, look for marks, and let the next lap settle to the glass. Stop and test at once if it drags, squeals, sticks, or the glass feels warm.",
		"After the last spell stop, wipe wet, and write down the turns as worked.",
		waitStep(m),
	}
	for i := range p.Spells() {
		for _, w := range p.SpellWarnings(i) {
			c.Warnings = append(c.Warnings, fmt.Sprintf("Spell %d: %s.", i+1, w))
		}
	}
	for _, w := range p.Warnings() {
		c.Warnings = append(c.Warnings, upper(w)+".")
	}
	emit(c)
}

func cardFacts(p *plan.Plan) []document.Fact {
	m := p.Before().Mirror()
	s, spec := shopOf(m), m.Spec()
	blank := fmt.Sprintf("%s f/%.3g %s", s.text(spec.Diameter), float64(m.FocalLength()/spec.Diameter), shapeText(spec.Shape))
	if spec.Thickness > 0 {
		blank += fmt.Sprintf(", %s thick, about %.3g kg", s.text(spec.Thickness), m.Mass())
	}
	before, after := p.RMS()
	facts := []document.Fact{
		{Name: "Mirror", Text: blank},
		{Name: "Work", Text: fmt.Sprintf("%s, %s, %s without changing laps", count(len(p.Spells()), "spell"), count(p.Laps(), "lap"), minutes(p.Time()))},
	}
	if falling(p.Spells()) {
		facts = append(facts, document.Fact{Name: "Order", Text: "from the largest lap to the smallest: a large lap would blur what a small one has put right"})
	}
	var even []string
	for i := range p.Spells() {
		even = append(even, fmt.Sprintf("%.1f %%", 100*p.Uneven(i)))
	}
	if len(even) > 0 {
		facts = append(facts, document.Fact{Name: "Evenness", Text: "around the circle each spell differs by " + strings.Join(even, ", ")})
	}
	return append(facts,
		document.Fact{Name: "Rate", Text: p.Rate().String()},
		document.Fact{Name: "Expected", Text: fmt.Sprintf("surface rms %.1f nm to %.1f nm; chance of a gain %s", before.In(unit.NM), after.In(unit.NM), percent(p.Chance()))},
	)
}

// falling reports whether no lap is larger than the one before it, and some are
// smaller.
func falling(spells []plan.Spell) bool {
	for i := 1; i < len(spells); i++ {
		if spells[i].Lap.Diameter() > spells[i-1].Lap.Diameter() {
			return false
		}
	}
	return len(spells) > 1 && spells[len(spells)-1].Lap.Diameter() < spells[0].Lap.Diameter()
}

func cardSpells(p *plan.Plan) document.Table {
	s := shopOf(p.Before().Mirror())
	head := func(name string) string { return fmt.Sprintf("%s (%s)", name, s.symbol()) }
	t := newTable("", "spell", "lap", head("middle at"), head("edges"), head("at the rim"), head("stroke"), "a turn", head("wander"),
		"table (rpm)", "load (N)", "pressure (kPa)", "turns", "time (min)")
	beyond := false
	for i, sp := range p.Spells() {
		e := p.Edges(i)
		beyond = beyond || e.Rest.Inner < 0
		pressure := warned(number(p.Contact(i).Mean.In(unit.KPa), 1), p.Marks(i))
		if pressure.Warn {
			pressure.Text += " too high"
		}
		stroke, strokes := "held", words("")
		if length := sp.Stroke.Length(); length > 0 {
			form, _, _ := strings.Cut(sp.Stroke.String(), ",")
			stroke = form + " " + fixed(s.in(length), s.decimals)
			strokes = number(sp.Stroke.PerTurn(), 1)
		}
		t.row(
			number(float64(i+1), 0), words(sp.Lap.Name()), number(s.in(sp.At), s.decimals), words(s.fall(e.Rest)), words(rimText(s, e)),
			words(stroke), strokes, words("± "+fixed(s.in(sp.Stroke.Wandering()), s.decimals)), number(sp.Stroke.Table().In(unit.RPM), 1),
			number(float64(sp.Lap.Load()), 1), pressure, number(float64(sp.Turns), 0), number(sp.Time().In(unit.Minute), 1),
		)
		if sp.Stroke.Turning() != 0 {
			t.note("Spell %d: %s.", i+1, sp.Stroke.Text(s.unit))
		}
	}
	t.note("Edges are those at rest. At the rim: how far the lap comes over it, or stays inside, at the end of the stroke. A turn: double strokes for each turn of the table.")
	if beyond {
		t.note("An inner edge below 0 lies beyond the centre.")
	}
	return t.finished()
}

// rimText says how the lap lies to the rim at the end of its stroke.
func rimText(s shop, e wear.Edges) string {
	_, work := e.Overhang()
	switch over := fixed(s.in(work), s.decimals); {
	case over == fixed(0, s.decimals):
		return "on it"
	case work > 0:
		return over + " over"
	default:
		return over[1:] + " inside"
	}
}

// waitStep says how long the glass needs before a test.
func waitStep(m *mirror.Mirror) string {
	short, long := m.Settling().Wait()
	if long == 0 {
		return "Let the glass settle before the test: repeat the readings until they no longer drift."
	}
	return fmt.Sprintf("Let the glass settle %s before the test, as guidance; then repeat the readings until they no longer drift.", between(short, long))
}

// upper begins a sentence.
func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
