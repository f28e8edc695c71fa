package wear

import "math"

// ring is the lap at one instant on one circle of the glass. At the angle δ from
// the lap's middle the square of the speed is a + br·cos δ ± bt·sin δ, one sign on
// either side.
//
// Pressure times share is even + along·cos δ, or that times share() where the band
// slopes.
type ring struct {
	r, rho      float64
	m2          float64 // (1-w)²
	a, br, bt   float64
	band        *band
	sloped      bool
	even, along float64
}

// arc returns ∫ p·share·|v| dφ along the circle of radius r with the lap as st
// has it, the mean being taken of the two velocities where there are two.
//
// The integral goes over u = tan(δ/2), which makes sines and cosines of the
// angle fractions of u; beyond a right angle over that of the rest to the half
// circle.
func (s *sweep) arc(st *station, r float64) float64 {
	m := 1 - s.turn
	c := ring{r: r, rho: st.rho, m2: m * m}
	from, to := st.press.positive(r, st.rho)
	sum := 0.0
	for i := range s.face.bands {
		b := &s.face.bands[i]
		lo, hi := from, min(to, tanHalf(st.rho, r, b.out))
		if b.in > 0 {
			lo = max(lo, tanHalf(st.rho, r, b.in))
		}
		if !(lo < hi) {
			continue
		}
		c.band, c.sloped = b, !b.flat()
		c.even, c.along = st.press.p0-st.press.g*st.rho, st.press.g*r
		if !c.sloped {
			c.even *= b.from
			c.along *= b.from
		}
		c.rub(m, st.q1r, st.q1t)
		part := c.over(lo, hi, s.fineArc)
		if st.both {
			c.rub(m, st.q2r, st.q2t)
			part = (part + c.over(lo, hi, s.fineArc)) / 2
		}
		sum += part
	}
	return sum
}

// rub sets the square of the speed for Q outward and along, m being 1-w.
func (c *ring) rub(m, qr, qt float64) {
	c.a = c.m2*c.r*c.r + qr*qr + qt*qt
	c.br, c.bt = 2*m*c.r*qr, 2*m*c.r*qt
}

// tanHalf returns tan(θ/2) of the angle θ up to which the circle of radius r
// lies within t of the lap's middle at radius rho: 0 where it does not, infinite
// where it does all around. cos θ = (r²+ρ²-t²)/2rρ [D]
func tanHalf(rho, r, t float64) float64 {
	num := (t - r + rho) * (t + r - rho)
	if num <= 0 {
		return 0
	}
	den := (r + rho - t) * (r + rho + t)
	if den <= 0 {
		return math.Inf(1)
	}
	return math.Sqrt(num / den)
}

// positive returns the range of tan(δ/2) on the circle of radius r over which the
// pressure of a lap with its middle at radius rho is not negative.
func (p press) positive(r, rho float64) (from, to float64) {
	if p.g == 0 || p.p0 >= math.Abs(p.g)*(r+rho) {
		return 0, math.Inf(1)
	}
	// Pressure vanishes at cos δ = x/r.
	x := rho - p.p0/p.g
	at := math.Sqrt(max(0, r-x) / max(0, r+x))
	if p.g > 0 {
		return 0, at
	}
	return at, math.Inf(1)
}

// over integrates from tan(δ/2) = lo to hi.
func (c *ring) over(lo, hi float64, fine int) float64 {
	if c.br == 0 && c.bt == 0 && c.along == 0 && !c.sloped {
		return c.even * math.Sqrt(c.a) * 4 * (math.Atan(hi) - math.Atan(lo))
	}
	if hi <= 1 {
		return c.part(lo, hi, 1, fine)
	}
	sum := c.part(1/hi, 1/max(lo, 1), -1, fine)
	if lo < 1 {
		sum += c.part(lo, 1, 1, fine)
	}
	return sum
}

// part integrates with as many places as are needed: few where the pole is far
// compared with the length of the arc. Where it is near, the part is cut at the
// pole's angle and the places are gathered there.
func (c *ring) part(lo, hi, sign float64, fine int) float64 {
	near, pole := c.nearest(hi, sign)
	// The square of the speed that the arc's own half length makes.
	span := 4 * c.m2 * c.r * c.r * hi * hi
	var n int
	switch {
	case near < 0.5*span:
		pole = max(pole, lo)
		set := &rules()[6*fine]
		first := &set.high
		if c.sloped {
			first = &set.ends
		}
		return c.piece(lo, pole, sign, first) + c.piece(pole, hi, sign, &set.low)
	case c.sloped:
		// The share bends sharply where the circle passes near the lap's middle.
		return c.piece(lo, hi, sign, &rules()[6*fine].low)
	case near < span:
		n = 5
	case near < 2*span || hi > 0.7 || c.along != 0:
		n = 4
	case near < 4*span || hi > 0.5 || lo > 0:
		n = 3
	default:
		n = 2
	}
	if lo > 0 {
		return c.piece(lo, hi, sign, &rules()[(n+1)*fine].both)
	}
	return c.piece(lo, hi, sign, &rules()[n*fine].half)
}

// nearest returns the least square of the speed on the part up to u, and where.
func (c *ring) nearest(u, sign float64) (v2, at float64) {
	br := c.br * sign
	b := math.Sqrt(br*br + c.bt*c.bt)
	if b == 0 {
		return math.Inf(1), u // no pole: the speed is the same all along
	}
	d := 1 / (1 + u*u)
	cs, sn := (1-u*u)*d, 2*u*d
	if -br >= b*cs {
		return c.a - b, math.Sqrt((b + br) / (b - br))
	}
	return c.a + br*cs - math.Abs(c.bt)*sn, u
}

// piece integrates by the rule from u = lo to hi, at most 1, where u is the
// tangent of half the angle from the lap's middle for sign 1, from its opposite
// for sign -1.
func (c *ring) piece(lo, hi, sign float64, ru *rule) float64 {
	width := hi - lo
	if width <= 0 {
		return 0
	}
	a, br, bt := c.a, sign*c.br, 2*c.bt
	even, along := c.even, sign*c.along
	ws := ru.w[:len(ru.x)]
	sum := 0.0
	for i, x := range ru.x {
		u := lo + width*x
		d := 1 / (1 + u*u)
		cs := (1 - u*u) * d
		e, t := a+br*cs, bt*u*d
		v1, v2 := e+t, e-t
		// Rounding may leave a square below 0 at the pole.
		if v1 < 0 {
			v1 = 0
		}
		if v2 < 0 {
			v2 = 0
		}
		v := (math.Sqrt(v1) + math.Sqrt(v2)) * d * ws[i] * (even + along*cs)
		if c.sloped {
			v *= c.share(sign * cs)
		}
		sum += v
	}
	return 2 * width * sum
}

// share returns the share of contact at the angle with cosine cs.
func (c *ring) share(cs float64) float64 {
	b := c.band
	t := math.Sqrt(math.Abs(c.r*c.r + c.rho*c.rho - 2*c.r*c.rho*cs))
	return b.from + (b.to-b.from)*(t-b.in)/(b.out-b.in)
}
