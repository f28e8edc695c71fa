package wear

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"

	"lapwright/stdlib/host"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
)

// How a short spell wears around the circle.
//
// A place of the glass at angle α from the mark meets the lap at the angle α+θ
// when the table has turned by θ and the stroke is at phase qθ. With G the rubbing
// p·|v| by angle and phase, its depth after a turn of Θ in all is
//
//	D(α) = ∫₀^Θ G(α+θ, qθ) dθ = Σ_j e^{ijα} Σ_k G_jk ∫₀^Θ e^{i(j+kq)θ} dθ
//
// with the Fourier terms G_jk of G. Only j = 0 is the mean. A term is worn in at
// every turn alike where j+kq is near 0: strokes that fit the turns leave marks
// however long the work. The others grow no further than 1/(j+kq): they fade
// against the mean as the turns add up, and are never quite 0 unless, for k = 0,
// the turns are whole. [D]

const (
	around = 256 // cells around the circle
	phases = 128 // of the stroke
)

// rubbing holds the terms G_jk that count.
type rubbing struct {
	q     float64
	mean  float64 // G_00
	terms []rubTerm
}

type rubTerm struct {
	j int
	k float64
	g complex128
}

// rubbingAt returns the rubbing on the circle of radius r under stroke st, the
// wander left out.
func (s *sweep) rubbingAt(r float64, st *stroke.Stroke) rubbing {
	grid := make([][]complex128, phases)
	for i := range grid {
		row := make([]float64, around)
		s.rubCells(r, st.Motion((float64(i)+0.5)/phases), row)
		grid[i] = make([]complex128, around)
		for j, v := range row {
			grid[i][j] = complex(v, 0)
		}
	}
	transform(grid)
	rub := rubbing{q: st.PerTurn(), mean: real(grid[0][0])}
	for k := range grid {
		for j, g := range grid[k] {
			j, k := signed(j, around), signed(k, phases)
			// Cells and phases are sampled at their middles.
			g *= cmplx.Exp(complex(0, -math.Pi*(float64(j)/around+float64(k)/phases)))
			if (j != 0 || k != 0) && cmplx.Abs(g) > 1e-6*rub.mean {
				rub.terms = append(rub.terms, rubTerm{j, float64(k), g})
			}
		}
	}
	return rub
}

// transform replaces the grid by its Fourier terms.
func transform(grid [][]complex128) {
	fft := fourier.NewCmplxFFT(around)
	for _, row := range grid {
		copy(row, fft.Coefficients(nil, row))
	}
	fft = fourier.NewCmplxFFT(phases)
	column := make([]complex128, phases)
	for j := range around {
		for i := range grid {
			column[i] = grid[i][j]
		}
		for i, g := range fft.Coefficients(nil, column) {
			grid[i][j] = g / (around * phases)
		}
	}
}

func signed(i, n int) int {
	if i >= n/2 {
		return i - n
	}
	return i
}

// rubCells adds to each cell around the circle of radius r the mean of p·|v| over
// it, with the lap moved as m says.
func (s *sweep) rubCells(r float64, m stroke.Motion, cells []float64) {
	x, y := s.at+m.X, m.Y
	st := station{rho: math.Hypot(x, y)}
	cx, cy := 1.0, 0.0
	if st.rho > 0 {
		cx, cy = x/st.rho, y/st.rho
	}
	st.q1r, st.q1t = s.turn*st.rho-(m.UY*cx-m.UX*cy), m.UX*cx+m.UY*cy
	st.press = s.press.at(st.rho)
	middle := math.Atan2(y, x)
	w := 1 - s.turn
	from, to := st.press.positive(r, st.rho)
	for i := range s.face.bands {
		b := &s.face.bands[i]
		c := ring{r: r, rho: st.rho, m2: w * w, band: b}
		c.rub(w, st.q1r, st.q1t)
		lo, hi := max(from, tanHalf(st.rho, r, b.in)), min(to, tanHalf(st.rho, r, b.out))
		if b.in == 0 {
			lo = from
		}
		if !(lo < hi) {
			continue
		}
		for _, side := range [2]float64{-1, 1} {
			spread(middle, side*2*math.Atan(lo), side*2*math.Atan(hi), cells, func(delta float64) float64 {
				sn, cs := math.Sincos(delta)
				return c.share(cs) * st.press.at(r*cs-st.rho) * math.Sqrt(math.Abs(c.a+c.br*cs+c.bt*sn))
			})
		}
	}
}

// spread adds f to the cells between two angles from the middle, in part to those
// covered in part.
func spread(middle, a, b float64, cells []float64, f func(delta float64) float64) {
	if a > b {
		a, b = b, a
	}
	n := len(cells)
	width := 2 * math.Pi / float64(n)
	first, last := int(math.Floor((middle+a)/width)), int(math.Floor((middle+b)/width))
	for i := first; i <= last; i++ {
		from, to := max(float64(i)*width-middle, a), min(float64(i+1)*width-middle, b)
		if to > from {
			cells[((i%n)+n)%n] += f((from+to)/2) * (to - from) / width
		}
	}
}

