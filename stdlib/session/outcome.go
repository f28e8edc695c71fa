package session

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"lapwright/stdlib/elementary"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// An Outcome is what the test after some work says, held against what was
// foreseen of it.
type Outcome struct {
	Zones  []ZoneOutcome
	Chance float64 // that readings are off by as much or more where all is as taken
	Causes []Cause // the likeliest first
}

// A ZoneOutcome is one zone's reading, held against what was foreseen of it.
type ZoneOutcome struct {
	Zone     int         // from 1 at the centre
	Read     unit.Length // mean of the sets, from that of zone 1
	Foreseen unit.Length // on the same scale, shifted to where all zones fit best
	Off      unit.Length // read less foreseen
	Doubt    unit.Length // standard deviation of Off: that of the figure before, the rates, the shapes and the scatter
}

// A Cause is what may be behind readings that are not as foreseen.
type Cause struct {
	What   string  // in words, with its size: "the 60 mm lap wore 1.8 times what was taken"
	Chance float64 // among those held against each other
}

// missed is the chance below which readings count as not foreseen.
const missed = 0.05

// Missed reports whether the readings are further off than chance explains: by as
// much as they are in less than one work of 20 where all is as taken.
func (o Outcome) Missed() bool { return o.Chance < missed }

// Compare holds the readings after some work against what the figure before it,
// the spells as worked and the rates, as known before, foretold.
//
// The chance is that of χ² with one degree less than there are zones, at the
// likeliest rates: their doubt counts, so that only what no likely rate explains is
// a miss.
//
// Causes are held against each other by the chance of the readings where each is
// so, to second order about the likeliest size of the cause (Laplace). Beforehand
// each kind is taken as equally likely, and shared evenly among the laps, spells or
// zones it may concern:
//
//   - nothing but what was taken;
//   - all laps wear otherwise, by a factor of 3 either way in 68 %;
//   - so does one lap: its rate, its turns, or its load;
//   - one spell was worked elsewhere, by a fifth of the lap's radius;
//   - two spells were worked each with the other's lap;
//   - the readings of one zone are off, by ten times their scatter;
//   - the edge went down or up by a tenth of a wave beside all that, within a tenth of the radius;
//   - the whole figure bent by as much, with the fourth power of the radius, as glass
//     that was warm or pressed does.
//
// The list and its sizes are common practice, no source. What is not in the list is
// not found. Compare stops the recipe as Learn does, but for a rate that is exact.
func Compare(rate wear.Rate, w Work) Outcome {
	const call = "session.Compare"
	checkRate(call, rate)
	w.check(call, "the work")
	var laps []*lap.Lap
	for _, sp := range w.Spells {
		if !slices.Contains(laps, sp.Lap) {
			laps = append(laps, sp.Lap)
		}
	}
	s := see(w, laps)
	ln, cov := rate.Joint(laps...)
	_, _, plain := s.learn(ln, cov, false)

	o := Outcome{Chance: 1}
	if n := len(s.off); n > 1 {
		shifted := plain.square - s.shift(plain)
		o.Chance = distuv.ChiSquared{K: float64(n - 1)}.Survival(math.Max(0, shifted))
	}
	o.Zones = s.zones(w, ln, cov)
	o.Causes = s.causes(w, laps, ln, cov, plain)
	return o
}

// shift returns the part of a fit's square that a common shift of the readings is.
func (s *seen) shift(f fit) float64 {
	ones, solved := s.ones(), mat.NewVecDense(len(s.off), nil)
	must(f.chol.SolveVecTo(solved, ones))
	sum := mat.Dot(ones, f.solved)
	return sum * sum / mat.Dot(ones, solved)
}

func (s *seen) ones() *mat.VecDense {
	v := mat.NewVecDense(len(s.off), nil)
	for i := range s.off {
		v.SetVec(i, 1)
	}
	return v
}

