package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats"
	"pgregory.net/rapid"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// round is a lap of so many mm under so many newtons.
func round(mm, newtons float64) *lap.Lap {
	return lap.Round(lap.Spec{Diameter: Length(mm) * MM, Load: Force(newtons) * Newton})
}

// chord is a stroke of so many mm, the lap wandering 3 mm in and out.
func chord(mm float64) *stroke.Stroke {
	return stroke.Tangential(Length(mm)*MM, 7.3, 6*RPM).Wander(3 * MM)
}

// shelf is that of the shop.
func shelf() Shelf {
	return Shelf{
		Laps:    []*lap.Lap{round(150, 30), round(100, 14), round(70, 7), round(45, 3)},
		Strokes: []*stroke.Stroke{chord(25), chord(60)},
		Step:    10 * MM,
	}
}

// tested is the figure of the shop's mirror as a test may give it.
func tested() *figure.Figure {
	m := shop()
	return figure.New(m, heights(m, ringed), covariance(m, 3, 20, 2))
}

// stopped returns how f stops the recipe, or "" where it does not.
func stopped(f func()) (said string) {
	defer func() {
		if r := recover(); r != nil {
			said = r.(*host.Stop).Error()
		}
	}()
	f()
	return ""
}

// own is the standard deviation of the logarithm of what sets the rate of a lap
// apart from that of all: a factor of 1.2, and none where the rate is exact.
func own(r wear.Rate) float64 {
	if r.Factor == 1 {
		return 0
	}
	return math.Log(1.2)
}

func TestForecastIsTheFigureLessTurnsTimesDepthTimesRate(t *testing.T) {
	f := tested()
	rate := wear.Rate{K: 4e-13, Factor: 1.3}
	spells := []Spell{{round(100, 14), chord(25), 80 * MM, 200}, {round(45, 3), chord(60), 120 * MM, 300}}
	p := New(f, rate, spells...)
	want := f.Heights()
	for _, s := range spells {
		h := wear.New(f.Mirror(), wear.Setting{Lap: s.Lap, Stroke: s.Stroke, At: s.At}).PerTurn()
		floats.AddScaled(want, -float64(s.Turns)*4e-13, h)
	}
	if got := p.Forecast().Heights(); !floats.EqualApprox(got, want, 1e-18) {
		t.Error("the heights of the forecast are not those before less turns × depth × rate")
	}
	if got, want := p.Time(), 500*(6*RPM).Period(); math.Abs(float64(got-want)) > 1e-9 {
		t.Errorf("the spells take %v, want %v", got, want)
	}
	if got, want := p.String(), "1. 100 mm lap at 80.0 mm, tangential, 25 mm, 7.3 double strokes a turn, wandering 3 mm in and out, for 200 turns (33.33 min)\n2. 45 mm lap"; !strings.HasPrefix(got, want) {
		t.Errorf("%q, want %q …", got, want)
	}
	if New(f, rate).Forecast().Heights()[7] != f.Heights()[7] {
		t.Error("a plan without spells changes the figure")
	}
}

func TestForecastBandHoldsItsShareOfWhatHappens(t *testing.T) {
	// Figures and rates drawn as the plan takes them; the 68 % band of the forecast
	// must hold 68 % of what is left, at every rate of doubt.
	random := rand.New(rand.NewPCG(5, 0))
	f := tested()
	for _, factor := range []float64{1, 1.2, 1.5, 2} {
		p := New(f, wear.Rate{K: 4e-13, Factor: factor}, Spell{round(100, 14), chord(25), 80 * MM, 300}, Spell{round(45, 3), chord(60), 120 * MM, 600})
		after, sigma := p.Forecast().Heights(), p.Forecast().Sigma()
		held, n := 0.0, 0.0
		for _, e := range f.Samples(1500, 2) {
			h := e.Heights()
			common := math.Exp(math.Log(p.rate.Factor) * random.NormFloat64())
			for i := range p.spells {
				floats.AddScaled(h, -common*math.Exp(own(p.rate)*random.NormFloat64()), p.depths[i])
			}
			for k := 5; k < len(h); k += 10 {
				n++
				if math.Abs(h[k]-after[k]) <= sigma[k] {
					held++
				}
			}
		}
		if share := held / n; share < 0.63 || share > 0.76 {
			t.Errorf("factor %v: the band holds %.3f of what happens", factor, share)
		}
	}
}

