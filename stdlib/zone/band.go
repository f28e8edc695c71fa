package zone

import (
	"math"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
)

// narrowing returns, for each radius of a grid, the half width of the band that
// holds the surface with a chance of 68 %, over the standard deviation there. A
// mixture of guesses has longer tails than a normal, so that its standard
// deviation is wider than the band it is taken for. It is found at some radii and
// taken as straight between them. The rows of phi are the terms at the radii.
func (b *bayes) narrowing(grid []float64, phi *mat.Dense, e []float64, cov *mat.SymDense, mix []guess) []float64 {
	const step = 8
	var at, ratio []float64
	for i := 0; i < len(grid); i += step {
		at = append(at, grid[i])
		ratio = append(ratio, b.heightMix(phi.RawRowView(i), e[i], mix).half(0.682689)/math.Sqrt(cov.At(i, i)))
	}
	var curve interp.PiecewiseLinear
	if err := curve.Fit(at, ratio); err != nil {
		panic("zone: the radii of a grid do not rise")
	}
	scale := make([]float64, len(grid))
	for i, r := range grid {
		scale[i] = curve.Predict(r)
	}
	return scale
}

// A heightMix is the chance of the height at one radius, a mixture of normals.
type heightMix []normal

type normal struct{ chance, mean, sigma float64 }

// heightMix returns the mixture at a radius where the terms are phi, its mean
// measured from e. Guesses that have less than a hundredth of the chance among
// them are left out.
func (b *bayes) heightMix(phi []float64, e float64, mix []guess) heightMix {
	n := b.means.Len()
	var own [numParts]float64     // variance of the height by one unit of each part
	var cross [numParts][]float64 // and its covariance with the readings
	for k, part := range b.prior.parts {
		var v mat.VecDense
		v.MulVec(b.seen[k], mat.NewVecDense(numTerms, phi))
		cross[k] = v.RawVector().Data
		for j, v := range part {
			own[k] += v * phi[j] * phi[j]
		}
	}
	least := 0.01 / float64(len(mix))
	list := make(heightMix, 0, len(mix))
	see := make([]float64, n) // covariance of height and readings
	for _, g := range mix {
		if g.chance < least {
			continue
		}
		clear(see)
		variance := 0.0
		for _, s := range g.shares {
			variance += s.variance * own[s.part]
			for i, v := range cross[s.part] {
				see[i] += s.variance * v
			}
		}
		mean, inverse := -e, g.inverse.RawSymmetric()
		for i, v := range see {
			row := inverse.Data[i*inverse.Stride : i*inverse.Stride+n]
			along := row[i] * v / 2
			for j := i + 1; j < n; j++ {
				along += row[j] * see[j]
			}
			variance -= 2 * v * along
			mean += v * g.alpha.AtVec(i)
		}
		list = append(list, normal{g.chance, mean, math.Sqrt(math.Max(variance, 1e-30))})
	}
	return list
}

// half returns h so that the height lies from -h to h with the given chance.
func (m heightMix) half(chance float64) float64 {
	total, low, high := 0.0, 0.0, 0.0
	for _, x := range m {
		total += x.chance
		high = math.Max(high, math.Abs(x.mean)+6*x.sigma)
	}
	h := 0.0
	for _, x := range m {
		h += x.chance / total * math.Hypot(x.mean, x.sigma)
	}
	// Newton's steps, halving the bracket where they leave it.
	for range 50 {
		inside, change := 0.0, 0.0
		for _, x := range m {
			a, b := (h-x.mean)/x.sigma, (h+x.mean)/x.sigma
			inside += x.chance * (elementary.Erf(a/math.Sqrt2) + elementary.Erf(b/math.Sqrt2)) / 2
			change += x.chance / x.sigma * (elementary.Exp(-a*a/2) + elementary.Exp(-b*b/2)) / math.Sqrt(2*math.Pi)
		}
		off := inside/total - chance
		if math.Abs(off) < 1e-5 {
			return h
		}
		if off < 0 {
			low = h
		} else {
			high = h
		}
		next := h - off*total/change
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		h = next
	}
	return h
}
