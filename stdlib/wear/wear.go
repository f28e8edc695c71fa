// Package wear reckons how fast a lap and a stroke lower the glass at each
// radius, by Preston's law dh/dt = k·p·|v|: k the wear coefficient, p the contact
// pressure, v the velocity of the glass under the lap. (F. W. Preston, "The theory
// and design of plate glass polishing machines", J. Soc. Glass Technol. 11, 1927
// [M].)
//
// The velocity is the true one: the turning of the table, the stroke, and the
// turning of the lap about its own axis. The lap is rigid. Wholly on the glass it
// presses evenly, or linearly where the hand presses beside its middle; hanging
// over the rim or a hole it presses linearly, so that force and moment balance on
// what is left, and loses contact where that would pull. Wear is the mean over the
// stroke and around the circle, for one turn of the table; that of a few turns is
// not as even as that.
//
// The model leaves out how pitch flows and settles to the glass, how lap and
// glass bend, where the slurry runs dry or collects, and how friction shifts the
// load. It is good for comparing laps and strokes; how much they take off must be
// learned on the bench. Even after learning, agreement better than some 20 % is
// not to be claimed: an extended model of this kind reproduced measured removal to
// about 22 % (doi 10.1364/AO.410903 [S]).
package wear

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// A Profile is what one setting takes off in one turn of the table. It does not
// change. Depths are given for a wear coefficient of 1 m²/N, in m per (m²/N):
// multiply by Rate.K.
type Profile struct {
	mirror  *mirror.Mirror
	setting Setting
	sweep   *sweep
	perTurn []float64 // on figure.Grid
}

// New reckons the profile of s on mirror m on the grid of figure.Grid, to 1e-4 of
// its greatest depth. It stops the recipe where the lap or the stroke is missing,
// where the lap works outside the mirror or is more than twice as wide, where the
// hand presses beyond the lap, and where the lap would tip off the rim or into
// the hole, with the overhang at which it would.
func New(m *mirror.Mirror, s Setting) *Profile {
	f, message := s.check(m)
	if message != "" {
		host.Stopf("wear.New", "%s", message)
	}
	return reckon(m, s, f, figure.Grid(m), new(curves))
}

func reckon(m *mirror.Mirror, s Setting, f *face, grid []float64, c *curves) *Profile {
	p := &Profile{mirror: m, setting: s, sweep: s.sweep(m, f), perTurn: make([]float64, len(grid))}
	p.sweep.depths(p.perTurn, grid, c)
	return p
}

// All reckons the profiles of many settings on mirror m, in their order, on all
// processors. Each is the same to the last bit as New gives. It stops the recipe
// as New does, naming the setting by its number from 1.
func All(m *mirror.Mirror, settings []Setting) []*Profile {
	faces := make([]*face, len(settings))
	for i, s := range settings {
		var message string
		if faces[i], message = s.check(m); message != "" {
			host.Stopf("wear.All", "setting %d: %s", i+1, message)
		}
	}
	profiles := make([]*Profile, len(settings))
	if len(profiles) == 0 {
		return profiles
	}
	grid := figure.Grid(m)
	share(len(profiles), func(i int, c *curves) {
		profiles[i] = reckon(m, settings[i], faces[i], grid, c)
	})
	return profiles
}

// share calls work for every number below n, on all processors, each with a
// working store of its own.
func share(n int, work func(i int, c *curves)) {
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			c := new(curves)
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(i, c)
			}
		})
	}
	group.Wait()
}

// Mirror returns the mirror worked on.
func (p *Profile) Mirror() *mirror.Mirror { return p.mirror }

// Setting returns the setting.
func (p *Profile) Setting() Setting { return p.setting }

// PerTurn returns the depth worn in one turn for k = 1 m²/N at each radius of
// the mirror's grid: multiply by Rate.K. In m per (m²/N). The slice is a copy.
func (p *Profile) PerTurn() []float64 { return append([]float64(nil), p.perTurn...) }