func TestPlantedWorkIsFoundAgain(t *testing.T) {
	// A figure that two spells would make perfect: the best plan is those spells.
	m, s := shop(), shelf()
	rate := wear.Rate{K: 4e-13, Factor: 1}
	e := make([]float64, figure.GridSize)
	work := []Spell{{s.Laps[1], s.Strokes[0], 80 * MM, 240}, {s.Laps[3], s.Strokes[1], 120 * MM, 170}}
	for _, w := range work {
		floats.AddScaled(e, float64(w.Turns)*4e-13, wear.New(m, w.setting()).PerTurn())
	}
	p := Best(figure.New(m, e, nil), rate, s, Limits{Spells: 3, Low: 1})
	if got := p.Spells(); !slices.Equal(got, work) {
		t.Errorf("found %v, worked %v", got, work)
	}
	if p.Gap() != 0 {
		t.Errorf("gap %v", p.Gap())
	}
	if _, after := p.RMS(); after > 1e-3*NM {
		t.Errorf("leaves %v", after)
	}
}

func TestPlanIsGentlerTheLessTheRateIsKnown(t *testing.T) {
	f, before := tested(), math.Inf(1)
	for _, factor := range []float64{1, 1.2, 1.5, 2, 3.2} {
		p := Best(f, wear.Rate{K: 4e-13, Factor: factor}, shelf(), Limits{})
		turns := 0.0
		for _, s := range p.Spells() {
			turns += float64(s.Turns)
		}
		if !(turns < before) {
			t.Errorf("factor %v: %v turns, no fewer than %v", factor, turns, before)
		}
		before = turns
		rms0, rms1 := p.RMS()
		if rms1 >= rms0 {
			t.Errorf("factor %v: rms from %v to %v", factor, rms0, rms1)
		}
		if c := p.Chance(); c < 0.9 {
			t.Errorf("factor %v: chance of a gain %v", factor, c)
		}
	}
}

func TestDearLowGlassIsCutLess(t *testing.T) {
	f, before := tested(), 2.0
	for _, low := range []float64{1, 3, 10} {
		p := Best(f, wear.Rate{K: 4e-13, Factor: 1.3}, shelf(), Limits{Low: low})
		_, chance := p.Low(12 * NM)
		if chance > before {
			t.Errorf("low glass at %v times the price is likelier: %v, was %v", low, chance, before)
		}
		before = chance
	}
}

func TestBestKeepsToItsLimits(t *testing.T) {
	f := tested()
	rate := wear.Rate{K: 4e-13, Factor: 1.3}
	last := NM * 0
	for i, lim := range []Limits{
		{},
		{Laps: 1},
		{Time: 60 * Minute},
		{MostTurns: 150},
		{LeastTurns: 200, Spells: 2},
		{Overhang: 0.01},
		{Pressure: 1.9 * KPa},
	} {
		p := Best(f, rate, shelf(), lim)
		if lim.Time > 0 && p.Time() > lim.Time {
			t.Errorf("%+v: takes %v", lim, p.Time())
		}
		if lim.Laps > 0 && p.Laps() > lim.Laps {
			t.Errorf("%+v: %d laps", lim, p.Laps())
		}
		if len(p.Spells()) == 0 || len(p.Spells()) > 3 {
			t.Errorf("%+v: %d spells", lim, len(p.Spells()))
		}
		for k, s := range p.Spells() {
			if lim.MostTurns > 0 && s.Turns > lim.MostTurns || s.Turns < lim.LeastTurns {
				t.Errorf("%+v: %d turns", lim, s.Turns)
			}
			if _, over := p.Edges(k).Overhang(); lim.Overhang > 0 && float64(over) > lim.Overhang*float64(s.Lap.Diameter()) {
				t.Errorf("%+v: overhangs by %v", lim, over)
			}
			if press := p.Contact(k).Greatest; lim.Pressure > 0 && press > lim.Pressure {
				t.Errorf("%+v: presses with %v", lim, press)
			}
			if k > 0 && s.Lap.Diameter() > p.Spells()[k-1].Lap.Diameter() {
				t.Errorf("%+v: a larger lap follows a smaller one", lim)
			}
		}
		_, after := p.RMS()
		if i == 0 {
			last = after
		} else if after < last*0.97 { // the loss is not the rms alone
			t.Errorf("%+v: leaves %v, less than the %v left without the limit", lim, after, last)
		}
	}
}

