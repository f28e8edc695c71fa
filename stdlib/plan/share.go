package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// A Sharing is one ring to be lowered by several laps, each with its middle on
// the ring, in a given time altogether.
type Sharing struct {
	Ring   unit.Length // radius of the middle of the ring
	Width  unit.Length // of the ring; what lies beyond half of it is beside the ring
	Time   unit.Time   // of all laps together
	Laps   []*lap.Lap
	Stroke *stroke.Stroke
	Shares []float64 // of the time, for each lap, in any measure; equal where left out
}

// A Shared is what sharing a ring does, and what each lap alone would do in the
// same time.
type Shared struct {
	sharing Sharing
	plans   []*Plan // of each lap alone, and of all together
}

// Share works out the trade's own way with a high ring: several laps centred on
// it share the time, so that their edges fall in different places. The time is
// rounded to whole turns of the table and divided so that the turns add up.
//
// It stops the recipe where there are fewer than two laps or the same lap twice,
// where the ring does not lie on the clear aperture, where shares are not above
// 0 or not one for each lap, where the time is too short for a turn each, and
// where a lap cannot be worked at the ring.
func Share(f *figure.Figure, rate wear.Rate, s Sharing) *Shared {
	const call = "plan.Share"
	m := f.Mirror()
	checkRate(call, rate)
	s.Laps, s.Shares = slices.Clone(s.Laps), slices.Clone(s.Shares)
	switch {
	case len(s.Laps) < 2 || slices.Contains(s.Laps, nil):
		host.Stopf(call, "there are %d laps; sharing needs at least two", len(s.Laps))
	case s.Stroke == nil:
		host.Stopf(call, "Stroke is left out; give one for all the laps")
	case !(s.Width > 0 && s.Width < m.Clear()):
		host.StopArg(call, "Width", s.Width, fmt.Sprintf("above 0 and below the clear radius, %v", m.Clear()))
	case !(s.Ring >= m.Hole() && s.Ring <= m.Clear()):
		host.StopArg(call, "Ring", s.Ring, fmt.Sprintf("on the clear aperture, from %v to %v", m.Hole(), m.Clear()))
	case s.Shares != nil && len(s.Shares) != len(s.Laps):
		host.Stopf(call, "there are %d Shares for %d laps; give one for each, or none for equal shares", len(s.Shares), len(s.Laps))
	}
	for i, l := range s.Laps {
		if slices.Contains(s.Laps[:i], l) {
			host.Stopf(call, "%s is there twice; each lap has one share", l.Name())
		}
	}
	if s.Shares == nil {
		s.Shares = once(all(len(s.Laps)))
	}
	for i, v := range s.Shares {
		if !(v > 0 && v < 1e6) {
			host.StopArg(call, fmt.Sprintf("share %d", i+1), v, "above 0")
		}
	}
	period := s.Stroke.Table().Period()
	total := math.Round(float64(s.Time / period))
	if !(total >= float64(len(s.Laps)) && total <= mostTurns) {
		host.StopArg(call, "Time", s.Time, fmt.Sprintf("from %v, a turn for each lap, to %v", unit.Time(len(s.Laps))*period, mostTurns*period))
	}

	sh := &Shared{sharing: s}
	var spells []Spell
	var profiles []*wear.Profile
	for i, turns := range divide(int(total), s.Shares) {
		spell := Spell{s.Laps[i], s.Stroke, s.Ring, int(total)}
		spell.check(call, s.Laps[i].Name(), m)
		profile := wear.New(m, spell.setting())
		sh.plans = append(sh.plans, build(f, rate, []Spell{spell}, []*wear.Profile{profile}))
		spell.Turns = turns
		spells, profiles = append(spells, spell), append(profiles, profile)
	}
	sh.plans = append(sh.plans, build(f, rate, spells, profiles))
	return sh
}

// divide shares n turns out in whole turns, at least one each: each share rounded
// down, and what is left to the largest remainders (Hamilton's method), the
// first of equal ones.
func divide(n int, shares []float64) []int {
	sum := 0.0
	for _, v := range shares {
		sum += v
	}
	turns, rest := make([]int, len(shares)), make([]float64, len(shares))
	left := n - len(shares)
	for i, v := range shares {
		exact := v / sum * float64(n)
		turns[i] = max(1, int(exact))
		rest[i] = exact - float64(turns[i])
		left -= turns[i] - 1
	}
	order := all(len(shares))
	slices.SortStableFunc(order, func(i, j int) int { return -cmp.Compare(rest[i], rest[j]) })
	for k := 0; left > 0; k = (k + 1) % len(order) {
		turns[order[k]]++
		left--
	}
	for left < 0 { // shares too small for a turn have taken one from the largest
		turns[slices.Index(turns, slices.Max(turns))]--
		left++
	}
	return turns
}

