package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// A Shelf is what there is to work with: each lap may be used with each stroke,
// the middle of the stroke at any of the radii tried.
type Shelf struct {
	Laps    []*lap.Lap
	Strokes []*stroke.Stroke
	From    unit.Length // least radius tried; 0, or the edge of the hole, where left out
	To      unit.Length // greatest radius tried; the rim where left out
	Step    unit.Length // between radii tried; a thirtieth of the rim's radius where left out
}

// Limits are what a plan must keep to. What is left out has the value named. Nor
// is a spell longer than would by itself change the figure by four times the
// error there is, rms.
type Limits struct {
	Spells     int           // at most; 3
	Laps       int           // different laps at most; any number
	LeastTurns int           // of a spell; 1
	MostTurns  int           // of a spell; any number
	Time       unit.Time     // of all spells, at most; any
	Pressure   unit.Pressure // contact pressure at most, anywhere under the lap; the limit of each lap where it has one
	Overhang   float64       // share of a lap's diameter that may reach over the rim in the stroke; 0.2
	Uneven     float64       // how uneven the wear of a spell may be around the circle (see Plan.Uneven); any
	Low        float64       // how many times as much glass left low counts as glass left high; 3
	Radius     unit.Length   // by which the radius of curvature may change, either way (see Plan.RadiusChange); any
}

// The largest search that is taken on.
const (
	mostCandidates = 3000
	mostSpells     = 8
	mostNodes      = 1_500
)

// filled returns the limits with what was left out, or stops the recipe.
func (lim Limits) filled(call string) Limits {
	whole := func(arg string, v *int, otherwise, least, most int) {
		if *v == 0 {
			*v = otherwise
		}
		if *v < least || *v > most {
			host.StopArg(call, arg, *v, fmt.Sprintf("from %d to %d", least, most))
		}
	}
	whole("Spells", &lim.Spells, 3, 1, mostSpells)
	whole("Laps", &lim.Laps, lim.Spells, 1, mostSpells)
	whole("MostTurns", &lim.MostTurns, mostTurns, 1, mostTurns)
	whole("LeastTurns", &lim.LeastTurns, 1, 1, lim.MostTurns)
	if lim.Time == 0 {
		lim.Time = unit.Time(math.Inf(1))
	}
	if lim.Overhang == 0 {
		lim.Overhang = 0.2
	}
	if lim.Low == 0 {
		lim.Low = 3
	}
	switch {
	case !(lim.Time > 0):
		host.StopArg(call, "Time", lim.Time, "above 0, or left out where it is free")
	case !(lim.Pressure >= 0):
		host.StopArg(call, "Pressure", lim.Pressure, "above 0, or left out for the limit of each lap")
	case !(lim.Overhang > 0 && lim.Overhang < 0.5):
		host.StopArg(call, "Overhang", lim.Overhang, "above 0 and below 0.5")
	case !(lim.Uneven >= 0):
		host.StopArg(call, "Uneven", lim.Uneven, "above 0, like 0.02, or left out where it is free")
	case !(lim.Radius >= 0):
		host.StopArg(call, "Radius", lim.Radius, "above 0, like 2 mm, or left out where it is free")
	case !(lim.Low >= 1 && lim.Low <= 100):
		host.StopArg(call, "Low", lim.Low, "from 1 to 100")
	}
	return lim
}

// Best returns the plan, within the limits, that is expected to leave the best
// figure: the least mean square of the surface's height by area, piston and
// focus free, over all that the figure and the rates may be, with glass that
// ends low counted Low times. A low zone is the dearer mistake: only by lowering
// all the rest can it be met. Where the rate is not well known the plan works
// part of the way, so that the next test can tell.
//
// The spells are in whole turns. Their order is from the largest lap to the
// smallest, as is common practice: a large lap smooths what lies beside its path
// and would blur what a small one has put right.
//
// Gap tells how far the plan may be from the best there is. Of plans that are as
// good as each other to nine digits the one with fewer spells is returned, then
// the one with the laps, radii and strokes that come first.
//
// It stops the recipe where the shelf is empty or too large, where a limit makes
// no sense, and where nothing on the shelf can be used within the limits.
func Best(f *figure.Figure, rate wear.Rate, shelf Shelf, limits Limits) *Plan {
	const call = "plan.Best"
	checkRate(call, rate)
	limits = limits.filled(call)
	return newChoices(call, f.Mirror(), shelf, limits).best(f, rate, limits)
}