func TestBestNeverPressesALapBeyondItsOwnLimit(t *testing.T) {
	f, rate := tested(), wear.Rate{K: 4e-13, Factor: 1.3}
	at := func(limit Pressure) *Plan {
		s := Shelf{Strokes: shelf().Strokes, Step: shelf().Step}
		for _, l := range shelf().Laps {
			s.Laps = append(s.Laps, lap.Round(lap.Spec{Diameter: l.Diameter(), Load: l.Load(), Limit: limit}))
		}
		return Best(f, rate, s, Limits{})
	}
	pressed := func(p *Plan) (most Pressure) {
		for k := range p.Spells() {
			most = max(most, p.Contact(k).Greatest)
		}
		return most
	}
	free := pressed(at(0))
	limit := 0.95 * free
	p := at(limit)
	if got := pressed(p); got > limit {
		t.Errorf("presses with %v where %v is allowed, %v without a limit", got, limit, free)
	}
	for k := range p.Spells() {
		if p.Marks(k) {
			t.Errorf("spell %d may mark the glass", k+1)
		}
	}
}

func TestRadiusChangesByNoMoreThanAllowed(t *testing.T) {
	f := tested()
	rate := wear.Rate{K: 4e-13, Factor: 1.2}
	on := shelf()
	free := Best(f, rate, on, Limits{})
	change := Length(math.Abs(float64(free.RadiusChange())))
	if change < 0.01*MM {
		t.Fatalf("without the limit the radius changes by %v only", change)
	}
	for _, share := range []Length{0.1, 0.5, 0.9, 1.1} {
		p := Best(f, rate, on, Limits{Radius: share * change})
		if got := math.Abs(float64(p.RadiusChange())); got > float64(share*change)*(1+1e-9) {
			t.Errorf("may change by %v, changes by %v", share*change, Length(got))
		}
		_, after := p.RMS()
		if _, best := free.RMS(); after < best || share < 1 && !(p.Gap() > 0) {
			t.Errorf("may change by %v: leaves %v, %v without the limit, gap %v", share*change, after, best, p.Gap())
		}
		if len(p.Spells()) == 0 {
			t.Errorf("may change by %v: no spells", share*change)
		}
		if share > 1 && !slices.Equal(p.Spells(), free.Spells()) {
			t.Errorf("a limit that does not bind changes the plan")
		}
	}
}

// No plan within a limit on the change of radius is better than Gap allows: all of
// those from a small shelf are tried.
func TestBoundWithALimitedRadiusHolds(t *testing.T) {
	f := tested()
	rate := wear.Rate{K: 4e-13, Factor: 1.2}
	on := Shelf{Laps: []*lap.Lap{round(150, 30), round(70, 7)}, Strokes: []*stroke.Stroke{chord(60)}, Step: 25 * MM}
	limits := Limits{Spells: 2, MostTurns: 150, Low: 1}.filled("")
	c := newChoices("", f.Mirror(), on, limits)
	var turns [][]float64
	var change []float64
	for _, p := range c.profiles {
		turns = append(turns, depth(p, rate, 1))
		change = append(change, float64(radiusChange(f.Mirror(), depth(p, rate, 1))))
	}
	l := newLoss(f, turns, c.lap, newDoubt(rate, c.laps), 0)
	free := math.Abs(float64(c.best(f, rate, limits).RadiusChange()))
	for _, share := range []float64{0.02, 0.2, 0.5, 0.8} {
		least := l.at(nil, nil)
		for i := range change {
			for j := range i {
				for n := range limits.MostTurns + 1 {
					for k := range limits.MostTurns + 1 {
						if math.Abs(float64(n)*change[i]+float64(k)*change[j]) <= share*free {
							least = math.Min(least, l.at([]int{i, j}, []float64{float64(n), float64(k)}))
						}
					}
				}
			}
		}
		limits.Radius = Length(share * free)
		p := c.best(f, rate, limits)
		_, after := p.RMS()
		bound, best := float64(after/NM)/(1+p.Gap()), math.Sqrt(least)
		if !(bound <= best*(1+1e-9)) {
			t.Errorf("with %v of the change: says none is below %v nm, one has %v", share, bound, best)
		}
		if bound < 0.998*best || after > Length(1.002*best)*NM {
			t.Errorf("with %v of the change: leaves %v and says that none is below %v nm; the least is %v", share, after, bound, best)
		}
	}
}

