package wear

import (
	"math"
	"testing"

	"lapwright/stdlib/lap"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
)

// A bench is a mirror under a lap, moved in small steps of time. It has nothing in
// common with the reckoning: the lap is a cloud of points whose pressure is
// balanced by trial, the mirror is worn at cells that turn with it, and velocities
// are the differences of places.
type bench struct {
	g      glass
	l      *lap.Lap
	place  func(turns float64) (x, y float64) // of the lap's middle
	turn   float64                            // of the lap, per the table's
	points [][3]float64                       // of the lap: x, y, share times area
	rhos   []float64
	table  [][2]float64 // p0, g at rhos
}

func newBench(g glass, l *lap.Lap, turn, least, greatest float64, place func(float64) (x, y float64)) *bench {
	b := &bench{g: g, l: l, place: place, turn: turn}
	const n = 160
	d := 2 * float64(l.Radius()) / n
	for i := range n {
		for j := range n {
			x, y := (float64(i)+0.5-n/2)*d, (float64(j)+0.5-n/2)*d
			if s := l.Share(unit.Length(math.Hypot(x, y))); s > 0 {
				b.points = append(b.points, [3]float64{x, y, s * d * d})
			}
		}
	}
	const m = 24
	for i := range m + 1 {
		rho := least + (greatest-least)*float64(i)/m
		b.rhos = append(b.rhos, rho)
		b.table = append(b.table, b.weigh(rho))
	}
	return b
}

// weigh balances the lap with its middle at (rho, 0): points that would pull are
// left out until none does.
func (b *bench) weigh(rho float64) [2]float64 {
	load := float64(b.l.Load())
	p, g := 1., 0.
	for range 60 {
		var m0, m1, m2 float64
		for _, q := range b.points {
			r := math.Hypot(rho+q[0], q[1])
			if r < b.g.hole || r > b.g.rim || p+g*q[0] < 0 {
				continue
			}
			m0 += q[2]
			m1 += q[2] * q[0]
			m2 += q[2] * q[0] * q[0]
		}
		det := m0*m2 - m1*m1
		pn, gn := load*m2/det, -load*m1/det
		if pn == p && gn == g {
			break
		}
		p, g = pn, gn
	}
	return [2]float64{p, g}
}

func (b *bench) pressure(rho, xi float64) float64 {
	n := len(b.rhos) - 1
	z := 0.0
	if b.rhos[n] > b.rhos[0] {
		z = (rho - b.rhos[0]) / (b.rhos[n] - b.rhos[0]) * float64(n)
	}
	i := min(max(int(z), 0), n-1)
	z -= float64(i)
	p := (1-z)*b.table[i][0] + z*b.table[i+1][0]
	g := (1-z)*b.table[i][1] + z*b.table[i+1][1]
	return max(0, p+g*xi)
}

// work returns the mean wear in a turn around each circle, after so many turns in
// so many steps each.
func (b *bench) work(radii []float64, turns, steps int) []float64 {
	const cells = 60
	worn := make([]float64, len(radii))
	dt := 1 / float64(steps)
	for k := range turns * steps {
		t := (float64(k) + 0.5) * dt
		x, y := b.place(t)
		x0, y0 := b.place(t - dt/2)
		x1, y1 := b.place(t + dt/2)
		rho := math.Hypot(x, y)
		half := math.Pi * dt // that the table turns in half a step
		for i, r := range radii {
			for c := range cells {
				a := 2*math.Pi*(t+float64(c)/cells) + 0.01*float64(i)
				sn, cs := math.Sincos(a)
				lx, ly := r*cs-x, r*sn-y
				share := b.l.Share(unit.Length(math.Hypot(lx, ly)))
				if share == 0 {
					continue
				}
				// How far the glass goes past the lap's point in the step.
				dx := r*(math.Cos(a+half)-math.Cos(a-half)) - (x1 - x0) + 2*half*b.turn*ly
				dy := r*(math.Sin(a+half)-math.Sin(a-half)) - (y1 - y0) - 2*half*b.turn*lx
				worn[i] += share * b.pressure(rho, (lx*x+ly*y)/rho) * math.Hypot(dx, dy) / cells / float64(turns)
			}
		}
	}
	return worn
}

