package plan

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// rateSamples is how many rates Chance draws, with a fixed seed. They tell a
// chance to about half of a hundredth.
const rateSamples = 4000

// Chance returns the chance that the rms of the surface, piston and focus out,
// is smaller after the plan than before, for all the figure and the rates may be.
//
// At given rates the fall of the mean square, 2 E·R - R·R for what is removed R,
// is linear in the figure E and so normal; that chance is exact, and its mean
// over drawn rates is taken.
func (p *Plan) Chance() float64 {
	if len(p.spells) == 0 {
		return 0
	}
	m := p.before.Mirror()
	w := figure.Weights(m)
	before := p.before.Refocused()
	e, cov := before.Heights(), before.Covariance()
	// By lap: the mean of E·R, R·R', and the covariance of E·R with E·R'.
	n := p.laps
	first, second, vary := make([]float64, n), mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	removed := make([][]float64, n)
	for k, d := range p.byLap() {
		removed[k] = figure.New(m, d, nil).Refocused().Heights()
		floats.Mul(removed[k], w)
		first[k] = floats.Dot(removed[k], e)
	}
	for k := range removed {
		for j := range k + 1 {
			sum := 0.0
			for i := range w {
				if w[i] > 0 {
					sum += removed[k][i] * removed[j][i] / w[i]
				}
			}
			second.SetSym(k, j, sum)
			if cov != nil {
				vary.SetSym(k, j, mat.Inner(mat.NewVecDense(len(w), removed[k]), cov, mat.NewVecDense(len(w), removed[j])))
			}
		}
	}
	random := rand.New(rand.NewPCG(1, 0x706c616e))
	factor, sum := p.doubt.factor(), 0.0
	rate := mat.NewVecDense(n, nil) // over the medians
	drawn := make([]float64, n)
	for range rateSamples {
		for k := range drawn {
			drawn[k] = random.NormFloat64()
		}
		for k, row := range factor {
			rate.SetVec(k, elementary.Exp(floats.Dot(row, drawn)))
		}
		fall := 2*floats.Dot(rate.RawVector().Data, first) - mat.Inner(rate, second, rate)
		sum += normal(fall, 4*mat.Inner(rate, vary, rate))
	}
	return sum / rateSamples
}

// normal returns the chance that a normal with that mean and variance is above 0.
func normal(mean, variance float64) float64 {
	switch {
	case variance > 0:
		return 0.5 * elementary.Erfc(-mean/math.Sqrt(2*variance))
	case mean > 0:
		return 1
	}
	return 0
}

// Low returns where the surface is most likely to end more than depth below its
// mean level, piston and focus out, and the chance of that, taking heights as
// normal. The mirror is looked at in 32 rings of equal width. It stops the recipe
// where depth is not from 0 to a millimetre.
func (p *Plan) Low(depth unit.Length) (at unit.Length, chance float64) {
	if !(depth >= 0 && depth <= unit.MM) {
		host.StopArg("Plan.Low", "depth", depth, "from 0 to 1 mm")
	}
	l := p.loss(1)
	whole := all(len(p.spells))
	l.price(whole, once(whole))
	r := figure.Grid(p.before.Mirror())
	for g := range rings {
		mean, variance := l.left(g)
		if c := normal(-mean-float64(depth/unit.NM), variance); c > chance || g == 0 {
			chance = c
			at = unit.Length(r[(2*g+1)*(len(r)-1)/(2*rings)])
		}
	}
	return at, chance
}
