package plan

import (
	"math"
	"testing"

	"lapwright/stdlib/figure"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

func TestChoicesHaveTheirPrice(t *testing.T) {
	f := tested()
	list := Choices(f, wear.Rate{K: 4e-13, Factor: 1.3}, shelf(), Limits{})
	if len(list) < 4 {
		t.Fatalf("%d choices", len(list))
	}
	best := list[0].Plan
	loss := func(p *Plan) float64 { // as the search has it, low glass at three times
		whole := all(len(p.spells))
		return p.loss(2).at(whole, once(whole))
	}
	for _, c := range list[1:] {
		switch {
		case c.Name == "a spell more":
			if loss(c.Plan) > loss(best)*(1+1e-9) {
				t.Errorf("with a spell more the loss is %v, above %v", loss(c.Plan), loss(best))
			}
		case loss(c.Plan) < loss(best)*(1-1e-9):
			t.Errorf("%s: the loss is %v, below that of the best, %v", c.Name, loss(c.Plan), loss(best))
		}
		if c.Name == "half the time" && c.Plan.Time() > best.Time()/2+Second {
			t.Errorf("half of %v is %v", best.Time(), c.Plan.Time())
		}
		if c.Plan.same(best) {
			t.Errorf("%s is the best plan again", c.Name)
		}
	}
}

func TestRisksOfSpellsAreSharesOfOne(t *testing.T) {
	f := tested()
	p := Best(f, wear.Rate{K: 4e-13, Factor: 1.3}, shelf(), Limits{})
	sum := 0.0
	for i := range p.Spells() {
		sum += p.Effect(i).Risk
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("risks add up to %v", sum)
	}
	if r := New(f, wear.Rate{K: 4e-13, Factor: 1}, p.Spells()...).Effect(0).Risk; r != 0 {
		t.Errorf("with an exact rate the risk is %v", r)
	}
}

func TestRadiusChangesByTheFocusTakenOff(t *testing.T) {
	// A lap over the centre of the mirror deepens the curve. A depth of c·r² makes
	// the radius longer by 2R²c. Derived.
	m := shop()
	p := New(figure.New(m, make([]float64, figure.GridSize), nil), wear.Rate{K: 4e-13, Factor: 1}, Spell{round(200, 30), chord(25), 0, 100})
	if d := p.RadiusChange(); d >= 0 {
		t.Errorf("work at the centre changes the radius by %v", d)
	}
	const c = 1e-6 // 1/m
	for k, r := range figure.Grid(m) {
		p.depths[0][k] = 3e-9 + c*r*r
	}
	if got, want := p.RadiusChange(), 2*c*m.Radius()*m.Radius(); math.Abs(float64(got-Length(want))) > 1e-9 {
		t.Errorf("radius changes by %v, want %v", got, want)
	}
}
