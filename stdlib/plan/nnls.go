package plan

import (
	"math"
	"slices"
)

// A quadratic is x·Q·x - 2 b·x in n unknowns, with Q positive semi-definite and
// nothing on its diagonal zero. The least squares of A·x - y are Q = AᵀA and
// b = Aᵀy, less the constant |y|². The b is given where the quadratic is used.
type quadratic struct {
	n int
	q []float64 // n×n, by rows
}

func (q *quadratic) row(c int) []float64 { return q.q[c*q.n : (c+1)*q.n] }

// A box finds where a quadratic is least with every unknown between zero and a
// cap. The same box serves many problems, to spare their memory.
type box struct {
	q     *quadratic
	cols  []int     // the unknowns in use, rising; the others are zero
	b     []float64 // for each of cols, as are the next
	cap   []float64
	x     []float64 // the answer
	fall  []float64 // b - Q·x: half of how the quadratic falls with x
	scale []float64 // 1/√Q
	state []state
	free  []int     // places in cols of those between the bounds, in the order they came
	full  []int     // places in cols of those at the cap
	l     []float64 // Cholesky factor of Q on free
	z     []float64 // for free: where the quadratic is least without bounds
}

// A state says where an unknown lies.
type state uint8

const (
	empty  state = iota // at zero
	free                // between the bounds
	full                // at the cap
	barred              // at zero, and too nearly a sum of the free ones to join them
)

// begin takes up a problem: the quadratic q with b and a cap for each of the
// unknowns cols. It starts from x where that has the length of cols, and from
// zero where not.
func (s *box) begin(q *quadratic, cols []int, b, cap []float64) {
	s.q, s.cols, s.b, s.cap = q, cols, b, cap
	if len(s.x) != len(cols) {
		s.x = append(s.x[:0], make([]float64, len(cols))...)
	}
	s.free, s.full, s.state, s.scale, s.l = s.free[:0], s.full[:0], s.state[:0], s.scale[:0], s.l[:0]
	for i, c := range cols {
		s.scale = append(s.scale, 1/math.Sqrt(q.row(c)[c]))
		s.state = append(s.state, empty)
		switch {
		case s.x[i] >= cap[i]:
			s.x[i], s.state[i] = cap[i], full
			s.full = append(s.full, i)
		case s.x[i] > 0 && !s.release(i):
			s.x[i], s.state[i] = 0, empty
		}
	}
	s.settle()
}

// descend lowers the quadratic until no unknown that could go on makes it fall by
// more than enough, each measured so that its own Q is 1. It returns the greatest
// such fall that is left.
//
// This is the active set method of Lawson and Hanson, Solving Least Squares
// Problems, 1974, chapter 23 [from memory], on the normal equations, with the
// upper bound treated like the lower one.
func (s *box) descend(enough float64) (left float64) {
	// Each round lowers the quadratic, so the rounds end; the count is there for
	// the sake of rounding.
	for range 3*len(s.cols) + 10 {
		s.slope()
		at := -1
		left = 0
		for i, v := range s.fall {
			v *= s.scale[i]
			if s.state[i] == empty && v > left || s.state[i] == full && -v > left {
				left, at = math.Abs(v), i
			}
		}
		if left <= enough {
			break
		}
		if s.release(at) {
			s.settle()
		}
	}
	return left
}

// release lets the unknown at place i of cols move. It reports whether it can:
// whether its column is independent of the free ones.
func (s *box) release(i int) bool {
	s.free = append(s.free, i)
	if !s.factor(len(s.free) - 1) {
		s.free = s.free[:len(s.free)-1]
		s.state[i] = barred
		return false
	}
	if k := slices.Index(s.full, i); k >= 0 {
		s.full = slices.Delete(s.full, k, k+1)
	}
	s.state[i] = free
	return true
}

// slope sets fall.
func (s *box) slope() {
	s.fall = append(s.fall[:0], s.b...)
	for _, set := range [2][]int{s.free, s.full} {
		for _, j := range set {
			row, x := s.q.row(s.cols[j]), s.x[j]
			for i, c := range s.cols {
				s.fall[i] -= row[c] * x
			}
		}
	}
}

// settle moves the free unknowns to where the quadratic is least. One that
// meets a bound on the way stays there and is free no more.
func (s *box) settle() {
	for len(s.free) > 0 {
		s.solve()
		step, stops := 1.0, -1
		for k, i := range s.free {
			x, z := s.x[i], s.z[k]
			bound := 0.0
			if z > 0 {
				if z < s.cap[i] {
					continue
				}
				bound = s.cap[i]
			}
			t := 0.0
			if x != bound {
				t = (bound - x) / (z - x)
			}
			if stops < 0 || t < step {
				step, stops = t, k
			}
		}
		for k, i := range s.free {
			s.x[i] += step * (s.z[k] - s.x[i])
		}
		if stops < 0 {
			return
		}
		i := s.free[stops]
		s.free = slices.Delete(s.free, stops, stops+1)
		if s.z[stops] > 0 {
			s.x[i], s.state[i] = s.cap[i], full
			s.full = append(s.full, i)
		} else {
			s.x[i], s.state[i] = 0, empty
		}
		for j, st := range s.state { // what was barred may be independent now
			if st == barred {
				s.state[j] = empty
			}
		}
		s.factor(stops)
	}
}

// factor makes the Cholesky factor from row first on; the rows before are right.
// It reports whether the columns are independent enough.
func (s *box) factor(first int) bool {
	s.l = s.l[:first*(first+1)/2]
	for k := first; k < len(s.free); k++ {
		row := s.q.row(s.cols[s.free[k]])
		s.z = s.z[:0]
		for _, j := range s.free[:k+1] {
			s.z = append(s.z, row[s.cols[j]])
		}
		s.l = extend(s.l, s.z)
		last := &s.l[len(s.l)-1]
		if *last <= 1e-12*s.z[k] {
			return false
		}
		*last = math.Sqrt(*last)
	}
	return true
}

// solve sets z.
func (s *box) solve() {
	s.z = s.z[:0]
	for _, i := range s.free {
		v := s.b[i]
		row := s.q.row(s.cols[i])
		for _, j := range s.full {
			v -= row[s.cols[j]] * s.x[j]
		}
		s.z = append(s.z, v)
	}
	forward(s.l, s.z)
	back(s.l, s.z)
}

// extend adds a row to the lower Cholesky factor l, packed by rows, of a matrix
// whose next row is given up to its diagonal. The last entry it adds is still
// squared: the caller sees whether it is fit to take the root of.
func extend(l, row []float64) []float64 {
	start := len(l)
	for j, v := range row {
		above := j * (j + 1) / 2
		for k := range j {
			v -= l[start+k] * l[above+k]
		}
		if j < len(row)-1 {
			v /= l[above+j]
		}
		l = append(l, v)
	}
	return l
}

// forward solves L·x = z in place.
func forward(l, z []float64) {
	for i := range z {
		row := l[i*(i+1)/2:]
		for k := range i {
			z[i] -= row[k] * z[k]
		}
		z[i] /= row[i]
	}
}

// back solves Lᵀ·x = z in place.
func back(l, z []float64) {
	for i := len(z) - 1; i >= 0; i-- {
		row := l[i*(i+1)/2:]
		z[i] /= row[i]
		for k := range i {
			z[k] -= row[k] * z[i]
		}
	}
}
