package plan

import "math"

// A walk runs through whole turns of some columns.
//
// Where the quadratic below the loss (see touch) is least, at x, the loss of any
// turns n is at least that least and (n-x)·Q·(n-x). So only turns within an
// ellipsoid about x can beat the best plan so far. They are run through one
// unknown after the other, the last first, each from the middle of what the
// ellipsoid leaves it outwards (Fincke and Pohst 1985, Schnorr and Euchner 1994
// [from memory]).
type walk struct {
	*search
	cols  []int
	x     []float64
	least float64
	l     []float64 // Cholesky factor of Q on cols
	n     []float64 // whole
	room  int       // plans that may still be tried
}

// whole tries whole turns of cols, as many plans as there is room for, and keeps
// the best. It reports whether it has tried all that could be better.
func (s *search) whole(cols []int, room int) bool {
	r := relaxation{cols: cols, x: make([]float64, len(cols)), bound: math.Inf(-1)}
	w := walk{search: s, cols: cols, n: make([]float64, len(cols)), room: room}
	w.least = s.relax(&r, true)
	w.x = append(w.x, s.box.x...)
	for i, c := range cols {
		var row []float64
		for _, d := range cols[:i+1] {
			row = append(row, s.row(c)[d])
		}
		w.l = extend(w.l, row)
		last := &w.l[len(w.l)-1]
		*last = math.Sqrt(math.Max(*last, 1e-13*row[i])) // above zero whatever rounding did
	}
	w.step(len(cols)-1, 0)
	return w.room > 0
}

// step runs through the turns of column i and those before it. The columns
// after it have theirs, which make up far of (n-x)·Q·(n-x) = |Lᵀ(n-x)|².
func (w *walk) step(i int, far float64) {
	if i < 0 {
		w.try()
		return
	}
	diagonal := w.l[i*(i+1)/2+i]
	middle := w.x[i]
	for k := i + 1; k < len(w.cols); k++ {
		middle -= w.l[k*(k+1)/2+i] * (w.n[k] - w.x[k]) / diagonal
	}
	most, least := w.most(w.cols[i]), float64(w.limits.least[w.cols[i]])
	up := math.Min(math.Max(math.Ceil(middle), 0), most)
	down := up - 1
	for w.room > 0 && (up <= most || down >= 0) {
		n := up
		if down >= 0 && (up > most || middle-down < up-middle) {
			n = down
			down--
		} else {
			up++
		}
		off := diagonal * (n - middle)
		if w.worse(w.least + far + off*off) {
			return
		}
		if n == 0 || n >= least {
			w.n[i] = n
			w.step(i-1, far+off*off)
		}
	}
}

// try holds the turns against the best plan so far.
func (w *walk) try() {
	w.room--
	a := answer{}
	var x []float64
	time := 0.0
	for i, c := range w.cols {
		if n := w.n[i]; n > 0 {
			a.cols, a.turns, x = append(a.cols, c), append(a.turns, int(n)), append(x, n)
			time += n * w.limits.period[c]
		}
	}
	if time > w.limits.time {
		return
	}
	a.loss = w.at(a.cols, x)
	w.offer(a)
}
