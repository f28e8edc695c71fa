package zone

import (
	"math"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
)

// Reduce turns readings into a figure with its covariance.
//
// The error of the surface is taken as smooth and even in r, with a size and a
// smoothness that the readings decide within wide bounds. Each zone's mean
// reading is asked of that surface by exact geometry; the common zero of all
// readings is free, so that a shift of every reading changes nothing. The result
// is the mean over all surfaces by their chance, with the covariance of what
// they leave open: the band is narrow at the edges of the openings and wide
// between them, and beyond the mask. Piston and focus are taken out.
//
// The chances: normal errors of the readings, with the scatter known as well as
// the sets tell it; the marginal likelihood of each guess at size and smoothness,
// times its weight beforehand. Linear in all but the geometry, which is followed
// by iteration.
//
// Held against random mirrors (see the tests): of those the prior foresees, bands
// of 68 and 95 % hold 71 and 93 %; of mirrors that are smooth but for a few rings
// and a rolled-off rim, 78 and 94 %.
func Reduce(r *Readings) *figure.Figure {
	m := r.mask.m
	e, cov, narrow := reduce(r, figure.Grid(m))
	f := figure.New(m, e, cov).Refocused()
	cov = f.Covariance()
	for i := range cov.SymmetricDim() {
		for j := i; j < cov.SymmetricDim(); j++ {
			cov.SetSym(i, j, cov.At(i, j)*narrow(i)*narrow(j))
		}
	}
	return figure.New(m, f.Heights(), cov).Refocused()
}

// reduce is Reduce on the grid of the given radii, before piston and focus are
// taken out, and what the standard deviations are to be scaled by once they are.
func reduce(r *Readings, grid []float64) (heights []float64, cov *mat.SymDense, narrow func(i int) float64) {
	b := newBayes(r)
	c, cov, mix := b.posterior()
	phi := b.prior.matrix(grid)
	e := mat.NewVecDense(len(grid), nil)
	e.MulVec(phi, c)
	curve := b.narrowing(r.mask.m, c, cov, mix)
	scale := make([]float64, len(grid))
	for i, x := range grid {
		scale[i] = curve.Predict(x)
	}
	return e.RawVector().Data, congruent(phi, cov), func(i int) float64 { return scale[i] }
}

// narrowing returns, against radius, the half width of the band that holds the
// surface with a chance of 68 %, over the standard deviation there. A mixture of
// guesses has longer tails than a normal, so that its standard deviation is wider
// than the band it is taken for: by a tenth, as a rule. It is found for heights
// with piston and focus out, at some radii.
func (b *bayes) narrowing(m *mirror.Mirror, c *mat.VecDense, cov *mat.SymDense, mix []guess) *interp.PiecewiseLinear {
	const step = (figure.GridSize - 1) / 32
	grid := figure.Grid(m)
	all := b.prior.matrix(grid)
	var at []float64
	phi := mat.NewDense(33, waves+1, nil)
	for j := range waves + 1 {
		column := figure.New(m, mat.Col(nil, j, all), nil).Refocused().Heights()
		for k := range 33 {
			phi.Set(k, j, column[k*step])
		}
	}
	for k := range 33 {
		at = append(at, grid[k*step])
	}
	// Mean and standard deviation by each guess and by all.
	means, sigmas := make([][]float64, len(mix)), make([][]float64, len(mix))
	for n, g := range mix {
		means[n], sigmas[n] = make([]float64, 33), make([]float64, 33)
		half := b.half(g)
		var seen mat.Dense
		seen.Mul(half, phi.T())
		var mean mat.VecDense
		var off mat.VecDense
		off.SubVec(g.c, c)
		mean.MulVec(phi, &off)
		for k := range 33 {
			means[n][k] = mean.AtVec(k)
			v := 0.0
			for j, p := range phi.RawRowView(k) {
				v += g.lambda[j] * p * p
			}
			for i := range b.means.Len() {
				v -= seen.At(i, k) * seen.At(i, k)
			}
			sigmas[n][k] = math.Sqrt(math.Max(v, 1e-30))
		}
	}
	whole := congruent(phi, cov)
	ratio := make([]float64, 33)
	for k := range ratio {
		sigma := math.Sqrt(whole.At(k, k))
		low, high := 0.3, 1.2
		for range 12 {
			ratio[k] = (low + high) / 2
			inside := 0.0
			for n, g := range mix {
				a, s := means[n][k], sigmas[n][k]*math.Sqrt2
				inside += g.chance / 2 * (math.Erf((ratio[k]*sigma-a)/s) + math.Erf((ratio[k]*sigma+a)/s))
			}
			if inside < 0.682689 {
				low = ratio[k]
			} else {
				high = ratio[k]
			}
		}
	}
	var p interp.PiecewiseLinear
	if err := p.Fit(at, ratio); err != nil {
		panic("zone: the radii of a grid do not rise")
	}
	return &p
}