// choices are all single spells a plan may use, a turn of each.
type choices struct {
	laps     []*lap.Lap
	profiles []*wear.Profile
	lap      []int // of each: the place of its lap among the laps
}

// newChoices goes through the shelf. Neighbours differ little, which is what the
// search thrives on: the laps one after the other, each from the middle out.
func newChoices(call string, m *mirror.Mirror, shelf Shelf, limits Limits) *choices {
	radii := shelf.radii(call, m)
	if n := len(radii) * len(shelf.Laps) * len(shelf.Strokes); n > mostCandidates {
		host.Stopf(call, "%d laps, %d strokes and %d radii make %d choices, above the most that are tried, %d; give a greater Step",
			len(shelf.Laps), len(shelf.Strokes), len(radii), n, mostCandidates)
	}
	var settings []wear.Setting
	for _, l := range shelf.Laps {
		for _, at := range radii {
			for _, s := range shelf.Strokes {
				set := wear.Setting{Lap: l, Stroke: s, At: at}
				if workable(m, set, limits) {
					settings = append(settings, set)
				}
			}
		}
	}
	c := &choices{laps: shelf.Laps}
	for _, p := range wear.All(m, settings) {
		if bearable(p, limits) {
			c.profiles = append(c.profiles, p)
			c.lap = append(c.lap, slices.Index(shelf.Laps, p.Setting().Lap))
		}
	}
	if len(c.profiles) == 0 {
		host.Stopf(call, "no lap on the shelf can be used at any of the %d radii tried within the limits of pressure and overhang", len(radii))
	}
	return c
}

// radii returns the radii tried.
func (s Shelf) radii(call string, m *mirror.Mirror) []unit.Length {
	if len(s.Laps) == 0 || len(s.Strokes) == 0 {
		host.Stopf(call, "the shelf has %d laps and %d strokes; it needs at least one of each", len(s.Laps), len(s.Strokes))
	}
	if slices.Contains(s.Laps, nil) || slices.Contains(s.Strokes, nil) {
		host.Stopf(call, "a lap or a stroke on the shelf is nil")
	}
	if s.From == 0 {
		s.From = m.Hole()
	}
	if s.To == 0 {
		s.To = m.Rim()
	}
	if s.Step == 0 {
		s.Step = m.Rim() / 30
	}
	switch {
	case !(s.From >= 0 && s.From <= m.Rim()):
		host.StopArg(call, "From", s.From, fmt.Sprintf("from 0 to the rim, %v", m.Rim()))
	case !(s.To >= s.From && s.To <= m.Rim()):
		host.StopArg(call, "To", s.To, fmt.Sprintf("from %v to the rim, %v", s.From, m.Rim()))
	case !(s.Step >= m.Rim()/1000):
		host.StopArg(call, "Step", s.Step, fmt.Sprintf("at least a thousandth of the rim's radius, %v", m.Rim()/1000))
	}
	var radii []unit.Length
	for i := range int(float64((s.To-s.From)/s.Step)+1e-9) + 1 {
		radii = append(radii, s.From+unit.Length(i)*s.Step)
	}
	return radii
}

// best searches for the best plan.
func (c *choices) best(f *figure.Figure, rate wear.Rate, limits Limits) *Plan {
	var turns [][]float64
	lim := searchLimits{
		spells: limits.Spells, laps: limits.Laps, most: limits.MostTurns, time: float64(limits.Time), nodes: mostNodes,
	}
	for _, p := range c.profiles {
		turns = append(turns, depth(p, rate, 1))
		lim.period = append(lim.period, float64(p.Setting().Stroke.Table().Period()))
		lim.least = append(lim.least, limits.LeastTurns)
	}
	free := newLoss(f, turns, c.lap, newDoubt(rate, c.laps), limits.Low-1)
	run := func(l *loss, lim searchLimits) (found answer, bound, tie float64) {
		for {
			s := &search{loss: l, limits: lim}
			found, bound = s.run()
			if limits.Uneven == 0 || !c.even(found, limits.Uneven, lim.least) {
				return found, bound, s.tie
			}
		}
	}
	found, bound, tie := run(free, lim)
	if limits.Radius > 0 {
		found, bound = held(f.Mirror(), free, turns, found, bound, float64(limits.Radius), func(l *loss) (answer, float64) {
			quick := lim
			quick.nodes = mostNodes / 10
			found, bound, _ := run(l, quick)
			return found, bound
		})
	}

	place := all(len(found.cols))
	slices.SortStableFunc(place, func(i, j int) int {
		a, b := c.profiles[found.cols[i]].Setting().Lap, c.profiles[found.cols[j]].Setting().Lap
		return cmp.Or(-cmp.Compare(a.Diameter(), b.Diameter()), cmp.Compare(found.cols[i], found.cols[j]))
	})
	var spells []Spell
	var profiles []*wear.Profile
	for _, i := range place {
		profile := c.profiles[found.cols[i]]
		set := profile.Setting()
		spells = append(spells, Spell{set.Lap, set.Stroke, set.At, found.turns[i]})
		profiles = append(profiles, profile)
	}
	p := build(f, rate, spells, profiles)
	p.search = &searched{candidates: len(c.profiles)}
	if found.loss-bound > tie {
		p.search.gap = math.Sqrt(found.loss/math.Max(bound, 0)) - 1 // no loss is below 0
	}
	return p
}

