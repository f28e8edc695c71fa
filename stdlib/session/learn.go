package session

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// drift is by how much the rate of all laps may change from one session to the
// next, as a factor: pitch hardens, slurry ages, the room is warmer. Common
// practice, no source.
const drift = 1.1

// A Learned is what works tell of the rates. It does not change.
type Learned struct {
	prior wear.Rate
	laps  []*lap.Lap
	ln    []float64 // after all works, common rate first
	cov   *mat.SymDense
}

// Learn learns the rates of the laps from works, the oldest first. What is known
// before is rate; what a work teaches is what is known before the next.
//
// The figure before a work, with its doubt, foretells what the zones should read
// after it for any rates; the readings taken say which rates are likely. The
// logarithms of the rates are normal beforehand, common to all laps and of each
// (see wear.Rate), and to first order afterwards: the likeliest rates are found by
// Gauss and Newton's method, and the doubt is that of the linear problem there. The
// doubt of the figure, the scatter of the readings and 10 % doubt in the shape of
// each profile are in it.
//
// It stops the recipe where there is no work, where a work lacks its figure,
// readings or spells, where a spell cannot have been worked, where figure and
// readings are of different mirrors, and where the rate is exact: then there is
// nothing to learn.
func Learn(rate wear.Rate, works ...Work) *Learned {
	const call = "session.Learn"
	checkRate(call, rate)
	if rate.Factor == 1 {
		host.Stopf(call, "the rate is %v, which is exact; give a Factor above 1 to learn from", rate)
	}
	if len(works) == 0 {
		host.Stopf(call, "there is no work to learn from")
	}
	l := &Learned{prior: rate}
	for i, w := range works {
		which := fmt.Sprintf("work %d", i+1)
		if len(works) == 1 {
			which = "the work"
		}
		w.check(call, which)
		for _, s := range w.Spells {
			if !slices.Contains(l.laps, s.Lap) {
				l.laps = append(l.laps, s.Lap)
			}
		}
	}
	for i, w := range works {
		if i > 0 {
			rate = l.Rate()
		}
		s := see(w, l.laps)
		ln, cov := rate.Joint(l.laps...)
		l.ln, l.cov, _ = s.learn(ln, cov)
	}
	return l
}

// Rate returns what is known of the rates for the next session: that of the laps
// worked, and of any other lap from what all have in common. From one session to
// the next all may change by a factor of 1.1, which is in its doubt.
func (l *Learned) Rate() wear.Rate {
	cov := mat.NewSymDense(len(l.ln), nil)
	d := math.Log(drift)
	for i := range l.ln {
		for j := i; j < len(l.ln); j++ {
			cov.SetSym(i, j, l.cov.At(i, j)+d*d)
		}
	}
	return wear.Learned(l.laps, l.ln, cov)
}

// learn returns the logarithms of the rates and their covariance after the work,
// from those before it, and how well it all goes together.
func (s *seen) learn(ln0 []float64, cov0 *mat.SymDense) (ln []float64, cov *mat.SymDense, f fit) {
	ln = slices.Clone(ln0)
	n := len(ln)
	var gain mat.Dense
	var change *mat.Dense
	for range 200 {
		var left *mat.VecDense
		var noise *mat.SymDense
		left, change, noise = s.left(ln)
		// Linear about ln: 0 = left + change·(x - ln) + noise, x normal about ln0.
		var half mat.Dense
		half.Mul(change, cov0)
		addCongruent(noise, change, cov0)
		var chol mat.Cholesky
		if !chol.Factorize(noise) {
			panic("session: the covariance of readings is not positive")
		}
		var back mat.Dense
		must(chol.SolveTo(&back, &half))
		gain.CloneFrom(back.T())
		miss := mat.NewVecDense(n, nil)
		for i := range ln {
			miss.SetVec(i, ln0[i]-ln[i])
		}
		var y, x, solved mat.VecDense
		y.MulVec(change, miss)
		y.AddVec(&y, left)
		x.MulVec(&gain, &y)
		must(chol.SolveVecTo(&solved, &y))
		f = fit{square: mat.Dot(&y, &solved), logDet: chol.LogDet(), left: &y, solved: &solved, chol: &chol}
		far := 0.0
		for i := range ln {
			step := ln0[i] - x.AtVec(i) - ln[i]
			step = math.Max(-0.7, math.Min(0.7, step)) // far off, e^x bends
			ln[i] += step
			far = math.Max(far, math.Abs(step))
		}
		if far < 1e-10 {
			break
		}
	}
	var less mat.Dense
	less.Mul(&gain, change)
	less.Mul(&less, cov0)
	cov = mat.NewSymDense(n, nil)
	for i := range ln {
		for j := i; j < n; j++ {
			cov.SetSym(i, j, cov0.At(i, j)-(less.At(i, j)+less.At(j, i))/2)
		}
	}
	return ln, cov, f
}

// checkRate stops the recipe where a rate is none.
func checkRate(call string, r wear.Rate) {
	if !(r.K > 0 && r.K < 1) {
		host.StopArg(call, "Rate.K", r.K, "above 0, like 5e-13 m²/N")
	}
	if !(r.Factor >= 1 && r.Factor <= 100) {
		host.StopArg(call, "Rate.Factor", fmt.Sprintf("%.4g", r.Factor), "from 1 (exact) to 100")
	}
}

// A fit is how well readings go with what was known before them: left is what is
// left of the readings at the rates as known before, with the covariance chol.
type fit struct {
	square float64 // left·chol⁻¹·left
	logDet float64
	left   *mat.VecDense
	solved *mat.VecDense // chol⁻¹·left
	chol   *mat.Cholesky
}

// evidence is the logarithm of the chance of the readings, but for a constant.
func (f fit) evidence() float64 { return -(f.square + f.logDet) / 2 }

// must panics where a matrix that was factored cannot be solved.
func must(err error) {
	if err != nil {
		panic("session: " + err.Error())
	}
}

// A LapRate is what was learned of one lap.
type LapRate struct {
	Lap    *lap.Lap
	Before wear.Rate // as known before all works
	After  wear.Rate // as the works tell it
	Own    bool      // whether they tell it apart: they halve the doubt about its ratio to that of any other lap that worked
}

// Laps returns what was learned of each lap that worked, in the order they first did.
func (l *Learned) Laps() []LapRate {
	_, before := l.prior.Joint(l.laps...)
	now := wear.Learned(l.laps, l.ln, l.cov)
	ratio := func(cov *mat.SymDense, i, j int) float64 { return cov.At(i, i) + cov.At(j, j) - 2*cov.At(i, j) }
	var list []LapRate
	for i, p := range l.laps {
		own := len(l.laps) > 1
		for j := range l.laps {
			own = own && (i == j || ratio(l.cov, i+1, j+1) < ratio(before, i+1, j+1)/4)
		}
		list = append(list, LapRate{Lap: p, Before: l.prior.Of(p), After: now.Of(p), Own: own})
	}
	return list
}

// Common returns what was known before of the rate all laps have in common, and
// what is known after.
func (l *Learned) Common() (before, after wear.Rate) {
	return wear.Rate{K: l.prior.K, Factor: l.prior.Factor}, wear.Rate{
		K: unit.Preston(elementary.Exp(l.ln[0])), Factor: elementary.Exp(math.Sqrt(l.cov.At(0, 0))),
	}
}

// String says what is known of the rates after all works.
func (l *Learned) String() string { return l.Rate().String() }
