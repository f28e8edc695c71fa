package plan

import (
	"gonum.org/v1/gonum/floats"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// A Choice is a plan and what sets it apart.
type Choice struct {
	Name string
	Plan *Plan
}

// Choices returns the best plan and what else might be done with the same shelf,
// to see the price of each: a spell more and a spell fewer, a lap fewer, half the
// time, and the best plan with half its turns. Choices that come to the same
// plan as one before are left out. A plan of the user's own may be put beside
// them. It stops the recipe as Best does.
func Choices(f *figure.Figure, rate wear.Rate, shelf Shelf, limits Limits) []Choice {
	const call = "plan.Choices"
	checkRate(call, rate)
	limits = limits.filled(call)
	c := newChoices(call, f.Mirror(), shelf, limits)
	best := c.best(f, rate, limits)
	list := []Choice{{"best", best}}
	add := func(name string, p *Plan) {
		for _, other := range list {
			if p.same(other.Plan) {
				return
			}
		}
		list = append(list, Choice{name, p})
	}
	try := func(name string, change func(l *Limits)) {
		l := limits
		change(&l)
		add(name, c.best(f, rate, l))
	}
	if limits.Spells < mostSpells {
		try("a spell more", func(l *Limits) { l.Spells++; l.Laps = min(limits.Laps, l.Spells) })
	}
	if n := len(best.spells); n > 1 {
		try("a spell fewer", func(l *Limits) { l.Spells = n - 1 })
	}
	if best.laps > 1 {
		try("a lap fewer", func(l *Limits) { l.Laps = best.laps - 1 })
	}
	if best.Time() > 0 {
		half := best.Time() / 2
		try("half the time", func(l *Limits) { l.Time = half })
	}
	add("half the turns", best.part(0.5))
	return list
}

// part returns the plan with a part of each spell's turns, rounded down but at
// least one.
func (p *Plan) part(share float64) *Plan {
	spells := p.Spells()
	for i := range spells {
		spells[i].Turns = max(1, int(share*float64(spells[i].Turns)))
	}
	return build(p.before, p.rate, spells, p.profiles)
}

// same reports whether two plans are the same spells.
func (p *Plan) same(other *Plan) bool {
	if len(p.spells) != len(other.spells) {
		return false
	}
	for i, s := range p.spells {
		if s != other.spells[i] {
			return false
		}
	}
	return true
}

// RadiusChange returns by how much the plan changes the mirror's radius of
// curvature: by the focus in what it takes off, at the rates of the laps. Taking
// more off at the edge than in the middle makes the radius longer.
func (p *Plan) RadiusChange() unit.Length {
	removed := make([]float64, figure.GridSize)
	for _, d := range p.depths {
		floats.Add(removed, d)
	}
	return radiusChange(p.before.Mirror(), removed)
}

// radiusChange returns by how much taking depths off the grid changes the radius.
func radiusChange(m *mirror.Mirror, removed []float64) unit.Length {
	flat := figure.New(m, removed, nil).Refocused().Heights()
	// What was taken out is a + c·r²; a radius longer by dR lowers the surface by
	// r²·dR/(2R²).
	r := figure.Grid(m)
	n := len(r) - 1
	c := ((removed[n] - flat[n]) - (removed[0] - flat[0])) / (r[n]*r[n] - r[0]*r[0])
	return unit.Length(2*c) * m.Radius() * m.Radius()
}
