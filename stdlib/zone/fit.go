package zone

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// How much what is known beforehand counts, in free readings: the scatter that
// is thought of before looking, against that of all readings; and the scatter
// of all, against that of one zone.
const (
	priorFree = 4
	zoneFree  = 6
)

// A fit is the least-squares solution of reading = mean of the zone + zero of
// the set + scatter, with a scatter for each zone. Means and zeros are known up
// to one common shift.
type fit struct {
	mean     []float64     // of each zone
	cov      *mat.SymDense // of the means, without their common shift
	zero     []float64     // of each set
	shape    []float64     // how much more than scatter one reading of each zone is thought to scatter
	variance []float64     // of one reading of each zone
	scatter  float64       // of one reading, over all zones
	free     int           // readings beyond those that fix means and zeros
	squares  []float64     // of the residuals of each zone over its shape, summed
	taken    []int         // readings of each zone that count
	use      [][]bool      // which readings of each set count; suspects never do here
	suspects []suspect
	joined   bool // all zones can be compared
}

type suspect struct {
	set, zone  int
	off, moves float64
}

// newFit fits the sets. It looks for suspects one by one, the worst first, and
// leaves them out of the fit where leaveOut is set.
func newFit(sets []set, shape []float64, prior float64, leaveOut bool) fit {
	zones := len(shape)
	use := make([][]bool, len(sets))
	total := 0
	for s := range sets {
		use[s] = make([]bool, zones)
		for i, v := range sets[s].values {
			if use[s][i] = !math.IsNaN(v); use[s][i] {
				total++
			}
		}
	}
	all := solve(sets, use, shape, prior)
	best := all
	var found []suspect
	for len(found) < total/10 && best.joined {
		s, ok := best.worst(sets, use, prior)
		if !ok {
			break
		}
		use[s.set][s.zone] = false
		next := solve(sets, use, shape, prior)
		if !next.joined {
			use[s.set][s.zone] = true
			break
		}
		best = next
		found = append(found, s)
	}
	// How far each is off, and what it moves, by the fit without all of them.
	for n := range found {
		s := &found[n]
		s.off = sets[s.set].values[s.zone] - best.zero[s.set] - best.mean[s.zone]
		s.moves = s.off / float64(best.taken[s.zone]+1)
	}
	if !leaveOut {
		best = all
	}
	best.suspects = found
	return best
}

// weight is the weight of zone i in means over zones.
func (f *fit) weight(i int) float64 { return float64(f.taken[i]) / f.variance[i] }

// solve fits means and zeros by weighted least squares. Weights follow from the
// scatter of the zones and that from the residuals, so it goes round a few times.
func solve(sets []set, use [][]bool, shape []float64, prior float64) fit {
	zones := len(shape)
	f := fit{
		shape: shape, use: use,
		mean: make([]float64, zones), zero: make([]float64, len(sets)),
		variance: make([]float64, zones), taken: make([]int, zones), scatter: prior, joined: true,
	}
	total, used := 0, 0
	for s := range sets {
		n := 0
		for i := range zones {
			if use[s][i] {
				f.taken[i]++
				n++
			}
		}
		total += n
		if n > 0 {
			used++
		}
	}
	f.free = total - zones - used + 1
	for i := range f.variance {
		f.variance[i] = prior * prior * shape[i] * shape[i]
	}
	rounds := 4
	if f.free == 0 {
		rounds = 1 // nothing to learn about the scatter
	}
	for range rounds {
		if f.joined = f.leastSquares(sets, use); !f.joined {
			return f
		}
		f.scatters(sets, use, prior)
	}
	return f
}

