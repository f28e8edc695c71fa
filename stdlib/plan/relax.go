package plan

import "math"

// A relaxation is the best with any turns, whole or not, on some columns, and
// the room it is found in.
type relaxation struct {
	cols  []int
	x     []float64 // turns of each of cols
	bound float64   // no plan on cols has a smaller loss
	touch touch     // where the next bound is taken from

	b, cap []float64

	cheap, dear float64 // prices of time at which too much of it was used, and less than there is

	at []int // those of cols in use
	ax []float64
}

// A touch is a plane below the price of low glass, and a price of time.
//
// The price of low glass is convex, so it lies above its tangent anywhere, and
// the loss above the quadratic with that tangent. Short time has a price in the
// same way: the loss plus price·(time used - time) is not above the loss of any
// plan that keeps to the time, whatever the price (Lagrange).
type touch struct {
	low  float64   // the tangent where no work is done
	pull []float64 // its fall: see loss.pull
	time float64   // price of a second
}

// relax raises r.bound and moves r.x towards the best, starting from r.touch or,
// where that is empty, from r.x. It goes on until the bound rules out all plans
// on r.cols, or the loss at r.x shows that no bound can; or, if exact, until the
// bound and the loss meet. s.box then holds where the quadratic with the last
// touch is least, and relax returns how much that is at least.
func (s *search) relax(r *relaxation, exact bool) (least float64) {
	if r.touch.pull == nil {
		r.touch = s.touch(r)
	}
	s.box.x = append(s.box.x[:0], r.x...)
	r.cap = r.cap[:0]
	for _, c := range r.cols {
		r.cap = append(r.cap, s.most(c))
	}
	r.cheap, r.dear = math.Inf(-1), math.Inf(1)
	for round := range 40 {
		r.b = r.b[:0]
		for _, c := range r.cols {
			r.b = append(r.b, s.b[c]+0.5*(s.along(r.touch.pull, c)-r.touch.time*s.limits.period[c]))
		}
		s.box.begin(&s.quadratic, r.cols, r.b, r.cap)
		least = s.lowest(r, exact)
		r.bound = math.Max(r.bound, least)
		if !exact && s.worse(r.bound) {
			return least
		}

		step := 1.0
		if round > 0 || exact {
			step = 2 / (2 + s.low) // the curvature of the loss is 1 to 1+low times the quadratic's
		}
		for i, x := range s.box.x {
			if r.x[i] += step * (x - r.x[i]); x == 0 && r.x[i] < 1e-3 {
				r.x[i] = 0 // less than a thousandth of a turn
			}
		}
		price := s.priceTime(r)
		settled := math.Abs(price-r.touch.time) <= 1e-3*price
		r.touch = s.touch(r)
		r.touch.time = price
		v := s.at(r.at, r.ax)
		if settled && (v-r.bound <= 1e-8*v || !exact && !s.worse(v)) {
			break
		}
	}
	return least
}

// lowest lowers the quadratic with r.touch until it is clear whether it rules
// out all plans on r.cols, or if exact until it is least. It returns what the
// quadratic is at least for any plan on r.cols.
//
// A plan has so many spells at most, and none changes the figure by more than
// s.work. So from where the quadratic still falls by left with single columns, it
// can for a plan be lower by no more than twice that times all their work; and
// the work of what is at its cap may be undone.
func (s *search) lowest(r *relaxation, exact bool) float64 {
	enough := 1e-2 * s.work
	if exact {
		enough = 1e-11 * s.work
	}
	for ; ; enough /= 10 {
		left := s.box.descend(enough)
		v := s.fixed + r.touch.low
		if r.touch.time > 0 {
			v -= r.touch.time * s.limits.time
		}
		for i, x := range s.box.x {
			v -= x * (r.b[i] + s.box.fall[i])
		}
		least := v - 2*left*s.work*float64(s.limits.spells+len(s.box.full))
		if s.worse(least) || !s.worse(v) || enough < 1e-10*s.work {
			return least
		}
	}
}

// most returns the turns that a spell of column c has at most.
func (s *search) most(c int) float64 {
	return math.Floor(math.Min(float64(s.limits.most), s.work/math.Sqrt(s.row(c)[c])))
}

// priceTime returns the price of a second at which the best of s.box would just
// keep to the time, as far as its free columns tell: Newton's step, or where there are
// none or it leads beyond prices that were tried, the middle of those.
func (s *search) priceTime(r *relaxation) float64 {
	if math.IsInf(s.limits.time, 1) {
		return 0
	}
	over := -s.limits.time
	for i, x := range s.box.x {
		over += s.limits.period[r.cols[i]] * x
	}
	saved := 0.0 // half of T·Q⁻¹·T: how fast the time falls with its price
	s.box.z = s.box.z[:0]
	for _, i := range s.box.free {
		s.box.z = append(s.box.z, s.limits.period[r.cols[i]])
	}
	forward(s.box.l, s.box.z)
	for _, z := range s.box.z {
		saved += 0.5 * z * z
	}
	price := r.touch.time
	switch {
	case over > 0:
		r.cheap = math.Max(r.cheap, price)
	case over < 0:
		r.dear = math.Min(r.dear, price)
	}
	switch next := math.Max(0, price+over/saved); {
	case over == 0 || over < 0 && price == 0:
		return price
	case saved > 0 && r.cheap < next && next < r.dear:
		return next
	case math.IsInf(r.dear, 1):
		return math.Max(2*price, s.leaving(r))
	case math.IsInf(r.cheap, -1):
		return 0
	}
	return (r.cheap + r.dear) / 2
}

// leaving returns the least price of a second, above that of now, at which a column
// would leave its cap.
func (s *search) leaving(r *relaxation) float64 {
	least := math.Inf(1)
	for _, i := range s.box.full {
		least = math.Min(least, s.box.fall[i]/(0.5*s.limits.period[r.cols[i]]))
	}
	return r.touch.time + least
}

// touch returns the tangent at r.x, and sets r.at and r.ax.
func (s *search) touch(r *relaxation) touch {
	r.at, r.ax = r.at[:0], r.ax[:0]
	for i, x := range r.x {
		if x > 0 {
			r.at, r.ax = append(r.at, r.cols[i]), append(r.ax, x)
		}
	}
	t := touch{low: s.price(r.at, r.ax)}
	t.pull = append(t.pull, s.pull...)
	for i, c := range r.at {
		t.low += s.along(t.pull, c) * r.ax[i]
	}
	return t
}