// sine, saw and so on are written out again here, in turns of the table.
func sine(t float64) float64 { return math.Sin(2 * math.Pi * t) }

func saw(t float64) float64 {
	t -= math.Floor(t)
	switch {
	case t < 0.25:
		return 4 * t
	case t < 0.75:
		return 2 - 4*t
	}
	return 4*t - 4
}

func TestProfilesAgreeWithATimeDomainRun(t *testing.T) {
	// The strokes come out whole over the run, and no place is met twice alike.
	const at, turns = 0.118, 23
	spec := lap.Spec{Diameter: 70 * unit.MM, Load: 8}
	small := lap.Spec{Diameter: 50 * unit.MM, Load: 8}
	for _, test := range []struct {
		name  string
		g     glass
		l     *lap.Lap
		s     *stroke.Stroke
		at    float64
		place func(t float64) (x, y float64)
	}{
		{"tangential inside", glass{rim: 0.170}, lap.Round(spec), stroke.Tangential(60*unit.MM, 168./turns, table), at,
			func(t float64) (x, y float64) { return at, 0.030 * sine(168./turns*t) }},
		{"tangential over the rim", glass{rim: 0.150}, lap.Round(spec), stroke.Tangential(60*unit.MM, 73./turns, table), at,
			func(t float64) (x, y float64) { return at, 0.030 * sine(73./turns*t) }},
		{"far over the rim, losing contact", glass{rim: 0.130}, lap.Round(spec), stroke.Tangential(30*unit.MM, 73./turns, table), at,
			func(t float64) (x, y float64) { return at, 0.015 * sine(73./turns*t) }},
		{"radial over a hole, spinning", glass{rim: 0.150, hole: 0.030}, lap.Round(small), stroke.Radial(40*unit.MM, 50./turns, table).Spinning(-2 * table), 0.060,
			func(t float64) (x, y float64) { return 0.060 + 0.020*sine(50./turns*t), 0 }},
		{"steady across the centre", glass{rim: 0.150}, lap.Round(small), stroke.Tangential(60*unit.MM, 32./turns, table).Steady(), 0.010,
			func(t float64) (x, y float64) { return 0.010, 0.030 * saw(32./turns*t) }},
		{"elliptical star, following", glass{rim: 0.150}, lap.Star(spec, 6, 20*unit.MM, 0.2), stroke.Elliptical(50*unit.MM, 20*unit.MM, 60./turns, table).Following(), 0.090,
			func(t float64) (x, y float64) {
				return 0.090 + 0.010*math.Cos(2*math.Pi*60./turns*t), 0.025 * sine(60./turns*t)
			}},
		{"ring, wandering", glass{rim: 0.170}, lap.Ring(spec, 30*unit.MM), stroke.Tangential(40*unit.MM, 109./turns, table).Wander(5 * unit.MM), at,
			func(t float64) (x, y float64) { return at + 0.005*saw(t/turns), 0.020 * sine(109./turns*t) }},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := newSweep(test.g, mustFace(test.l, 0), test.s, test.at, 1)
			least, greatest := test.s.Reach(unit.Length(test.at))
			b := newBench(test.g, test.l, test.s.Turning(), float64(least), float64(greatest), test.place)
			inner, outer := s.reach()
			var radii []float64
			for i := range 14 {
				radii = append(radii, inner+(outer-inner)*(float64(i)+0.5)/14)
			}
			got := b.work(radii, turns, 800)
			peak := 0.0
			for _, r := range radii {
				peak = max(peak, s.depth(r))
			}
			for i, r := range radii {
				near(t, "depth over the peak", got[i]/peak, s.depth(r)/peak, 2e-3)
			}
		})
	}
}