// congruent returns a·c·aᵀ.
func congruent(a *mat.Dense, c mat.Symmetric) *mat.SymDense {
	var half, full mat.Dense
	half.Mul(a, c)
	full.Mul(&half, a.T())
	n, _ := a.Dims()
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, (full.At(i, j)+full.At(j, i))/2)
		}
	}
	return s
}

// A bayes is the inference of c, the terms of the prior, from the zones' mean
// readings. All readings are seen through contrasts between zones, which leave
// out their common shift.
type bayes struct {
	prior    prior
	optics   tester
	nodes    [][]station // of each zone
	contrast *mat.Dense
	means    *mat.VecDense // of the readings
	noise    *mat.SymDense // covariance of means
	h        *mat.Dense    // change of means with c
	guesses  []smoothness
}

// A station is a node with the target surface there and the prior's terms.
type station struct {
	node
	z, dz    float64
	e, slope []float64
}

func newBayes(r *Readings) *bayes {
	k, n := r.mask, r.mask.Zones()
	b := &bayes{optics: tester{k.m, r.sheet.Source}, nodes: make([][]station, n), contrast: helmert(n)}
	b.prior = newPrior(k.m)
	b.guesses = b.prior.guesses(priorFree + float64(r.fit.free))
	change := mat.NewDense(n, waves+1, nil)
	for i := range n {
		row := change.RawRowView(i)
		for _, nd := range k.nodes(i) {
			s := station{node: nd, e: make([]float64, waves+1), slope: make([]float64, waves+1)}
			s.z, s.dz = b.optics.target(nd.r)
			b.prior.terms(nd.r, s.e, s.slope)
			byHeight, bySlope := b.optics.change(nd.r, s.z, s.dz)
			for j := range row {
				row[j] += nd.share * (byHeight*s.e[j] + bySlope*s.slope[j])
			}
			b.nodes[i] = append(b.nodes[i], s)
		}
	}
	b.h = mat.NewDense(n-1, waves+1, nil)
	b.h.Mul(b.contrast, change)
	b.means = mat.NewVecDense(n-1, nil)
	b.means.MulVec(b.contrast, mat.NewVecDense(n, r.fit.mean))
	b.noise = congruent(b.contrast, r.fit.cov)
	return b
}

// helmert returns n-1 orthonormal rows that each sum to 0.
func helmert(n int) *mat.Dense {
	h := mat.NewDense(n-1, n, nil)
	for i := range n - 1 {
		s := 1 / math.Sqrt(float64((i+1)*(i+2)))
		for j := range i + 1 {
			h.Set(i, j, s)
		}
		h.Set(i, i+1, -float64(i+1)*s)
	}
	return h
}

// reads returns the contrasts of the zones' means on a surface with terms c.
func (b *bayes) reads(c *mat.VecDense) *mat.VecDense {
	list := mat.NewVecDense(len(b.nodes), nil)
	for i, stations := range b.nodes {
		sum := 0.0
		for _, s := range stations {
			e := mat.Dot(c, mat.NewVecDense(waves+1, s.e))
			slope := mat.Dot(c, mat.NewVecDense(waves+1, s.slope))
			sum += s.share * b.optics.reading(s.r, s.z+e, s.dz+slope)
		}
		list.SetVec(i, sum)
	}
	out := mat.NewVecDense(b.means.Len(), nil)
	out.MulVec(b.contrast, list)
	return out
}