// leastSquares solves for means and zeros with the variances as they are. With
// the zeros eliminated the normal equations of the means are
//
//	M μ = b,  M = Σ_s (W_s - W_s 1 1ᵀ W_s / 1ᵀ W_s 1),
//
// singular along 1, the common shift. Adding 1 1ᵀ·tr(M)/n² makes the solution
// the one whose means sum to 0 and the inverse, less the same, their covariance.
func (f *fit) leastSquares(sets []set, use [][]bool) bool {
	n := len(f.mean)
	m := mat.NewSymDense(n, nil)
	b := mat.NewVecDense(n, nil)
	for s, one := range sets {
		sum, middle := 0.0, 0.0
		for i, v := range one.values {
			if use[s][i] {
				sum += 1 / f.variance[i]
				middle += v / f.variance[i]
			}
		}
		if sum == 0 {
			continue
		}
		middle /= sum
		for i, v := range one.values {
			if !use[s][i] {
				continue
			}
			wi := 1 / f.variance[i]
			b.SetVec(i, b.AtVec(i)+wi*(v-middle))
			m.SetSym(i, i, m.At(i, i)+wi)
			for j := i; j < n; j++ {
				if use[s][j] {
					m.SetSym(i, j, m.At(i, j)-wi/f.variance[j]/sum)
				}
			}
		}
	}
	shift := 0.0
	for i := range n {
		shift += m.At(i, i)
	}
	shift /= float64(n * n)
	for i := range n {
		for j := i; j < n; j++ {
			m.SetSym(i, j, m.At(i, j)+shift)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(m) || chol.Cond() > 1e12 {
		return false
	}
	var mean mat.VecDense
	if err := chol.SolveVecTo(&mean, b); err != nil {
		return false
	}
	f.cov = mat.NewSymDense(n, nil)
	if err := chol.InverseTo(f.cov); err != nil {
		return false
	}
	common := 1 / (shift * float64(n*n))
	for i := range n {
		f.mean[i] = mean.AtVec(i)
		for j := i; j < n; j++ {
			f.cov.SetSym(i, j, f.cov.At(i, j)-common)
		}
	}
	for s, one := range sets {
		sum, zero := 0.0, 0.0
		for i, v := range one.values {
			if use[s][i] {
				sum += 1 / f.variance[i]
				zero += (v - f.mean[i]) / f.variance[i]
			}
		}
		if sum > 0 {
			f.zero[s] = zero / sum
		}
	}
	return true
}

// scatters finds the scatter of all readings and of each zone from the
// residuals.
func (f *fit) scatters(sets []set, use [][]bool, prior float64) {
	f.squares = make([]float64, len(f.mean))
	for s, one := range sets {
		for i, v := range one.values {
			if use[s][i] {
				r := v - f.zero[s] - f.mean[i]
				f.squares[i] += r * r / (f.shape[i] * f.shape[i])
			}
		}
	}
	pooled := f.pooled(prior, 0, 0)
	f.scatter = math.Sqrt(pooled)
	for i := range f.variance {
		f.variance[i] = f.ofZone(i, pooled, 0, 0)
	}
}

// pooled is the mean square of the residuals of all zones per free reading,
// drawn towards what was thought of before, with as many readings left out and
// as much taken from the squares.
func (f *fit) pooled(prior, out, squares float64) float64 {
	all := 0.0
	for _, v := range f.squares {
		all += v
	}
	return (priorFree*prior*prior + all - squares) / (priorFree + float64(f.free) - out)
}

// ofZone is the variance of a reading of one zone, drawn towards that of all.
func (f *fit) ofZone(i int, pooled, out, squares float64) float64 {
	return f.shape[i] * f.shape[i] * (zoneFree*pooled + f.squares[i] - squares) / (zoneFree + f.kept()*float64(f.taken[i]) - out)
}

// kept is the share of the square of a reading's error that is left in its
// residual; the rest went into mean and zero.
func (f *fit) kept() float64 {
	total := 0
	for _, n := range f.taken {
		total += n
	}
	return float64(f.free) / float64(total)
}

// worst returns the reading that fits the others least, if chance alone would
// give such a one in fewer than one sheet of a hundred. Each residual is held
// against the scatter of the others.
func (f *fit) worst(sets []set, use [][]bool, prior float64) (w suspect, found bool) {
	total := 0
	for _, n := range f.taken {
		total += n
	}
	least := 0.01 / float64(total) // Bonferroni: a hundredth over all readings
	for s, one := range sets {
		sum := 0.0
		for i := range one.values {
			if use[s][i] {
				sum += 1 / f.variance[i]
			}
		}
		for i, v := range one.values {
			if !use[s][i] || f.taken[i] < 3 {
				continue
			}
			// The share of its own error that is left in the residual, squared: all but
			// what went into the zone's mean and the set's zero.
			kept := (1 - 1/float64(f.taken[i])) * (1 - 1/(f.variance[i]*sum))
			r := v - f.zero[s] - f.mean[i]
			own := math.Min(r*r/kept/(f.shape[i]*f.shape[i]), f.squares[i]) // what the squares lose without it
			variance := f.ofZone(i, f.pooled(prior, 1, own), 1, own)
			t := distuv.StudentsT{Sigma: 1, Nu: zoneFree + f.kept()*float64(f.taken[i]) - 1}
			if chance := 2 * t.Survival(math.Abs(r)/math.Sqrt(kept*variance)); chance < least {
				least, w, found = chance, suspect{set: s, zone: i}, true
			}
		}
	}
	return w, found
}
