package wear

import "math"

// freeTurning returns the rate of a free lap over the table's: that at which the
// torque of friction about the lap's middle vanishes in the mean over the stroke
// and the wander. Pressed at its middle the lap follows the table; stroke.Free
// says why.
func (s *sweep) freeTurning() float64 {
	if s.face.hand == 0 {
		return 1
	}
	// The torque falls as the lap turns faster.
	lo, hi := -1., 3.
	for s.torque(lo) < 0 && lo > -100 {
		lo *= 2
	}
	for s.torque(hi) > 0 && hi < 100 {
		hi *= 2
	}
	for range 40 {
		if mid := (lo + hi) / 2; s.torque(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// torque returns the mean torque of friction on the lap about its middle, in the
// table's sense, when it turns at w times the table's rate, over the coefficient
// of friction.
func (s *sweep) torque(w float64) float64 {
	t := *s
	t.turn = w
	sum := 0.0
	along, wander := &rules()[12].both, &rules()[1].both
	if s.wander > 0 {
		wander = &rules()[4].both
	}
	var st station
	for i := range t.legs {
		l := &t.legs[i]
		for j, f := range along.x {
			for k, x := range wander.x {
				t.station(l, s.at+s.wander*(2*x-1)+l.X, f*l.End, &st)
				weight := l.Share * along.w[j] * wander.w[k]
				v := t.torqueOf(&st, st.q1r, st.q1t)
				if st.both {
					v = (v + t.torqueOf(&st, st.q2r, st.q2t)) / 2
				}
				sum += weight * v
			}
		}
	}
	return sum
}

// torqueOf integrates ξ×v/|v| times pressure and share over the lap at one
// instant, in its polar frame, with Q as given.
func (s *sweep) torqueOf(st *station, qr, qt float64) float64 {
	const around = 48
	m := 1 - s.turn
	sum := 0.0
	for i := range s.face.bands {
		b := &s.face.bands[i]
		ru := &rules()[12].both
		for j, x := range ru.x {
			t := b.in + (b.out-b.in)*x
			share := b.from + (b.to-b.from)*x
			ring := 0.0
			for k := range around {
				sn, cs := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / around)
				xi, eta := t*cs, t*sn
				if r := math.Hypot(st.rho+xi, eta); r < s.glass.hole || r > s.glass.rim {
					continue
				}
				// v = ẑ×(m·X + Q); its torque about the middle is ξ·(m·X + Q).
				vx, vy := m*(st.rho+xi)+qr, m*eta+qt
				if v := math.Hypot(vx, vy); v > 0 {
					ring += st.press.at(xi) * (xi*vx + eta*vy) / v
				}
			}
			sum += ru.w[j] * (b.out - b.in) * t * share * ring * 2 * math.Pi / around
		}
	}
	return sum
}