// posterior returns mean and covariance of c, and the guesses they are made of.
func (b *bayes) posterior() (*mat.VecDense, *mat.SymDense, []guess) {
	c := mat.NewVecDense(waves+1, nil)
	var mix []guess
	// The geometry is so nearly linear that the second round moves the surface by
	// picometres, unless it is micrometres from the target.
	for range 8 {
		// The readings less what the geometry has beyond H·c.
		y := mat.NewVecDense(b.means.Len(), nil)
		y.MulVec(b.h, c)
		y.AddVec(y, b.means)
		y.SubVec(y, b.reads(c))
		mix = b.weigh(y)
		next := mat.NewVecDense(waves+1, nil)
		for _, g := range mix {
			next.AddScaledVec(next, g.chance, g.c)
		}
		var moved mat.VecDense
		moved.SubVec(next, c)
		c = next
		if mat.Norm(&moved, math.Inf(1)) < 1e-13 {
			break
		}
	}
	return c, b.covariance(c, mix), mix
}

// A guess is one smoothness, its chance given the readings, and what follows
// from it: the mean of c, and G = L⁻¹HΛ with LLᵀ the covariance of the readings,
// so that the covariance of c is Λ - GᵀG.
type guess struct {
	smoothness
	chance float64
	lambda []float64
	chol   mat.Cholesky
	c      *mat.VecDense
}

// weigh returns the guesses that count, chances summing to 1.
func (b *bayes) weigh(y *mat.VecDense) []guess {
	list := make([]guess, 0, len(b.guesses))
	top := math.Inf(-1)
	var base *mat.SymDense // H Λ Hᵀ of the last amplitude and length
	var last smoothness
	var lambda []float64
	for _, s := range b.guesses {
		if base == nil || s.amplitude != last.amplitude || s.length != last.length {
			lambda = b.prior.variances(s)
			base = b.spread(lambda)
			last = s
		}
		g := guess{smoothness: s, lambda: lambda}
		var cov mat.SymDense
		cov.ScaleSym(s.noise, b.noise)
		cov.AddSym(&cov, base)
		if !g.chol.Factorize(&cov) {
			continue // cannot be: the noise alone is positive
		}
		alpha := mat.NewVecDense(y.Len(), nil)
		if err := g.chol.SolveVecTo(alpha, y); err != nil {
			continue
		}
		g.chance = s.weight - (mat.Dot(y, alpha)+g.chol.LogDet())/2
		top = math.Max(top, g.chance)
		g.c = mat.NewVecDense(waves+1, nil)
		g.c.MulVec(b.h.T(), alpha)
		for j, v := range lambda {
			g.c.SetVec(j, v*g.c.AtVec(j))
		}
		list = append(list, g)
	}
	// Guesses with less than a millionth of the best one's chance do not count.
	kept, sum := list[:0], 0.0
	for _, g := range list {
		if g.chance > top-14 {
			g.chance = math.Exp(g.chance - top)
			sum += g.chance
			kept = append(kept, g)
		}
	}
	for i := range kept {
		kept[i].chance /= sum
	}
	return kept
}

// spread returns HΛHᵀ.
func (b *bayes) spread(lambda []float64) *mat.SymDense {
	var scaled mat.Dense
	scaled.Apply(func(_, j int, v float64) float64 { return v * math.Sqrt(lambda[j]) }, b.h)
	s := mat.NewSymDense(b.means.Len(), nil)
	s.SymOuterK(1, &scaled)
	return s
}

// covariance returns the covariance of c over all guesses: the mean of theirs,
// and that of their means.
func (b *bayes) covariance(c *mat.VecDense, mix []guess) *mat.SymDense {
	cov := mat.NewSymDense(waves+1, nil)
	for _, g := range mix {
		cov.SymRankK(cov, -g.chance, b.half(g).T())
		var off mat.VecDense
		off.SubVec(g.c, c)
		cov.SymRankOne(cov, g.chance, &off)
		for j, v := range g.lambda {
			cov.SetSym(j, j, cov.At(j, j)+g.chance*v)
		}
	}
	return cov
}

// half returns G of a guess.
func (b *bayes) half(g guess) *mat.Dense {
	var l mat.TriDense
	g.chol.LTo(&l)
	var scaled, half mat.Dense
	scaled.Apply(func(_, j int, v float64) float64 { return v * g.lambda[j] }, b.h)
	if err := half.Solve(&l, &scaled); err != nil {
		panic("zone: the triangle of a matrix that was solved is singular")
	}
	return &half
}