func TestTimeThatBindsLeavesNoGap(t *testing.T) {
	f := tested()
	rate := wear.Rate{K: 4e-13, Factor: 1.2}
	last := Length(math.Inf(1))
	for _, time := range []Time{15 * Minute, 30 * Minute, 40 * Minute, 60 * Minute} {
		p := Best(f, rate, shelf(), Limits{Spells: 3, MostTurns: 120, Low: 1, Time: time})
		if !(p.Gap() < 0.01) {
			t.Errorf("in %v: a gap of %v", time, p.Gap())
		}
		_, after := p.RMS()
		if after > last {
			t.Errorf("in %v: leaves %v, more than in less time, %v", time, after, last)
		}
		last = after
	}
}

func TestSpellsAreAsEvenAsWished(t *testing.T) {
	// Strokes in step with the table are uneven however long: they are not used.
	f := tested()
	s := shelf()
	s.Step = 25 * MM
	s.Strokes = []*stroke.Stroke{stroke.Tangential(25*MM, 7, 6*RPM).Wander(3 * MM), stroke.Tangential(60*MM, 7.31, 6*RPM).Wander(3 * MM)}
	rate := wear.Rate{K: 4e-13, Factor: 1.3}
	free, wished := Best(f, rate, s, Limits{}), Best(f, rate, s, Limits{Uneven: 0.02})
	worst := 0.0
	for i := range free.Spells() {
		worst = math.Max(worst, free.Uneven(i))
	}
	if worst <= 0.02 {
		t.Fatalf("without the wish the spells are even already: %v", worst)
	}
	for i := range wished.Spells() {
		if u := wished.Uneven(i); u > 0.02 {
			t.Errorf("spell %d is uneven by %v", i+1, u)
		}
	}
}

func TestChanceMatchesManySamples(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 0))
	f := tested()
	for _, turns := range []int{150, 900, 2500} {
		p := New(f, wear.Rate{K: 4e-13, Factor: 1.8}, Spell{round(100, 14), chord(25), 80 * MM, turns}, Spell{round(45, 3), chord(60), 120 * MM, turns})
		better, n := 0.0, 2000
		square := func(h []float64) float64 {
			w := figure.Weights(f.Mirror())
			sum := 0.0
			for i, v := range figure.New(f.Mirror(), h, nil).Refocused().Heights() {
				sum += w[i] * v * v
			}
			return sum
		}
		for _, e := range f.Samples(n, 4) {
			h := e.Heights()
			before := square(h)
			common := math.Exp(math.Log(p.rate.Factor) * random.NormFloat64())
			for i := range p.spells {
				floats.AddScaled(h, -common*math.Exp(own(p.rate)*random.NormFloat64()), p.depths[i])
			}
			if square(h) < before {
				better++
			}
		}
		if got, want := p.Chance(), better/float64(n); math.Abs(got-want) > 0.04 {
			t.Errorf("%d turns: chance %.3f, of %d samples %.3f", turns, got, n, want)
		}
	}
}

// sharings are five mirrors with a high ring and three laps of rising diameter,
// invented; all in mm and newtons.
var sharings = []struct {
	diameter, ring float64
	laps, loads    [3]float64
}{
	{300, 118, [3]float64{45, 70, 100}, [3]float64{4, 7, 11}},
	{200, 78, [3]float64{30, 45, 70}, [3]float64{2, 4, 7}},
	{400, 157, [3]float64{60, 95, 135}, [3]float64{6, 10, 16}},
	{250, 98, [3]float64{40, 60, 85}, [3]float64{4, 6, 9}},
	{500, 196, [3]float64{75, 120, 170}, [3]float64{8, 14, 20}},
}

