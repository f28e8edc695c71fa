package plan

import (
	"math"
	"slices"
)

// begin looks for a good plan before the search, so that bounds have something
// to beat and a search that is cut short has something to give: a spell is added
// where it helps most, then each is exchanged for another as long as that helps.
func (s *search) begin() {
	var cols []int
	for len(cols) < s.limits.spells {
		c := s.next(cols)
		if c < 0 {
			return
		}
		cols = with(cols, c)
		s.whole(cols, 200)
		for range 10 {
			better := s.exchange(cols)
			if better == nil {
				break
			}
			cols = better
		}
	}
}

// exchange puts another column in the place of one of cols, and returns the
// first set that gives a better plan than any so far, or nil.
func (s *search) exchange(cols []int) []int {
	for i, c := range cols {
		rest := slices.Delete(slices.Clone(cols), i, i+1)
		for _, d := range [3]int{s.next(rest), c - 1, c + 1} {
			if d < 0 || d >= s.n || slices.Contains(cols, d) || !s.allows(rest, d) {
				continue
			}
			before := s.best.loss
			set := with(rest, d)
			if s.whole(set, 200); s.best.loss < before-s.tie {
				return set
			}
		}
	}
	return nil
}

// next returns the column that would lower the loss most beside cols, as far as
// the slope of the loss and the quadratic's curvature tell, or -1 where none
// would.
func (s *search) next(cols []int) int {
	r := relaxation{cols: cols, x: make([]float64, len(cols)), bound: math.Inf(-1)}
	s.relax(&r, true)
	next, most := -1, s.tie
	for c := range s.n {
		if slices.Contains(cols, c) || !s.allows(cols, c) {
			continue
		}
		row := s.row(c)
		fall := s.b[c] + 0.5*(s.along(r.touch.pull, c)-r.touch.time*s.limits.period[c])
		for i, d := range r.at {
			fall -= row[d] * r.ax[i]
		}
		turns := math.Min(fall/row[c], s.most(c))
		if gain := turns * (2*fall - turns*row[c]); fall > 0 && gain > most {
			next, most = c, gain
		}
	}
	return next
}

// allows reports whether a plan on cols may use column c as well.
func (s *search) allows(cols []int, c int) bool {
	laps := map[int]bool{s.lap[c]: true}
	for _, d := range cols {
		laps[s.lap[d]] = true
	}
	return len(laps) <= s.limits.laps && float64(s.limits.least[c]) <= s.most(c)
}

// with returns cols and c, rising.
func with(cols []int, c int) []int {
	i, _ := slices.BinarySearch(cols, c)
	return slices.Insert(slices.Clone(cols), i, c)
}