// zones holds each zone's reading against what was foreseen at the rates as known.
func (s *seen) zones(w Work, ln []float64, cov0 *mat.SymDense) []ZoneOutcome {
	left, change, cov := s.left(ln)
	addCongruent(cov, change, cov0)
	chol := factored(cov)
	ones := s.ones()
	var solved mat.VecDense
	must(chol.SolveVecTo(&solved, ones))
	sum := mat.Dot(ones, &solved)
	shift := mat.Dot(&solved, left) / sum
	means := w.After.Means()
	list := make([]ZoneOutcome, len(means))
	for i, m := range means {
		off := unit.Length(left.AtVec(i) - shift)
		list[i] = ZoneOutcome{
			Zone:     m.Zone,
			Read:     m.Reading,
			Foreseen: m.Reading - off,
			Off:      off,
			Doubt:    unit.Length(math.Sqrt(math.Max(0, cov.At(i, i)-1/sum))),
		}
	}
	return list
}

// causes holds the causes against each other.
func (s *seen) causes(w Work, laps []*lap.Lap, ln []float64, cov *mat.SymDense, plain fit) []Cause {
	const factor = 3
	type guess struct {
		what     string
		evidence float64
	}
	guesses := []guess{{"chance alone: rates, work and readings may be as they were taken", plain.evidence()}}
	add := func(share int, evidence float64, format string, args ...any) {
		guesses = append(guesses, guess{fmt.Sprintf(format, args...), evidence - math.Log(float64(share))})
	}
	rates := func(share int, which string, at func(i int) bool) {
		wide := mat.NewSymDense(len(ln), nil)
		for i := range ln {
			for j := i; j < len(ln); j++ {
				v := cov.At(i, j)
				if at(i) && at(j) {
					v += math.Log(factor) * math.Log(factor)
				}
				wide.SetSym(i, j, v)
			}
		}
		now, _, f := s.learn(ln, wide, false)
		sum, n := 0.0, 0
		for i := 1; i < len(ln); i++ {
			if at(i) {
				sum, n = sum+now[i]-ln[i], n+1
			}
		}
		add(share, f.evidence(), "%s %.2g times what was taken", which, elementary.Exp(sum/float64(n)))
	}
	// beside adds readings that something beside the work brings, for a size of 1,
	// and tells the size.
	beside := func(share int, sigma float64, change []float64, tell func(size float64) string) {
		more := *s
		more.cov = mat.NewSymDense(len(change), nil)
		more.cov.SymRankOne(s.cov, sigma*sigma, mat.NewVecDense(len(change), change))
		_, _, f := more.learn(ln, cov, false)
		size := sigma * sigma * mat.Dot(mat.NewVecDense(len(change), change), f.solved)
		add(share, f.evidence(), "%s", tell(size))
	}

	rates(1, "all laps wore", func(int) bool { return true })
	if len(laps) > 1 {
		for i, l := range laps {
			rates(len(laps), fmt.Sprintf("the %v, by its rate, turns or load, wore", l), func(at int) bool { return at == i+1 })
		}
	}
	m := w.Before.Mirror()
	for i, sp := range w.Spells {
		far := sp.Lap.Radius() / 5
		change, ok := s.moved(m, sp, far, elementary.Exp(ln[1+s.lap[i]]))
		if !ok {
			continue
		}
		beside(len(w.Spells), float64(far), change, func(size float64) string {
			return fmt.Sprintf("spell %d, the %v, worked %s %s of where it was written", i+1, sp.Lap,
				across(m, unit.Length(math.Abs(size))), side(size, "outward", "inward"))
		})
	}
	var exchanged []Work
	for j := range w.Spells {
		for i := range j {
			other := w
			other.Spells = slices.Clone(w.Spells)
			a, b := &other.Spells[i], &other.Spells[j]
			a.Lap, b.Lap = b.Lap, a.Lap
			if a.Lap != b.Lap && a.setting().Fault(m) == "" && b.setting().Fault(m) == "" {
				exchanged = append(exchanged, other)
			}
		}
	}
	for _, other := range exchanged {
		_, _, f := see(other, laps).learn(ln, cov, false)
		var told []string
		for i, sp := range other.Spells {
			if sp.Lap != w.Spells[i].Lap {
				told = append(told, fmt.Sprintf("spell %d was worked with the %v", i+1, sp.Lap))
			}
		}
		add(len(exchanged), f.evidence(), "%s", strings.Join(told, " and "))
	}
	for z := range s.off {
		change := make([]float64, len(s.off))
		change[z] = 1
		beside(len(s.off), 10*s.scatter[z], change, func(size float64) string {
			return fmt.Sprintf("the readings of zone %d are off by %s", z+1, knife(m, unit.Length(size)))
		})
	}
	tenth := float64(m.Wavelength()) / 10
	grid := figure.Grid(m)
	a := grid[len(grid)-1]
	beside(1, tenth, s.readings(m, func(r float64) float64 { return elementary.Exp(-(1 - r/a) / 0.1) }), func(size float64) string {
		return fmt.Sprintf("the edge went %s by %.0f nm more than that: overhang, pressure, or pitch that rounded there", side(size, "up", "down"), 1e9*math.Abs(size))
	})
	beside(1, tenth, s.readings(m, func(r float64) float64 { return math.Pow(r/a, 4) }), func(size float64) string {
		return fmt.Sprintf("the glass was not at rest, as if bent %s at the edge by %.0f nm: warm from work, or pressed by its support", side(size, "up", "down"), 1e9*math.Abs(size))
	})

	best := slices.MaxFunc(guesses, func(a, b guess) int { return cmp.Compare(a.evidence, b.evidence) }).evidence
	sum := 0.0
	for _, g := range guesses {
		sum += elementary.Exp(g.evidence - best)
	}
	var list []Cause
	for _, g := range guesses {
		list = append(list, Cause{g.what, elementary.Exp(g.evidence-best) / sum})
	}
	slices.SortStableFunc(list, func(a, b Cause) int { return -cmp.Compare(a.Chance, b.Chance) })
	return list
}