// share shares the ring of mirror i among the laps for an hour.
func share(i int) *Shared {
	c := sharings[i]
	m := mirror.New(mirror.Spec{Diameter: Length(c.diameter) * MM, FocalLength: Length(5*c.diameter) * MM})
	f := figure.New(m, heights(m, func(r float64) float64 { return 40 * bell(r, c.ring, 0.03*c.diameter) }), nil)
	s := Sharing{Ring: Length(c.ring) * MM, Width: Length(0.07*c.diameter) * MM, Time: Hour}
	for k := range c.laps {
		s.Laps = append(s.Laps, round(c.laps[k], c.loads[k]))
	}
	s.Stroke = stroke.Tangential(Length(0.1*c.diameter)*MM, 7.3, 6*RPM).Wander(Length(0.01*c.diameter) * MM)
	return Share(f, wear.Rate{K: 4e-13, Factor: 1.5}, s)
}

func TestSharingHalvesTheSlopeStepBesideTheRing(t *testing.T) {
	// Common practice, no source: with edges in three places the steepest step of
	// slope is about half of that of one lap in the same time.
	for i := range sharings {
		s := share(i)
		whole := s.Whole().OnRing(s.Ring(), s.Width())
		mean := 0.0
		for k := range 3 {
			mean += s.Alone(k).OnRing(s.Ring(), s.Width()).Step.Value / 3
		}
		if ratio := whole.Step.Value / mean; ratio < 0.3 || ratio > 0.6 {
			t.Errorf("mirror %d: shared, the step is %.2f of the mean of each lap alone", i, ratio)
		}
	}
}

func TestSharingDoesNotSpareWhatLiesBesideTheRing(t *testing.T) {
	// Wear adds up: with equal shares every depth is the mean of those of the laps
	// alone. So the depth beside the ring over that at the ring lies among theirs,
	// and is not less than the least of them.
	for i := range sharings {
		s := share(i)
		ratio := func(p *Plan) float64 {
			e := p.OnRing(s.Ring(), s.Width())
			return e.Inside.Value / e.Depth.Value
		}
		low, high, mean := math.Inf(1), 0.0, 0.0
		for k := range 3 {
			low, high = math.Min(low, ratio(s.Alone(k))), math.Max(high, ratio(s.Alone(k)))
			mean += s.Alone(k).OnRing(s.Ring(), s.Width()).Depth.Value / 3
		}
		if got := ratio(s.Whole()); got < low || got > high {
			t.Errorf("mirror %d: beside over at the ring %.3f, for laps alone from %.3f to %.3f", i, got, low, high)
		}
		if got := s.Whole().OnRing(s.Ring(), s.Width()).Depth.Value; math.Abs(got-mean) > 1e-9*mean {
			t.Errorf("mirror %d: depth at the ring %v, mean of the laps alone %v", i, got, mean)
		}
		if got, want := s.Whole().Time(), Hour; got != want {
			t.Errorf("mirror %d: takes %v, want %v", i, got, want)
		}
	}
}

func TestTimeIsDividedInWholeTurnsThatAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shares := rapid.SliceOfN(rapid.Float64Range(0.001, 100), 2, 6).Draw(t, "shares")
		n := rapid.IntRange(len(shares), 2000).Draw(t, "turns")
		turns := divide(n, shares)
		sum := 0
		for i, k := range turns {
			sum += k
			if k < 1 {
				t.Fatalf("share %v of %d turns got %d", shares[i], n, k)
			}
			exact := shares[i] / floats.Sum(shares) * float64(n)
			if exact >= 1 && math.Abs(float64(k)-exact) > float64(len(shares)) {
				t.Fatalf("%v of %d turns got %d", exact, n, k)
			}
		}
		if sum != n {
			t.Fatalf("%v add up to %d, not %d", turns, sum, n)
		}
	})
	if got := divide(100, []float64{1, 1, 1}); !slices.Equal(got, []int{34, 33, 33}) {
		t.Errorf("100 turns among three: %v", got)
	}
}