// Whole returns the plan of all laps sharing the time, in the order given.
func (s *Shared) Whole() *Plan { return s.plans[len(s.plans)-1] }

// Alone returns the plan of lap i, counted from 0, working all the time alone. It
// stops the recipe where lap i is not among those that share.
func (s *Shared) Alone(i int) *Plan {
	if n := len(s.sharing.Laps); i < 0 || i >= n {
		host.StopArg("Shared.Alone", "i", i, fmt.Sprintf("from 0 to %d, as %d laps share", n-1, n))
	}
	return s.plans[i]
}

// Laps returns the laps that share. The slice is a copy.
func (s *Shared) Laps() []*lap.Lap { return slices.Clone(s.sharing.Laps) }

// String lists the spells of all laps sharing the time, a line each.
func (s *Shared) String() string { return s.Whole().String() }

// Ring returns the radius of the ring.
func (s *Shared) Ring() unit.Length { return s.sharing.Ring }

// Width returns the width of the ring.
func (s *Shared) Width() unit.Length { return s.sharing.Width }

// A RingEffect is what a plan does to a ring and beside it. Depths are at
// the rates of the laps, with ranges from the doubt of the rates.
type RingEffect struct {
	Depth   figure.Estimate // taken off at the middle of the ring, m
	Inside  figure.Estimate // taken off, on average, of a strip as wide as the ring on its inner side, m; NaN where there is no glass
	Outside figure.Estimate // the same on its outer side
	Step    figure.Estimate // the steepest step of slope left beside the ring, m/m
	StepAt  unit.Length     // where that is
	RMS     figure.Estimate // of the surface's height after refocusing, m
}

// stepSpan is the distance over which a step of slope is taken, in steps of the
// grid: a fiftieth of the clear radius or so. A step that is spread over more
// shows no edge in the shadow of the knife.
const stepSpan = 5

// OnRing returns what the plan does to a ring of the given middle radius and
// width. What it costs beside the ring is the depth of the strips on either
// side. The step of slope is what the knife-edge shows as the edge of a groove:
// the greatest change of slope of what is taken off, over about a fiftieth of
// the clear radius, anywhere beside the ring. It stops the recipe where the ring
// does not lie on the clear aperture, and where width is not above 0 and below
// the clear radius.
func (p *Plan) OnRing(ring, width unit.Length) RingEffect {
	m := p.before.Mirror()
	if !(ring >= m.Hole() && ring <= m.Clear()) {
		host.StopArg("Plan.OnRing", "ring", ring, fmt.Sprintf("on the clear aperture, from %v to %v", m.Hole(), m.Clear()))
	}
	if !(width > 0 && width < m.Clear()) {
		host.StopArg("Plan.OnRing", "width", width, fmt.Sprintf("above 0 and below the clear radius, %v", m.Clear()))
	}
	var atRing, inside, outside []float64
	each := p.byLap()
	for _, d := range each {
		g := figure.New(m, d, nil)
		atRing = append(atRing, float64(g.At(ring)))
		inside = append(inside, meanDepth(g, ring-3*width/2, ring-width/2))
		outside = append(outside, meanDepth(g, ring+width/2, ring+3*width/2))
	}
	e := RingEffect{
		Depth:   p.doubt.estimate(atRing),
		Inside:  p.doubt.estimate(inside),
		Outside: p.doubt.estimate(outside),
		RMS:     p.after.Quality().RMSSurface,
	}
	r := figure.Grid(m)
	slopes := make([][]float64, len(each))
	for k, d := range each {
		slopes[k] = figure.New(m, d, nil).Slopes()
	}
	step := 0.0
	for i := range len(r) - stepSpan {
		if math.Abs((r[i]+r[i+stepSpan])/2-float64(ring)) < float64(width)/2 {
			continue
		}
		var parts []float64
		sum := 0.0
		for _, s := range slopes {
			parts = append(parts, s[i+stepSpan]-s[i])
			sum += s[i+stepSpan] - s[i]
		}
		if math.Abs(sum) > step {
			step = math.Abs(sum)
			floats.Scale(math.Copysign(1, sum), parts)
			e.Step = p.doubt.estimate(parts)
			e.StepAt = unit.Length(r[i]+r[i+stepSpan]) / 2
		}
	}
	return e
}

// meanDepth returns the mean of g by area from one radius to another, as far as
// the clear aperture goes; NaN where that is nothing.
func meanDepth(g *figure.Figure, from, to unit.Length) float64 {
	m := g.Mirror()
	from, to = max(from, m.Hole()), min(to, m.Clear())
	if !(from < to) {
		return math.NaN()
	}
	const n = 64
	sum, area := 0.0, 0.0
	for i := range n {
		r := from + (to-from)*unit.Length(2*i+1)/(2*n)
		sum += float64(r) * float64(g.At(r))
		area += float64(r)
	}
	return sum / area
}
