package plan

import (
	"fmt"
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// Edges returns where the edges of the lap of spell i, counted from 0, fall. It
// stops the recipe where the plan has no spell i.
func (p *Plan) Edges(i int) wear.Edges {
	p.checkIndex("Plan.Edges", i)
	return p.profiles[i].Edges()
}

// Contact returns how the lap of spell i, counted from 0, presses. It stops the
// recipe where the plan has no spell i.
func (p *Plan) Contact(i int) wear.Contact {
	p.checkIndex("Plan.Contact", i)
	return p.profiles[i].Contact()
}

// usualPressure is what laps worked by hand stay below: 0.3 to 5 kPa is typical.
// Common practice, from memory.
const usualPressure = 5 * unit.KPa

// Marks reports whether the lap of spell i, counted from 0, presses so hard that
// it may mark the glass: somewhere above its own limit or, where that is not known,
// on average above what laps worked by hand stay below, 5 kPa. It stops the recipe
// where the plan has no spell i.
func (p *Plan) Marks(i int) bool {
	p.checkIndex("Plan.Marks", i)
	if limit := p.spells[i].Lap.Limit(); limit > 0 {
		return p.Contact(i).Greatest > limit
	}
	return p.Contact(i).Mean > usualPressure
}

// muchOverhang is the share of a lap's width over the rim that is worth a warning:
// beyond about a quarter a round lap on a straight edge no longer presses at its
// inner side. Derived from its balance.
const muchOverhang = 0.2

// fewTurns is how many turns make a spell that starting and stopping hardly
// change. Common practice, no source.
const fewTurns = 5

// SpellWarnings returns what should be known before spell i, counted from 0, is
// worked as it stands: too much pressure, lost contact, much overhang, a lap that
// marks the glass, and wear that will be uneven around the circle. It is empty where all
// is well. It stops the recipe where the plan has no spell i.
func (p *Plan) SpellWarnings(i int) []string {
	p.checkIndex("Plan.SpellWarnings", i)
	s := p.spells[i]
	list := p.profiles[i].Warnings()
	add := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	name := s.Lap.Name()
	if p.Marks(i) && s.Lap.Limit() == 0 {
		add("%s presses with %s; laps worked by hand usually stay below %s: it may mark the glass",
			name, p.Contact(i).Mean.Text(unit.KPa, 2), usualPressure.Text(unit.KPa, 0))
	}
	if _, over := p.Edges(i).Overhang(); float64(over) > muchOverhang*float64(s.Lap.Diameter()) {
		add("%s reaches over the rim by %.0f %% of its width: it presses hard on the edge and may turn it down", name, 100*float64(over/s.Lap.Diameter()))
	}
	radial, _ := s.Stroke.Extent()
	if radial == 0 {
		add("%s works with its edges in one place and will leave marks there: let it wander a few millimetres in and out", name)
	}
	if s.Turns < fewTurns {
		add("%s has only %d turns: starting and stopping will count; use fewer, longer spells or a lighter load", name, s.Turns)
	}
	if u := p.Uneven(i); u > tooUneven {
		text := fmt.Sprintf("%s will wear unevenly around the circle, by %.0f %% of the mean", name, 100*u)
		if q, left := p.evener(i); left < u/2 {
			text += fmt.Sprintf("; with %.1f double strokes a turn it would be %.1f %%", q, 100*left)
		}
		list = append(list, text)
	}
	return list
}

// evener returns a number of strokes a turn near that of spell i which is out of
// step with the table, and how unevenly the spell would then wear.
func (p *Plan) evener(i int) (perTurn, left float64) {
	s, left := p.spells[i].setting(), math.Inf(1)
	if s.Stroke.PerTurn() <= 0 {
		return 0, left
	}
	whole := math.Floor(s.Stroke.PerTurn())
	for _, q := range [2]float64{whole + 0.3, whole + 0.7} {
		s.Stroke = s.Stroke.WithPerTurn(q)
		if u := uneven(wear.New(p.before.Mirror(), s), p.spells[i].Turns); u < left {
			perTurn, left = q, u
		}
	}
	return perTurn, left
}

// tooUneven is the difference around the circle, over the mean, that is worth a
// warning.
const tooUneven = 0.05

// Uneven returns how unevenly spell i, counted from 0, wears around the circle
// where it wears most: see wear.Profile.Uneven. It stops the recipe where the plan
// has no spell i.
func (p *Plan) Uneven(i int) float64 {
	p.checkIndex("Plan.Uneven", i)
	return uneven(p.profiles[i], p.spells[i].Turns)
}

func uneven(p *wear.Profile, turns int) float64 { return p.Uneven(evenAt(p), float64(turns)) }

// evenAt returns where evenness is looked at: where the lap wears most, but a step
// of the grid inside the centre and the rim, where no lap works both sides.
func evenAt(p *wear.Profile) unit.Length {
	grid := figure.Grid(p.Mirror())
	at, _ := p.Peak()
	return min(max(at, unit.Length(grid[1])), unit.Length(grid[len(grid)-2]))
}

// heavy is the load that one person should not lift without thought: the load
// constant of the NIOSH lifting equation, 23 kg (publication 94-110, rev. 9/2021
// [S]; the figure from memory).
const heavy = 23

// Warnings returns what should be known before working the plan, beside what
// SpellWarnings tells of each spell: a gain that is not sure, glass that may end
// low, work that takes long without a test, and a blank that is heavy to lift. It is
// empty where all is well.
func (p *Plan) Warnings() []string {
	var list []string
	m := p.before.Mirror()
	if c := p.Chance(); len(p.spells) > 0 && c < 0.75 {
		list = append(list, fmt.Sprintf("the chance that the figure gets better is only %.0f %%: take more readings, or learn the rate first", 100*c))
	}
	if at, c := p.Low(lowDepth(m)); c > 0.1 {
		list = append(list, fmt.Sprintf("glass near %s may end more than %.0f nm low, with a chance of %.0f %%: stop early and test",
			across(m, at), lowDepth(m).In(unit.NM), 100*c))
	}
	if t := p.Time(); t > longWork {
		list = append(list, fmt.Sprintf("the work takes %.1f h: pitch, slurry and the hand do not stay the same for so long; work a part of it and test, or limit the time",
			t.In(unit.Hour)))
	}
	if mass := m.Mass(); mass >= heavy {
		list = append(list, fmt.Sprintf("the glass weighs about %.0f kg: lift it with two people or a hoist", mass))
	}
	return list
}

// longWork is how long work may take before a test is due. Common practice, no source.
const longWork = 4 * unit.Hour

// lowDepth is how far glass may end low before it is worth a warning: an eighth
// of a wave on the wavefront.
func lowDepth(m *mirror.Mirror) unit.Length { return m.Wavelength() / 16 }

// across prints a length across the glass in the shop's unit.
func across(m *mirror.Mirror, l unit.Length) string {
	if m.Shop() == unit.Inch {
		return l.Text(unit.Inch, 2)
	}
	return l.Text(unit.MM, 0)
}