// mostPrices is how many prices on a change of radius are tried.
const mostPrices = 20

// held returns a plan that changes the radius of curvature by no more than most:
// found, if it does not, or the best of those that run finds with a price on the square
// of the change, at prices ever nearer the one that will just do. With none that will do
// it is to leave the glass alone. It returns with it a loss that no plan which keeps to
// most can go below: such a plan pays at most price·most², so a bound that counts the
// price holds for it with that taken off (Lagrange).
func held(m *mirror.Mirror, free *loss, turns [][]float64, found answer, bound, most float64, run func(*loss) (answer, float64)) (answer, float64) {
	var change []float64 // with a turn of each column
	for _, d := range turns {
		change = append(change, float64(radiusChange(m, d)))
	}
	// keeps reports whether a plan keeps to most, and sets its loss to that without a price.
	keeps := func(a *answer) bool {
		sum := 0.0
		var x []float64
		for i, k := range a.cols {
			x = append(x, float64(a.turns[i]))
			sum += x[i] * change[k]
		}
		a.loss = free.at(a.cols, x)
		return math.Abs(sum) <= most
	}
	if keeps(&found) {
		return found, bound
	}
	best := answer{loss: free.at(nil, nil)}
	price := 0.1 * best.loss / (most * most)
	low, high := 0.0, math.Inf(1) // prices that will not do and that will
	for try := 0; try < mostPrices && low < 0.9*high; try++ {
		dear := *free
		dear.q = slices.Clone(free.q)
		for i, a := range change {
			for j, b := range change {
				dear.q[i*free.n+j] += price * a * b
			}
		}
		found, with := run(&dear)
		bound = math.Max(bound, with-price*most*most)
		if keeps(&found) {
			high = price
			if found.loss < best.loss {
				best = found
			}
		} else {
			low = price
		}
		switch {
		case math.IsInf(high, 1):
			price *= 4
		case low == 0:
			price /= 4
		default:
			price = math.Sqrt(low * high)
		}
	}
	return best, bound
}

// even raises the least turns of the columns of a plan that wear too unevenly, to
// the fewest that are even enough, or beyond all where there are none or that was
// done before. It reports whether there were any. Most columns are never used, so
// it pays to look at those that are.
func (c *choices) even(found answer, wish float64, least []int) (changed bool) {
	for i, k := range found.cols {
		p := c.profiles[k]
		if uneven(p, found.turns[i]) <= wish {
			continue
		}
		few := mostTurns + 1
		if uneven(p, mostEven) <= wish { // strokes in step with the table stay uneven
			few, _ = p.FewestTurns(evenAt(p), wish, mostEven)
		}
		if few <= least[k] {
			few = mostTurns + 1
		}
		least[k], changed = few, true
	}
	return changed
}

// mostEven is how many turns are tried to make a spell even.
const mostEven = 2000

// Gap returns by how much the expected rms may be above that of the best plan
// there is, as a share of the latter: 0 where the plan is proven best. With a limit on
// the change of radius that binds the bound is a little loose.
// It is infinite where nothing is proven, as with many spells at an exact rate, and
// NaN for a plan of the user's own. Low glass counts in it as it does in the search.
func (p *Plan) Gap() float64 {
	if p.search == nil {
		return math.NaN()
	}
	return p.search.gap
}

// Candidates returns how many settings the plan was chosen from, 0 for a plan of
// the user's own.
func (p *Plan) Candidates() int {
	if p.search == nil {
		return 0
	}
	return p.search.candidates
}
