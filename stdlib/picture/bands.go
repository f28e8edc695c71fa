package picture

import (
	"fmt"
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// A Grating has upright lines, dark and clear of the same width, and stands near the
// centre of curvature. An upright slit lights the mirror.
type Grating struct {
	Null   unit.Length // the grating stands where the zone of this radius greys behind a knife; 0 for the middle of the glass
	Beyond unit.Length // so much further from the mirror than that, nearer to it where negative
	Pitch  unit.Length // from one dark line to the next; 0.25 mm, four to the millimetre, where 0
	Shift  unit.Length // of the grating to the right; where it is 0 a clear line stands on the axis
	Slit   unit.Length // width of the slit; 0.02 mm where 0
	Source zone.Source // zone.Moving where not said
}

// Bands draws the bands that a grating shows on the mirror: each place is as bright
// as the share of the slit's image that falls between the lines. It stops the recipe
// where Null lies outside the clear aperture, Beyond is more than a twentieth of the
// radius of curvature, Pitch is not from 0.01 to 10 mm, Shift is more than 10 mm, and
// Slit is negative or more than 10 mm.
func Bands(f *figure.Figure, g Grating) *Picture {
	const call = "picture.Bands"
	if g.Slit == 0 {
		g.Slit = unit.MM / 50
	}
	if g.Pitch == 0 {
		g.Pitch = unit.MM / 4
	}
	if !(g.Pitch >= unit.MM/100 && g.Pitch <= 10*unit.MM) {
		host.StopArg(call, "Pitch", g.Pitch, "from 0.01 to 10 mm")
	}
	if !(math.Abs(float64(g.Shift)) <= float64(10*unit.MM)) {
		host.StopArg(call, "Shift", g.Shift, "at most 10 mm either way")
	}
	s := newStand(call, f, g.Null, g.Beyond, g.Source, g.Slit)
	pitch := float64(g.Pitch)
	// lines is how many lines to the right of the axis' clear one a ray passes.
	lines := func(at float64) float64 { return (at - float64(g.Shift)) / pitch }
	bright := func(x, y, r, pixel float64) float64 {
		at, growth := s.side(x, y, r)
		wide := math.Max(float64(g.Slit), math.Abs(growth)*pixel) / pitch
		n := lines(at)
		return (clearUpTo(n+wide/2) - clearUpTo(n-wide/2)) / wide
	}
	where := place(f, g.Null, g.Beyond)
	p := &Picture{name: fmt.Sprintf("grating of %s, %s", g.Pitch.Text(unit.MM, 3), where), side: side, grey: glass(f, bright)}
	p.words = fmt.Sprintf("A grating of %s from line to line stands %s. %s %s", g.Pitch.Text(unit.MM, 3), where,
		s.count(func(at float64) bool { return clearAt(lines(at)) }), s.bend())
	p.note = fmt.Sprintf("Idealised: drawn by rays alone, with a slit of %s; in the workshop diffraction blurs the bands and doubles them.", g.Slit.Text(unit.MM, 3))
	return p
}

// clearAt reports whether a grating lets light through n pitches off its clear line.
func clearAt(n float64) bool { return math.Abs(n-math.Round(n)) < 0.25 }

// clearUpTo is how much of a grating is clear from 0 to n pitches.
func clearUpTo(n float64) float64 {
	whole := math.Round(n)
	return whole/2 + math.Min(math.Max(n-whole, -0.25), 0.25)
}

// count says how many dark bands cross the horizontal diameter.
func (s stand) count(open func(at float64) bool) string {
	hole, clear := s.r[0], s.r[len(s.r)-1]
	const steps = 4000
	bands, light := 0, true
	for i := range steps {
		x := clear * (2*(float64(i)+0.5)/steps - 1)
		if math.Abs(x) < hole {
			light = true
			continue
		}
		at, _ := s.side(x, 0, math.Abs(x))
		if o := open(at); o != light {
			light = o
			if !light {
				bands++
			}
		}
	}
	switch bands {
	case 0:
		return "No dark band crosses the middle of the glass from left to right."
	case 1:
		return "One dark band lies on the way from left to right through the middle of the glass."
	}
	return fmt.Sprintf("From left to right through the middle of the glass there are %d dark bands.", bands)
}

// bend says how the line of the grating that is seen half way out to the right of the
// middle runs further up.
func (s stand) bend() string {
	clear := s.r[len(s.r)-1]
	x, up := math.Max(0.5*clear, s.r[0]), 0.7*clear
	here, growth := s.side(x, 0, x)
	if math.Abs(growth)*clear < 1e-9 {
		return "No line can be followed."
	}
	const steps = 2000
	best := math.Inf(1)
	before := 0.0
	for i := range steps {
		t := math.Sqrt(clear*clear-up*up) * float64(i) / steps
		r := math.Hypot(t, up)
		if r < s.r[0] {
			continue
		}
		at, _ := s.side(t, up, r)
		if i > 0 && (before-here)*(at-here) <= 0 && math.Abs(t-x) < math.Abs(best-x) {
			best = t
		}
		before = at
	}
	whence := fmt.Sprintf("The line seen %s right of the middle", across(s.f, unit.Length(x)))
	switch off := best - x; {
	case math.IsInf(best, 1):
		return fmt.Sprintf("%s does not run up as far as %s.", whence, across(s.f, unit.Length(up)))
	case math.Abs(off) < 0.01*clear:
		return whence + " runs straight up."
	case off > 0:
		return fmt.Sprintf("%s has moved out by %s where it is %s higher up.", whence, across(s.f, unit.Length(off)), across(s.f, unit.Length(up)))
	default:
		return fmt.Sprintf("%s has moved in by %s where it is %s higher up.", whence, across(s.f, unit.Length(-off)), across(s.f, unit.Length(up)))
	}
}
