package show

import (
	"fmt"

	"lapwright/stdlib/plan"
	"lapwright/stdlib/unit"
)

// Choices shows plans side by side, with what each costs and brings. A plan of
// the recipe's own may stand among them.
func Choices(list []plan.Choice) {
	t := newTable("Plans side by side", "plan", "spells", "laps", "time (min)", "rms after (nm)", "chance of a gain (%)", "gap (%)", "worst chance of low glass (%)", "there")
	for _, c := range list {
		p := c.Plan
		m := p.Before().Mirror()
		_, after := p.RMS()
		at, low := p.Low(m.Wavelength() / 16)
		t.row(words(c.Name), number(float64(len(p.Spells())), 0), number(float64(p.Laps()), 0), number(p.Time().In(unit.Minute), 0),
			number(after.In(unit.NM), 1), number(100*p.Chance(), 0), number(100*p.Gap(), 1), number(100*low, 0), words(shopOf(m).text(at)))
	}
	t.note("Rms after: the root of the expected mean square of the surface's height, its doubt included.")
	t.note("Gap: by how much that may be above the best there is within the limits; 0 is proven best, and there is none for a plan of our own or where nothing is proven.")
	if len(list) > 0 {
		before, _ := list[0].Plan.RMS()
		m := list[0].Plan.Before().Mirror()
		t.note("Before the work the rms is %.1f nm. Low glass: more than %.0f nm below the mean level, an eighth of a wave on the wavefront.",
			before.In(unit.NM), (m.Wavelength() / 16).In(unit.NM))
	}
	t.show()
}

// lowText says where glass may end low after a plan.
func lowText(p *plan.Plan) string {
	m := p.Before().Mirror()
	depth := m.Wavelength() / 16
	at, chance := p.Low(depth)
	change := "about " + p.RadiusChange().Text(unit.MM, 2)
	if least := 0.01 * unit.MM; p.RadiusChange() < least/2 && p.RadiusChange() > -least/2 {
		change = "less than " + least.Text(unit.MM, 2)
	}
	return fmt.Sprintf("The place most likely to end more than %.0f nm low is near %s, with a chance of %s. The radius of curvature changes by %s.",
		depth.In(unit.NM), shopOf(m).text(at), percent(chance), change)
}