func TestRoundingToWholeTurnsChangesDepthByNoMoreThanHalfATurnOfEach(t *testing.T) {
	// |Δdepth(r)| ≤ ½ Σ depth of a turn. Derived.
	m := shop()
	rate := wear.Rate{K: 4e-13, Factor: 1}
	turns := []float64{100.4, 250.5, 33.7}
	got, exact, bound := make([]float64, figure.GridSize), make([]float64, figure.GridSize), make([]float64, figure.GridSize)
	for i, at := range []float64{60, 90, 120} {
		s := Spell{round(60, 5), chord(25), Length(at) * MM, int(math.Round(turns[i]))}
		p := New(figure.New(m, make([]float64, figure.GridSize), nil), rate, s)
		one := New(p.Before(), rate, Spell{s.Lap, s.Stroke, s.At, 1}).Removed(0)
		floats.Add(got, p.Removed(0))
		floats.AddScaled(exact, turns[i], one)
		floats.AddScaled(bound, 0.5, one)
	}
	for k := range got {
		if math.Abs(got[k]-exact[k]) > bound[k]+1e-18 {
			t.Fatalf("radius %d: %v against %v", k, got[k]-exact[k], bound[k])
		}
	}
}

func TestEffectsAddUp(t *testing.T) {
	f := tested()
	s := shelf()
	p := Best(f, wear.Rate{K: 4e-13, Factor: 1.2}, s, Limits{})
	for i, sp := range p.Spells() {
		e := p.Effect(i)
		others := slices.Delete(p.Spells(), i, i+1)
		_, with := p.RMS()
		_, without := New(f, p.Rate(), others...).RMS()
		if math.Abs(float64(e.Worth-(without-with))) > 1e-13 {
			t.Errorf("spell %d is worth %v; without it the rms goes from %v to %v", i+1, e.Worth, with, without)
		}
		if e.Worth <= 0 {
			t.Errorf("spell %d of the best plan does harm: %v", i+1, e.Worth)
		}
		if got, want := e.Deepest.High/e.Deepest.Value, math.Exp(math.Hypot(math.Log(1.2), own(p.Rate()))); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v: range up to %.3f of the depth, want %.3f", sp.Lap, got, want)
		}
	}
}

func TestSpellsThatMarkOrWearUnevenlyAreNamed(t *testing.T) {
	f := tested()
	rate := wear.Rate{K: 4e-13, Factor: 1.3}
	soft := lap.Round(lap.Spec{Diameter: 45 * MM, Load: 20 * Newton, Limit: 3 * KPa})
	for _, c := range []struct {
		spell Spell
		want  string
	}{
		{Spell{soft, chord(25), 100 * MM, 100}, "above its limit of 3.00 kPa"},
		{Spell{round(45, 20), chord(25), 100 * MM, 100}, "it may mark the glass"},
		{Spell{round(45, 3), stroke.Held(6 * RPM), 100 * MM, 100}, "edges in one place"},
		{Spell{round(45, 3), stroke.Tangential(25*MM, 7, 6*RPM).Wander(2 * MM), 100 * MM, 100}, "will wear unevenly around the circle"},
		{Spell{round(45, 3), chord(25), 100 * MM, 2}, "only 2 turns"},
		{Spell{round(100, 14), chord(25), 130 * MM, 100}, "reaches over the rim by 34 % of its width"},
	} {
		said := New(f, rate, c.spell).SpellWarnings(0)
		if !strings.Contains(strings.Join(said, "\n"), c.want) {
			t.Errorf("said %q, which lacks %q", said, c.want)
		}
	}
	if said := New(f, rate, Spell{round(45, 3), chord(25), 100 * MM, 100}).SpellWarnings(0); len(said) > 0 {
		t.Errorf("a good spell is warned of: %q", said)
	}
}

func TestWorkTooLongWithoutATestIsNamed(t *testing.T) {
	for _, c := range []struct {
		turns int
		long  bool
	}{{4*60*6 - 10, false}, {4*60*6 + 10, true}} { // at 6 turns a minute
		p := New(tested(), wear.Rate{K: 1e-14, Factor: 1}, Spell{round(100, 14), chord(25), 80 * MM, c.turns})
		if got := strings.Contains(strings.Join(p.Warnings(), "; "), "the work takes 4.0 h"); got != c.long {
			t.Errorf("%v of work: %q", p.Time(), p.Warnings())
		}
	}
}

