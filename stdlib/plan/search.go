package plan

import (
	"cmp"
	"container/heap"
	"math"
	"slices"
)

// A search finds the whole turns of a few columns that make a loss least, and
// proves it. It is a branch and bound over special ordered sets (Beale and
// Tomlin 1970 [from memory]): the columns stand in order, neighbours alike, and
// a node of the tree says how many spells each stretch of them may hold. Its
// bound is the least loss with any turns of any columns of its stretches, whole
// or not, which is a convex problem. Because turns cannot be negative, a stretch
// of like columns can do little that one of them cannot, and so bounds are close
// early. A node is split where its best uses more columns of a stretch than it
// may; the last ones hold one column for each spell, and whole turns are found
// for them by looking at all near the best.
type search struct {
	*loss
	limits searchLimits

	box   box
	queue queue
	made  int // nodes so far
	best  answer
	tie   float64
	work  float64 // by which one spell may change the figure at most, rms in nm
	left  float64 // least bound of what was given up unsearched
}

// searchLimits are what a plan must keep to.
type searchLimits struct {
	spells int       // at most
	laps   int       // at most, of those of the loss
	least  []int     // turns of a spell of each column
	most   int       // turns of any spell
	period []float64 // of a turn of each column, s
	time   float64   // at most, s; +Inf where free
	nodes  int       // made at most, then the search ends with what it has
}

// An answer is a plan found: turns of some columns, all above zero.
type answer struct {
	cols  []int
	turns []int
	loss  float64
}

// A node is a part of all plans: those with at most count spells in each span.
type node struct {
	number int
	bound  float64 // no plan of the node has a smaller loss
	touch  touch   // where the bounds of its children are taken from
	cols   []int   // all columns its root may use; spans count in it
	spans  []span
	at     []int // columns its relaxed best uses
	x      []float64
}

type span struct{ from, to, count int }

// like is how near two losses are, as a share of the loss without work, to be
// taken as the same. It is far above what the order of additions does, so that
// the same plan is found on every machine.
const like = 1e-9

// worse reports whether a bound leaves no room for a plan as good as the best.
func (s *search) worse(bound float64) bool { return bound > s.best.loss+s.tie }

// offer takes a plan for the best if it is better, or as good and simpler: with
// fewer spells, or with columns and turns that come first.
func (s *search) offer(a answer) {
	switch d := a.loss - s.best.loss; {
	case d > s.tie:
		return
	case d >= -s.tie:
		if cmp.Or(
			cmp.Compare(len(a.cols), len(s.best.cols)),
			slices.Compare(a.cols, s.best.cols),
			slices.Compare(a.turns, s.best.turns),
		) >= 0 {
			return
		}
	}
	s.best = a
}

// run returns the best plan found, and a loss that no plan can go below.
func (s *search) run() (best answer, bound float64) {
	s.best = answer{loss: s.at(nil, nil)}
	s.tie = like * s.best.loss
	s.work = 4 * math.Sqrt(s.best.loss)
	s.left = math.Inf(1)
	s.begin()
	for _, cols := range s.roots() {
		s.keep(&node{cols: cols, spans: []span{{0, len(cols), min(s.limits.spells, len(cols))}}, bound: math.Inf(-1)})
	}
	for len(s.queue) > 0 {
		n := heap.Pop(&s.queue).(*node)
		if s.worse(n.bound) {
			break // the first of the queue has the least bound
		}
		if s.made >= s.limits.nodes {
			s.left = math.Min(s.left, math.Max(n.bound, s.floor()))
			break
		}
		s.split(n)
	}
	return s.best, math.Min(s.left, s.best.loss)
}

// floor returns the bound of all plans, worked out to the end: those of nodes are
// only as good as it takes to see that they must be split.
func (s *search) floor() float64 {
	floor := math.Inf(1)
	for _, cols := range s.roots() {
		r := relaxation{cols: cols, x: make([]float64, len(cols)), bound: math.Inf(-1)}
		s.relax(&r, true)
		floor = math.Min(floor, r.bound)
	}
	return floor
}

// roots returns the columns that each choice of laps allows.
func (s *search) roots() [][]int {
	var roots [][]int
	var choose func(first int, in []int)
	choose = func(first int, in []int) {
		if len(in) < min(s.limits.laps, s.laps) {
			for k := first; k < s.laps; k++ {
				choose(k+1, append(slices.Clone(in), k))
			}
			return
		}
		var cols []int
		for c, k := range s.lap {
			if slices.Contains(in, k) && float64(s.limits.least[c]) <= s.most(c) {
				cols = append(cols, c)
			}
		}
		roots = append(roots, cols)
	}
	choose(0, nil)
	return roots
}

