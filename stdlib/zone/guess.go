package zone

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"lapwright/stdlib/elementary"
)

// How much of each part of the prior a mirror has is not known. It is guessed
// from lists, with the chance of each guess before the readings are looked at,
// and the readings give each its weight.
//
// Smooth error and detail have a standard deviation of half-Cauchy chance, which
// is flat towards nothing and has a long tail (Gelman 2006, Bayesian Analysis 1,
// 515 [from memory]): half of all mirrors have less than the scale here once
// their conic is set right, many have none worth the name, and some ten times as
// much. Three in ten have a rolled edge of any width and of the heights listed,
// as standard deviations. The scales are set so that the bands hold mirrors of
// many kinds as often as they say, see the tests; they are not those of any one
// maker's mirrors.
const (
	smoothScale = 2.5e-9
	detailScale = 0.5e-9
	rollChance  = 0.3
	guessRatio  = 3 // from one guess at a standard deviation to the next
)

var rollHeights = [...]float64{15e-9, 50e-9, 150e-9}

// A guess is one way the mirror and the readings may be, its chance given the
// readings, and what follows from it.
type guess struct {
	shares []share
	noise  float64 // variance of the readings over what the sets gave
	chance float64 // its logarithm until all are weighed

	alpha   *mat.VecDense // S⁻¹y, S the covariance of the readings y
	inverse *mat.SymDense // S⁻¹
}

// A share is how much there is of a part: its variance over that of one unit.
type share struct {
	part     int
	variance float64
}

// guesses lists all guesses without a rolled edge. The scatter of the readings
// is known from so many free ones: its variance is taken at the middles of equal
// shares of the scaled inverse χ² distribution.
func guesses(free float64) []guess {
	const steps = 3
	chi := distuv.ChiSquared{K: free}
	var list []guess
	for n := range steps {
		noise := free / chi.Quantile((float64(n)+0.5)/steps)
		for length := range smoothLengths {
			for s := 0.7e-9; s < 2e-6; s *= guessRatio {
				for d := 0.3e-9; d < 30e-9; d *= guessRatio {
					list = append(list, guess{
						shares: []share{{broad, 1}, {detail, d * d}, {smooth + length, s * s}},
						noise:  noise,
						chance: halfCauchy(s/smoothScale) + halfCauchy(d/detailScale),
					})
				}
			}
		}
	}
	return list
}

// halfCauchy is the logarithm of the chance of x among values in equal ratios,
// but for a constant.
func halfCauchy(x float64) float64 { return math.Log(x / (1 + x*x)) }

// faint is how far below the best guess's a chance's logarithm may lie before
// the guess does not count.
const faint = 7

// weigh returns the guesses that count given the readings y, chances summing to 1.
//
// A rolled edge adds the variance v·hhᵀ to S, so that each guess of one follows
// from the guess without: with u = S⁻¹h, q = hᵀu and t = v/(1+vq) the inverse
// loses t·uuᵀ and the logarithm of the determinant grows by ln(1+vq).
func (b *bayes) weigh(y *mat.VecDense) []guess {
	n := y.Len()
	var rolls [len(rollWidths)]*mat.VecDense // h of each width
	for i := range rolls {
		rolls[i] = mat.NewVecDense(n, mat.Col(nil, firstRoll+i, b.h))
	}
	without := math.Log(1 - rollChance)
	with := math.Log(rollChance / float64(len(rollWidths)*len(rollHeights)))

	var list []guess
	top := math.Inf(-1)
	s, u := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for _, g := range b.guesses {
		s.ScaleSym(g.noise, b.noise)
		for _, p := range g.shares {
			addScaled(s, p.variance, b.spread[p.part])
		}
		var chol mat.Cholesky
		if !chol.Factorize(s) {
			continue // cannot be: the noise alone is positive
		}
		inverse, alpha := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
		if err := chol.InverseTo(inverse); err != nil {
			continue
		}
		alpha.MulVec(inverse, y)
		likelihood := g.chance - (mat.Dot(y, alpha)+chol.LogDet())/2
		top = math.Max(top, likelihood+without)
		if likelihood+without > top-faint {
			list = append(list, guess{g.shares, g.noise, likelihood + without, alpha, inverse})
		}
		for i, h := range rolls {
			u.MulVec(inverse, h)
			q, along := mat.Dot(h, u), mat.Dot(u, y)
			for _, height := range rollHeights {
				v := height * height
				t := v / (1 + v*q)
				chance := likelihood + with + (t*along*along-math.Log1p(v*q))/2
				top = math.Max(top, chance)
				if chance < top-faint {
					continue
				}
				a, inv := mat.NewVecDense(n, nil), mat.NewSymDense(n, nil)
				a.AddScaledVec(alpha, -t*along, u)
				inv.SymRankOne(inverse, -t, u)
				shares := append(append([]share(nil), g.shares...), share{rolled + i, v})
				list = append(list, guess{shares, g.noise, chance, a, inv})
			}
		}
	}
	kept, sum := list[:0], 0.0
	for _, g := range list {
		if g.chance > top-faint {
			g.chance = elementary.Exp(g.chance - top)
			sum += g.chance
			kept = append(kept, g)
		}
	}
	for i := range kept {
		kept[i].chance /= sum
	}
	return kept
}

// addScaled adds f·a to s.
func addScaled(s *mat.SymDense, f float64, a *mat.SymDense) {
	to, from := s.RawSymmetric(), a.RawSymmetric()
	for i := range to.N {
		row := from.Data[i*from.Stride : i*from.Stride+from.N]
		for j := i; j < to.N; j++ {
			to.Data[i*to.Stride+j] += f * row[j]
		}
	}
}