func TestGlassTooHeavyForOneIsNamed(t *testing.T) {
	// Ø510 × 51 mm of low-expansion borosilicate weighs 23.2 kg, Ø500 × 50 mm
	// 21.9 kg, against a load constant of 23 kg.
	for _, c := range []struct {
		diameter, thickness float64
		heavy               bool
	}{{510, 51, true}, {500, 50, false}} {
		m := mirror.New(mirror.Spec{Diameter: Length(c.diameter) * MM, FocalLength: 100 * Metre, Thickness: Length(c.thickness) * MM})
		said := strings.Join(New(figure.New(m, make([]float64, figure.GridSize), nil), wear.Rate{K: 4e-13, Factor: 1}).Warnings(), "\n")
		if got := strings.Contains(said, "two people"); got != c.heavy {
			t.Errorf("Ø%v × %v mm, %.1f kg: said %q", c.diameter, c.thickness, m.Mass(), said)
		}
	}
}

func TestWhatCannotBePlannedStopsTheRecipe(t *testing.T) {
	f := tested()
	rate := wear.Rate{K: 4e-13, Factor: 1.3}
	l, st := round(45, 3), chord(25)
	sharing := Sharing{Ring: 118 * MM, Width: 20 * MM, Time: Hour, Laps: []*lap.Lap{l, round(70, 6)}, Stroke: st}
	with := func(change func(s *Sharing)) func() {
		s := sharing
		change(&s)
		return func() { Share(f, rate, s) }
	}
	best := func(s Shelf, lim Limits) func() { return func() { Best(f, rate, s, lim) } }
	for _, c := range []struct {
		call func()
		want string
	}{
		{func() { New(f, wear.Rate{K: 0, Factor: 1}) }, "plan.New: Rate.K is 0"},
		{func() { New(f, wear.Rate{K: 4e-13}) }, "Rate.Factor is 0; it must be from 1 (exact) to 100"},
		{func() { New(f, wear.Rate{K: 4e-13, Factor: math.NaN()}) }, "Rate.Factor is NaN"},
		{func() { New(f, rate, Spell{nil, st, 0, 1}) }, "spell 1 has no Lap"},
		{func() { New(f, rate, Spell{l, nil, 0, 1}) }, "spell 1 has no Stroke"},
		{func() { New(f, rate, Spell{l, st, 100 * MM, 0}) }, "spell 1: Turns is 0"},
		{func() { New(f, rate, Spell{l, st, 200 * MM, 10}) }, "spell 1: At is 200 mm"},
		{func() { New(f, rate, Spell{l, st, 149 * MM, 10}) }, "tips off the rim"},
		{with(func(s *Sharing) { s.Laps = s.Laps[:1] }), "plan.Share: there are 1 laps; sharing needs at least two"},
		{with(func(s *Sharing) { s.Laps = []*lap.Lap{l, l} }), "is there twice"},
		{with(func(s *Sharing) { s.Stroke = nil }), "Stroke is left out"},
		{with(func(s *Sharing) { s.Ring = 151 * MM }), "Ring is 151 mm; it must be on the clear aperture"},
		{with(func(s *Sharing) { s.Width = 0 }), "Width is 0"},
		{with(func(s *Sharing) { s.Time = 10 * Second }), "Time is 10 s; it must be from 20 s"},
		{with(func(s *Sharing) { s.Time = Time(math.NaN()) }), "Time is NaN"},
		{with(func(s *Sharing) { s.Shares = []float64{1} }), "there are 1 Shares for 2 laps"},
		{with(func(s *Sharing) { s.Shares = []float64{1, -1} }), "share 2 is -1; it must be above 0"},
		{best(Shelf{}, Limits{}), "plan.Best: the shelf has 0 laps and 0 strokes"},
		{best(Shelf{Laps: []*lap.Lap{nil}, Strokes: []*stroke.Stroke{st}}, Limits{}), "is nil"},
		{best(shelf(), Limits{Spells: 9}), "Spells is 9; it must be from 1 to 8"},
		{best(shelf(), Limits{Time: -1}), "Time is -1 s"},
		{best(shelf(), Limits{Overhang: 0.5}), "Overhang is 0.5"},
		{best(shelf(), Limits{Low: 0.5}), "Low is 0.5"},
		{best(shelf(), Limits{Uneven: -1}), "Uneven is -1"},
		{best(shelf(), Limits{Radius: -MM}), "Radius is -1 mm"},
		{best(shelf(), Limits{LeastTurns: 20, MostTurns: 10}), "LeastTurns is 20; it must be from 1 to 10"},
		{best(shelf(), Limits{Pressure: Pascal}), "no lap on the shelf can be used"},
		{func() {
			s := shelf()
			s.Step = 0.15 * MM
			Best(f, rate, s, Limits{})
		}, "give a greater Step"},
		{func() {
			s := shelf()
			s.From, s.To = 100*MM, 50*MM
			Best(f, rate, s, Limits{})
		}, "To is 50 mm; it must be from 100 mm"},
		{func() { New(f, rate).OnRing(-1, 20*MM) }, "ring is -1 m"},
		{func() { New(f, rate).Removed(0) }, "Plan.Removed: i is 0; the plan has no spells"},
		{func() { New(f, rate, Spell{l, st, 100 * MM, 10}).Effect(1) }, "Plan.Effect: i is 1; it must be 0, as the plan has one spell"},
		{func() { New(f, rate, Spell{l, st, 100 * MM, 10}, Spell{l, st, 50 * MM, 10}).Uneven(-1) }, "i is -1; it must be from 0 to 1"},
		{func() { New(f, rate).Low(-MM) }, "Plan.Low: depth is -1 mm"},
		{func() { Share(f, rate, sharing).Alone(2) }, "Shared.Alone: i is 2; it must be from 0 to 1, as 2 laps share"},
		{func() { Spell{}.Time() }, "the spell has no Stroke"},
	} {
		if said := stopped(c.call); !strings.Contains(said, c.want) {
			t.Errorf("said\n\t%s\nwhich lacks\n\t%s", said, c.want)
		}
	}
}