// uneven returns the difference of the most and the least worn place around the
// circle, over the mean, after so many turns.
func (g *rubbing) uneven(turns float64) float64 {
	whole := 2 * math.Pi * turns
	d := make([]complex128, around)
	mean := g.mean * whole
	for _, t := range g.terms {
		x := float64(t.j) + t.k*g.q
		e := complex(whole, 0)
		if math.Abs(x*whole) > 1e-9 {
			sn, cs := math.Sincos(x * whole)
			e = complex(sn/x, (1-cs)/x) // (e^{ixΘ}-1)/ix
		}
		if t.j == 0 {
			mean += real(t.g * e)
			continue
		}
		d[(t.j+around)%around] += t.g * e
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range fourier.NewCmplxFFT(around).Sequence(nil, d) {
		low, high = min(low, real(v)), max(high, real(v))
	}
	return (high - low) / mean
}

// Uneven returns how unevenly a spell of so many turns wears around the circle at
// radius r: the difference of the most and the least worn place over the mean, 0.02
// for 2 %. The spell begins at the mark with the lap at the start of its stroke, and
// ends at the mark where the turns are whole. The wander is left out: it changes r,
// not the angle. It is good to about 3 % of itself and 0.001. It stops the
// recipe where the lap does not reach r and where turns is not above 0 and at most
// 100,000.
func (p *Profile) Uneven(r unit.Length, turns float64) float64 {
	const call = "Profile.Uneven"
	p.checkWorked(call, r)
	checkTurns(call, turns)
	g := p.sweep.rubbingAt(float64(r), p.setting.Stroke)
	return g.uneven(turns)
}

// FewestTurns returns the fewest whole turns, at most most, after which the wear
// around the circle at radius r is uneven by no more than wish, as Uneven has it, and
// whether there are any. It stops the recipe as Uneven does, and where wish is not
// above 0 and most not from 1 to 10,000.
func (p *Profile) FewestTurns(r unit.Length, wish float64, most int) (turns int, ok bool) {
	const call = "Profile.FewestTurns"
	p.checkWorked(call, r)
	if !(wish > 0) {
		host.StopArg(call, "wish", wish, "above 0")
	}
	if most < 1 || most > 10000 {
		host.StopArg(call, "most", most, "from 1 to 10000")
	}
	g := p.sweep.rubbingAt(float64(r), p.setting.Stroke)
	for n := 1; n <= most; n++ {
		if g.uneven(float64(n)) <= wish {
			return n, true
		}
	}
	return 0, false
}

// EvenestStrokes returns the double strokes a turn, between low and high, with
// which a spell of so many turns is most even around the circle at radius r, and how
// uneven it is then. A held lap has none: 0 comes back. It stops the recipe as Uneven
// does, and where low and high are not above 0, in order and at most 1000.
func (p *Profile) EvenestStrokes(r unit.Length, turns, low, high float64) (perTurn, uneven float64) {
	const call = "Profile.EvenestStrokes"
	p.checkWorked(call, r)
	checkTurns(call, turns)
	if !(low > 0 && high >= low && high <= 1000) {
		host.Stopf(call, "low and high are %v and %v; they must be above 0, in order, and at most 1000", low, high)
	}
	st := p.setting.Stroke
	if st.PerTurn() == 0 {
		return 0, p.Uneven(r, turns)
	}
	// The rubbing changes slowly with the number of strokes, its fit to the turns
	// fast: that is looked over first.
	const tries = 240
	type try struct{ q, uneven float64 }
	var all []try
	for part := range 8 {
		from := low + (high-low)*float64(part)/8
		g := p.sweep.rubbingAt(float64(r), st.WithPerTurn(from+(high-low)/16))
		for i := range tries / 8 {
			q := from + (high-low)*float64(i)/tries
			g.q = q
			all = append(all, try{q, g.uneven(turns)})
		}
	}
	// Then the best are tried in full.
	slices.SortStableFunc(all, func(a, b try) int { return cmp.Compare(a.uneven, b.uneven) })
	perTurn, uneven = 0, math.Inf(1)
	for _, t := range all[:6] {
		g := p.sweep.rubbingAt(float64(r), st.WithPerTurn(t.q))
		if u := g.uneven(turns); u < uneven {
			perTurn, uneven = t.q, u
		}
	}
	return perTurn, uneven
}

// EvenText says how even a spell is: "after 12 turns the wear around the circle at
// 118.0 mm differs by 3.4 % of its mean".
func (p *Profile) EvenText(r unit.Length, turns float64) string {
	return fmt.Sprintf("after %.6g turns the wear around the circle at %s differs by %.2g %% of its mean",
		turns, across(r, p.mirror.Shop()), 100*p.Uneven(r, turns))
}

func (p *Profile) checkWorked(call string, r unit.Length) {
	inner, outer := p.sweep.reach()
	if !(float64(r) > inner && float64(r) < outer) {
		in := p.mirror.Shop()
		host.StopArg(call, "r", r, fmt.Sprintf("where the lap works, between %s and %s",
			across(unit.Length(inner), in), across(unit.Length(outer), in)))
	}
}

func checkTurns(call string, turns float64) {
	if !(turns > 0 && turns <= 100000) {
		host.StopArg(call, "turns", turns, "above 0 and at most 100,000")
	}
}
