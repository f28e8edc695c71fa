package session

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
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
// (see wear.Rate), and to first order afterwards: the likeliest rates are found, and
// the doubt is that of the linear problem there. The doubt of the figure, the scatter
// of the readings and 10 % doubt in the shape of each profile are in it; where no rates
// explain the readings it is widened until some do, so that a work gone wrong teaches
// little. Compare says whether it has.
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
		l.ln, l.cov, _ = s.learn(ln, cov, true)
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
//
// The doubt of the shapes grows with the rates. It is held while the likeliest rates
// are looked for, and taken anew at those found; were it to follow them on the way, the
// search could run off to where nothing is worn and nothing in doubt.
//
// Where it is wary and no rates explain the readings, all their doubt is widened until
// they go together: χ² is then no more than its degrees of freedom (Birge 1932, Phys.
// Rev. 40, 207 [from memory]).
func (s *seen) learn(ln0 []float64, cov0 *mat.SymDense, wary bool) (ln []float64, cov *mat.SymDense, f fit) {
	ln = slices.Clone(ln0)
	var l linear
	wider := 1.0
	for range 5 {
		_, _, noise := s.left(ln)
		noise.ScaleSym(wider, noise)
		l = s.likeliest(ln, ln0, cov0, noise)
		if n := len(s.off); wary && n > 1 {
			wider = math.Max(1, wider*(l.square-s.shift(l.fit))/float64(n-1))
		}
	}
	n := len(ln)
	var less mat.Dense
	less.Mul(l.gain, l.change)
	less.Mul(&less, cov0)
	cov = mat.NewSymDense(n, nil)
	for i := range ln {
		for j := i; j < n; j++ {
			cov.SetSym(i, j, cov0.At(i, j)-(less.At(i, j)+less.At(j, i))/2)
		}
	}
	return ln, cov, l.fit
}

// A linear is the problem about some rates.
type linear struct {
	fit
	gain, change *mat.Dense
}

// likeliest moves ln to the likeliest rates for readings with that noise, by Gauss
// and Newton's method with steps that are halved until they help.
func (s *seen) likeliest(ln, ln0 []float64, cov0, noise *mat.SymDense) (l linear) {
	held := mat.NewSymDense(len(ln), nil) // where a rate is exact it is held there
	held.CopySym(cov0)
	for i := range ln {
		held.SetSym(i, i, held.At(i, i)+1e-12)
	}
	scatter, prior := factored(noise), factored(held)
	unlikely := func(ln []float64) float64 {
		left, _, _ := s.left(ln)
		far := mat.NewVecDense(len(ln), nil)
		for i := range ln {
			far.SetVec(i, ln[i]-ln0[i])
		}
		return square(scatter, left) + square(prior, far)
	}
	now := unlikely(ln)
	for range 50 {
		var step []float64
		l, step = s.linear(ln, ln0, cov0, noise)
		moved := false
		for share := 1.0; share > 1e-4 && floats.Norm(step, math.Inf(1)) > 1e-10; share /= 2 {
			next := slices.Clone(ln)
			floats.AddScaled(next, share, step)
			if v := unlikely(next); v < now {
				copy(ln, next)
				now, moved = v, true
				break
			}
		}
		if !moved {
			break
		}
	}
	return l
}

// linear returns the problem linear about ln, and the step to where it would have
// the likeliest rates: 0 = left + change·(x - ln) + noise, x normal about ln0.
func (s *seen) linear(ln, ln0 []float64, cov0, noise *mat.SymDense) (l linear, step []float64) {
	left, change, _ := s.left(ln)
	all := mat.NewSymDense(len(s.off), nil)
	all.CopySym(noise)
	addCongruent(all, change, cov0)
	chol := factored(all)
	var half, back mat.Dense
	half.Mul(change, cov0)
	must(chol.SolveTo(&back, &half))
	l.change, l.gain = change, mat.DenseCopyOf(back.T())
	miss := mat.NewVecDense(len(ln), nil)
	for i := range ln {
		miss.SetVec(i, ln0[i]-ln[i])
	}
	var y, x, solved mat.VecDense
	y.MulVec(change, miss)
	y.AddVec(&y, left)
	x.MulVec(l.gain, &y)
	must(chol.SolveVecTo(&solved, &y))
	l.fit = fit{square: mat.Dot(&y, &solved), logDet: chol.LogDet(), solved: &solved, chol: chol}
	for i := range ln {
		step = append(step, ln0[i]-x.AtVec(i)-ln[i])
	}
	return l, step
}

// A fit is how well readings go with what was known before them: what is left of the
// readings at the rates as known before has the covariance chol.
type fit struct {
	square float64 // left·chol⁻¹·left
	logDet float64
	solved *mat.VecDense // chol⁻¹·left
	chol   *mat.Cholesky
}

// evidence is the logarithm of the chance of the readings, but for a constant.
func (f fit) evidence() float64 { return -(f.square + f.logDet) / 2 }

// factored returns the factor of a covariance.
func factored(cov *mat.SymDense) *mat.Cholesky {
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		panic("session: a covariance is not positive")
	}
	return &chol
}

// square returns v·cov⁻¹·v.
func square(cov *mat.Cholesky, v *mat.VecDense) float64 {
	var solved mat.VecDense
	must(cov.SolveVecTo(&solved, v))
	return mat.Dot(v, &solved)
}

// must panics where a matrix that was factored cannot be solved.
func must(err error) {
	if err != nil {
		panic("session: " + err.Error())
	}
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