// keep finds the bound of a node and puts it in the queue unless it holds
// nothing better.
func (s *search) keep(n *node) {
	s.made++
	n.number = s.made
	r := relaxation{cols: n.columns(), bound: n.bound, touch: n.touch}
	r.x = n.spread(r.cols)
	s.relax(&r, false)
	n.bound, n.touch, n.at, n.x = r.bound, r.touch, r.at, r.ax
	if s.worse(n.bound) {
		return
	}
	if len(n.at) <= s.limits.spells {
		s.whole(n.at, 200) // the best plan of the node, or nearly
	}
	if !s.worse(n.bound) {
		heap.Push(&s.queue, n)
	}
}

// split makes the children of a node.
func (s *search) split(n *node) {
	k, at := s.where(n)
	if k < 0 { // nothing to choose any more
		if !s.whole(n.columns(), 2000) {
			s.left = math.Min(s.left, n.bound)
		}
		return
	}
	sp := n.spans[k]
	for count := range sp.count + 1 {
		low, high := span{sp.from, at, count}, span{at, sp.to, sp.count - count}
		if low.count > at-sp.from || high.count > sp.to-at {
			continue // another child, with fewer on this side, holds all that this would
		}
		child := &node{bound: n.bound, touch: n.touch, cols: n.cols, at: n.at, x: n.x}
		child.spans = append(child.spans, n.spans[:k]...)
		for _, half := range [2]span{low, high} {
			if half.count > 0 {
				child.spans = append(child.spans, half)
			}
		}
		child.spans = append(child.spans, n.spans[k+1:]...)
		s.keep(child)
	}
}

// columns returns the columns the node's plans may use, rising.
func (n *node) columns() []int {
	var cols []int
	for _, sp := range n.spans {
		cols = append(cols, n.cols[sp.from:sp.to]...)
	}
	return cols
}

// spread returns the turns of the relaxed best for each of cols.
func (n *node) spread(cols []int) []float64 {
	x := make([]float64, len(cols))
	k := 0
	for i, c := range cols {
		for k < len(n.at) && n.at[k] < c {
			k++
		}
		if k < len(n.at) && n.at[k] == c {
			x[i] = n.x[k]
		}
	}
	return x
}

// where says which span of a node to split and at which column: the one whose
// work lies most widely about its middle among those the relaxed best uses too
// many columns of, or else the longest, beside the column used. It returns -1
// where no span has a choice left.
func (s *search) where(n *node) (k, at int) {
	k = -1
	widest, longest := 0.0, 0
	for i, sp := range n.spans {
		var sum, mean, wide float64
		var used []int // places in n.cols
		var work []float64
		for j, c := range n.at {
			if p, ok := slices.BinarySearch(n.cols[sp.from:sp.to], c); ok {
				w := n.x[j] * math.Sqrt(s.q[c*s.n+c])
				used, work = append(used, sp.from+p), append(work, w)
				sum += w
				mean += w * float64(sp.from+p)
			}
		}
		if len(used) <= sp.count {
			if length := sp.to - sp.from; widest == 0 && length > sp.count && length > longest {
				k, longest = i, length
				at = beside(sp, used)
			}
			continue
		}
		mean /= sum
		for j, p := range used {
			wide += work[j] * math.Abs(float64(p)-mean)
		}
		if wide > widest {
			widest, k, at = wide, i, int(mean)+1
		}
	}
	return k, at
}

// beside returns where to split a span so that the columns used stay together
// in the smaller part, or its middle where none is.
func beside(sp span, used []int) int {
	if len(used) == 0 {
		return (sp.from + sp.to) / 2
	}
	first, last := used[0], used[len(used)-1]
	switch {
	case first-sp.from > sp.to-1-last:
		return first
	case last+1 < sp.to:
		return last + 1
	}
	return last
}

// queue is a heap of nodes, least bound first, then first made.
type queue []*node

func (q queue) Len() int      { return len(q) }
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q queue) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(q[i].bound, q[j].bound), cmp.Compare(q[i].number, q[j].number)) < 0
}
func (q *queue) Push(n any) { *q = append(*q, n.(*node)) }
func (q *queue) Pop() any {
	last := len(*q) - 1
	n := (*q)[last]
	*q = (*q)[:last]
	return n
}