func TestPerfectGlassIsLeftAlone(t *testing.T) {
	m := shop()
	p := Best(figure.New(m, make([]float64, figure.GridSize), nil), wear.Rate{K: 4e-13, Factor: 1.3}, shelf(), Limits{})
	if n := len(p.Spells()); n != 0 {
		t.Errorf("%d spells on a perfect mirror", n)
	}
	if p.Chance() != 0 || p.Gap() != 0 {
		t.Errorf("chance %v, gap %v", p.Chance(), p.Gap())
	}
}

func BenchmarkBest(b *testing.B) {
	f := tested()
	for _, n := range []int{3, 5} {
		b.Run(fmt.Sprintf("%d spells", n), func(b *testing.B) {
			for b.Loop() {
				Best(f, wear.Rate{K: 4e-13, Factor: 1.5}, shelf(), Limits{Spells: n})
			}
		})
	}
}

func TestMirrorWithAHoleIsPlannedToo(t *testing.T) {
	// The work of a lap that reaches over the hole or the rim is foreseen, and its
	// evenness looked at, wherever it may be worked.
	m := mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM, Hole: 60 * MM, Bevel: 2 * MM})
	f := figure.New(m, heights(m, ringed), nil)
	rate := wear.Rate{K: 4e-13, Factor: 1.3}
	s := shelf()
	lim := Limits{}.filled("test")
	worked := 0
	for i, p := range newChoices("test", m, s, lim).profiles {
		if i%9 != 0 {
			continue
		}
		set := p.Setting()
		worked++
		New(f, rate, Spell{set.Lap, set.Stroke, set.At, 50}).SpellWarnings(0)
	}
	if worked < 5 {
		t.Errorf("%d settings can be worked", worked)
	}
	p := Best(f, rate, s, Limits{})
	if before, after := p.RMS(); after >= before {
		t.Errorf("rms from %v to %v", before, after)
	}
	p.OnRing(118*MM, 20*MM)
	p.OnRing(146*MM, 20*MM)
}
