// Package plan decides how long each lap works where, and foresees what that
// does: how a ring is shared among several laps, which few spells serve best,
// the figure they leave, and how sure all that is.
//
// Wear adds up: spells of n turns that wear h(r) a turn at rate k leave
// E(r) - Σ n·k·h(r). Both the figure E and the rates k are uncertain, and so is
// the figure left. Piston and focus are free: they are no error of figure.
package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// A Plan is a list of spells on a mirror of known figure. It does not change.
type Plan struct {
	before, after *figure.Figure
	rate          wear.Rate
	spells        []Spell
	profiles      []*wear.Profile // of each spell
	depths        [][]float64     // what each spell takes off at its lap's rate, on the grid, m
	lap           []int           // of each spell: the place of its lap among those used
	laps          int
	doubt         doubt     // of the rates of those laps
	search        *searched // nil for a plan of the user's own
}

// searched is what is known of a plan because it was searched for.
type searched struct {
	candidates int
	gap        float64
}

// New returns a plan of the user's own: the spells in the order given. It stops
// the recipe where a spell has no lap, stroke or turns, lies off the glass, or
// cannot be worked (see wear.New), and where the rate is not one.
func New(f *figure.Figure, rate wear.Rate, spells ...Spell) *Plan {
	const call = "plan.New"
	checkRate(call, rate)
	var profiles []*wear.Profile
	for i, s := range spells {
		s.check(call, fmt.Sprintf("spell %d", i+1), f.Mirror())
		profiles = append(profiles, wear.New(f.Mirror(), s.setting()))
	}
	return build(f, rate, spells, profiles)
}

// build makes a plan of spells that have been checked, and its forecast.
func build(f *figure.Figure, rate wear.Rate, spells []Spell, profiles []*wear.Profile) *Plan {
	p := &Plan{before: f, rate: rate, spells: slices.Clone(spells), profiles: profiles}
	var used []*lap.Lap
	for i, s := range spells {
		p.depths = append(p.depths, depth(profiles[i], rate, s.Turns))
		if !slices.Contains(used, s.Lap) {
			used = append(used, s.Lap)
		}
		p.lap = append(p.lap, slices.Index(used, s.Lap))
	}
	p.laps = len(used)
	p.doubt = newDoubt(rate, used)

	e := f.Heights()
	each, sum := p.byLap(), make([]float64, len(e))
	for _, d := range each {
		floats.Add(sum, d)
	}
	floats.Sub(e, sum)
	var cov *mat.SymDense
	if c := f.Covariance(); c != nil || !p.doubt.exact() {
		cov = mat.NewSymDense(len(e), nil)
		if c != nil {
			cov.CopySym(c)
		}
		for k, d := range each {
			shared := make([]float64, len(e)) // with the rate of lap k
			for j, other := range each {
				floats.AddScaled(shared, p.doubt.spread(k, j), other)
			}
			for i := range e {
				for j := i; j < len(e); j++ {
					cov.SetSym(i, j, cov.At(i, j)+d[i]*shared[j])
				}
			}
		}
	}
	p.after = figure.New(f.Mirror(), e, cov)
	return p
}

// depth returns what so many turns take off at the lap's rate, on the grid, in
// metres.
func depth(p *wear.Profile, rate wear.Rate, turns int) []float64 {
	d := slices.Clone(p.PerTurn())
	floats.Scale(float64(turns)*float64(rate.Of(p.Setting().Lap).K), d)
	return d
}

// byLap returns what each lap takes off at its rate, on the grid, in metres.
func (p *Plan) byLap() [][]float64 {
	each := make([][]float64, p.laps)
	for k := range each {
		each[k] = make([]float64, figure.GridSize)
	}
	for i, d := range p.depths {
		floats.Add(each[p.lap[i]], d)
	}
	return each
}

// Before returns the figure the plan starts from.
func (p *Plan) Before() *figure.Figure { return p.before }