// At returns the depth worn in one turn at radius r for k = 1 m²/N, in m per
// (m²/N), reckoned there and not taken from the grid: 0 off the glass. It stops
// the recipe where r is negative or not a number.
func (p *Profile) At(r unit.Length) float64 {
	if !(r >= 0) {
		host.StopArg("Profile.At", "r", r, "at least 0")
	}
	if float64(r) < p.sweep.glass.hole || float64(r) > p.sweep.glass.rim {
		return 0
	}
	return p.sweep.depth(float64(r))
}

// Depth returns the depth worn at radius r in so many turns with coefficient k.
// It stops the recipe as At does.
func (p *Profile) Depth(r unit.Length, k unit.Preston, turns float64) unit.Length {
	return unit.Length(p.At(r) * float64(k) * turns)
}

// Peak returns the radius of the grid at which most is taken off in a turn, and
// how much for k = 1 m²/N, in m per (m²/N).
func (p *Profile) Peak() (r unit.Length, depth float64) {
	grid := figure.Grid(p.mirror)
	best := 0
	for i, h := range p.perTurn {
		if h > p.perTurn[best] {
			best = i
		}
	}
	return unit.Length(grid[best]), p.perTurn[best]
}

// Volume returns the volume taken off the whole face in one turn for k = 1 m²/N,
// in m³ per (m²/N).
func (p *Profile) Volume() float64 { return p.sweep.volume() }

// Contact is how a lap presses in the course of its stroke.
type Contact struct {
	Mean     unit.Pressure // the load over the area that touches, the mean over the stroke
	Greatest unit.Pressure // anywhere under the lap, at any time
	Lost     bool          // part of the lap loses contact at some time
}

// Contact returns how the lap presses.
func (p *Profile) Contact() Contact { return p.sweep.contact() }

// Turning returns the rate at which the lap turns about its own axis over the
// table's: 0 where it does not turn, 1 where it follows, and what friction makes of
// it where it is free.
func (p *Profile) Turning() float64 { return p.sweep.turn }

// Edges returns where the lap's edges fall.
func (p *Profile) Edges() Edges { return edgesOf(p.mirror, p.setting) }

// Warnings returns what should be known before working so: a contact pressure
// beyond the lap's limit, contact that is lost, a lap whose rate is not geared to the
// table's. It is empty where all is well.
func (p *Profile) Warnings() []string {
	var w []string
	c := p.Contact()
	if text := p.setting.Lap.Warning(c.Mean); text != "" {
		w = append(w, text)
	} else if text := p.setting.Lap.Warning(c.Greatest); text != "" {
		w = append(w, text+", at the edge where it presses most")
	}
	if c.Lost {
		w = append(w, fmt.Sprintf("%s loses contact under part of its face: expect more wear at the opposite side, and the model to be rough", p.setting.Lap))
	}
	if st := p.setting.Stroke; !st.Geared() {
		w = append(w, fmt.Sprintf("the lap spins at a rate of its own: the wear in a turn holds for the table at %v only", st.Table()))
	}
	return w
}

// contact returns how the lap presses.
func (s *sweep) contact() Contact {
	c := Contact{Lost: s.press.lost}
	mean, greatest := 0.0, 0.0
	see := func(rho, weight float64) {
		area, p := s.face.contact(s.glass, rho)
		mean += weight * s.face.load / area
		greatest = max(greatest, p)
	}
	ru := &rules()[8].both
	for i := range s.legs {
		l := &s.legs[i]
		see(l.near, 0)
		see(l.far, 0)
		for j, f := range ru.x {
			for k, x := range ru.x {
				see(l.radius(s.at+s.wander*(2*x-1), f*l.End), l.Share*ru.w[j]*ru.w[k])
			}
		}
	}
	c.Mean, c.Greatest = unit.Pressure(mean), unit.Pressure(greatest)
	return c
}

// volume returns ∫ h·2πr dr.
func (s *sweep) volume() float64 {
	var c curves
	s.specials(&c)
	lo, _ := s.reach()
	sum := 0.0
	for _, hi := range c.special {
		ru := &rules()[16].ends
		for j, x := range ru.x {
			r := lo + (hi-lo)*x
			sum += ru.w[j] * (hi - lo) * s.depth(r) * 2 * math.Pi * r
		}
		lo = hi
	}
	return sum
}