// readings returns how readings change with a height on the grid of m.
func (s *seen) readings(m *mirror.Mirror, height func(r float64) float64) []float64 {
	var e []float64
	for _, r := range figure.Grid(m) {
		e = append(e, height(r))
	}
	var v mat.VecDense
	v.MulVec(s.change, mat.NewVecDense(len(e), e))
	return v.RawVector().Data
}

// moved returns how readings change for each metre a spell is worked further out,
// and whether it can be worked as far out and in as that.
func (s *seen) moved(m *mirror.Mirror, sp Spell, far unit.Length, k float64) (change []float64, ok bool) {
	in, out := sp, sp
	in.At, out.At = max(0, sp.At-far), sp.At+far
	if in.setting().Fault(m) != "" || out.setting().Fault(m) != "" {
		return nil, false
	}
	a, b := in.depth(m), out.depth(m)
	for i := range a {
		a[i] = k * (a[i] - b[i]) / float64(out.At-in.At)
	}
	var v mat.VecDense
	v.MulVec(s.change, mat.NewVecDense(len(a), a))
	return v.RawVector().Data, true
}

func side(v float64, above, below string) string {
	if v < 0 {
		return below
	}
	return above
}

// across prints a length across the glass in the shop's unit.
func across(m *mirror.Mirror, l unit.Length) string {
	if m.Shop() == unit.Inch {
		return l.Text(unit.Inch, 2)
	}
	return l.Text(unit.MM, 1)
}

// knife prints a reading of the knife.
func knife(m *mirror.Mirror, l unit.Length) string {
	if m.Shop() == unit.Inch {
		return l.Text(unit.Inch, 4)
	}
	return l.Text(unit.MM, 3)
}