// Forecast returns the figure after all spells: the figure before less what the
// spells take off at the rates of their laps. Its covariance holds that of the
// figure before and the doubt of the rates, as normals with the 68 % ranges of
// their factors.
func (p *Plan) Forecast() *figure.Figure { return p.after }

// Rate returns the rate the plan reckons with.
func (p *Plan) Rate() wear.Rate { return p.rate }

// Spells returns the spells in the order they are to be worked. The slice is a copy.
func (p *Plan) Spells() []Spell { return slices.Clone(p.spells) }

// String lists the spells, a line each.
func (p *Plan) String() string {
	if len(p.spells) == 0 {
		return "no spells"
	}
	var lines []string
	for i, s := range p.spells {
		lines = append(lines, fmt.Sprintf("%d. %v", i+1, s))
	}
	return strings.Join(lines, "\n")
}

// Laps returns the number of different laps.
func (p *Plan) Laps() int { return p.laps }

// Time returns how long all spells take together, without changing laps.
func (p *Plan) Time() unit.Time {
	var t unit.Time
	for _, s := range p.spells {
		t += s.Time()
	}
	return t
}

// Removed returns what spell i, counted from 0, takes off at its lap's rate at each
// radius of the figure's grid, in metres. It stops the recipe where the plan has no
// spell i.
func (p *Plan) Removed(i int) []float64 {
	p.checkIndex("Plan.Removed", i)
	return slices.Clone(p.depths[i])
}

// checkIndex stops the recipe where the plan has no spell i.
func (p *Plan) checkIndex(call string, i int) {
	switch n := len(p.spells); {
	case n == 0:
		host.Stopf(call, "i is %d; the plan has no spells", i)
	case n == 1 && i != 0:
		host.StopArg(call, "i", i, "0, as the plan has one spell")
	case i < 0 || i >= n:
		host.StopArg(call, "i", i, fmt.Sprintf("from 0 to %d, as the plan has %d spells", n-1, n))
	}
}

// An Effect is what one spell does.
type Effect struct {
	Deepest figure.Estimate // the greatest depth it takes off, m; its range is the doubt of the rate
	At      unit.Length     // where that is
	Worth   unit.Length     // by how much the expected rms of the surface would be greater without it; negative where it does harm
	Risk    float64         // its share of the doubt that the rates bring to the figure, 0 where they are exact
}

// Effect returns what spell i, counted from 0, does. It stops the recipe where the
// plan has no spell i.
func (p *Plan) Effect(i int) Effect {
	p.checkIndex("Plan.Effect", i)
	k := floats.MaxIdx(p.depths[i])
	l := p.loss(0)
	whole := all(len(p.spells))
	others := slices.Delete(slices.Clone(whole), i, i+1)
	depths := make([]float64, p.laps)
	depths[p.lap[i]] = p.depths[i][k]
	e := Effect{
		Deepest: p.doubt.estimate(depths),
		At:      unit.Length(figure.Grid(p.before.Mirror())[k]),
		Worth:   rms(l.at(others, once(others))) - rms(l.at(whole, once(whole))),
	}
	if all := l.doubtful(); all > 0 {
		e.Risk = l.doubtful(i) / all
	}
	return e
}

// RMS returns the root of the expected mean square of the surface's height before
// and after all spells, piston and focus out: the error and the doubt about it
// together.
func (p *Plan) RMS() (before, after unit.Length) {
	l, whole := p.loss(0), all(len(p.spells))
	return rms(l.at(nil, nil)), rms(l.at(whole, once(whole)))
}

// rms turns a mean square in nm² into a length.
func rms(square float64) unit.Length { return unit.Length(math.Sqrt(square)) * unit.NM }

// loss returns the loss with each spell a column, worked once.
func (p *Plan) loss(low float64) *loss { return newLoss(p.before, p.depths, p.lap, p.doubt, low) }

// all returns 0 to n-1.
func all(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// once returns a 1 for each column.
func once(cols []int) []float64 {
	x := make([]float64, len(cols))
	for i := range x {
		x[i] = 1
	}
	return x
}
