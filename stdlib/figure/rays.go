package figure

import (
	"fmt"
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// A ZoneRay is how far aside the rays of one zone pass the focus.
type ZoneRay struct {
	Inner, Outer unit.Length
	At           unit.Length // the radius its rays are taken from, √((Inner²+Outer²)/2): half of the zone's light lies on either side
	Error        Estimate    // over the Airy radius 1.22 λF; positive where the rays meet the axis beyond the focus
}

// Rays are the transverse ray errors of some zones, at the focus that makes the
// greatest of them least.
type Rays struct {
	Zones      []ZoneRay
	Greatest   Estimate // of the zones, at the focus best for them
	Everywhere Estimate // of all radii, at the focus best for those; Quality has it as Ray
}

// Rays returns the ray errors of zones with the given edges, from the innermost out.
// A few zones miss the worst of a smooth error: between 4 zones of equal area the
// greatest of primary spherical aberration is found 23 % too low. Everywhere is the
// number to judge by. It stops the recipe where there are fewer than 3 edges, where
// they do not rise, and where they reach beyond the clear aperture.
//
// That all rays fall within the Airy radius at the best common focus is a criterion of
// the trade (definition seen in test reports; the original, Danjon and Couder 1935, was
// not opened).
func (f *Figure) Rays(edges ...unit.Length) Rays {
	const call = "figure.Figure.Rays"
	if len(edges) < 3 {
		host.Stopf(call, "there are %d edges; give at least 3, the edges of two zones", len(edges))
	}
	shop := f.m.Shop()
	for i, e := range edges {
		if math.IsNaN(float64(e)) || i > 0 && !(e > edges[i-1]) {
			host.Stopf(call, "edge %d is %s; it must be more than the one before", i+1, e.Text(shop, 2))
		}
		f.place("Figure.Rays", e)
	}
	rays := Rays{Zones: make([]ZoneRay, len(edges)-1)}
	at, steps := make([]float64, len(rays.Zones)), make([]step, len(rays.Zones))
	for i := range rays.Zones {
		inner, outer := float64(edges[i]), float64(edges[i+1])
		at[i] = math.Sqrt((inner*inner + outer*outer) / 2)
		steps[i] = f.step(at[i] / f.r[len(f.r)-1])
		rays.Zones[i] = ZoneRay{Inner: edges[i], Outer: edges[i+1], At: unit.Length(at[i])}
	}
	g := f.Refocused()
	j := newJudge(g)
	s := make([]float64, len(at))
	of := g.estimates(func(e []float64) []float64 {
		all := slopes(f.r, e)
		for i, step := range steps {
			s[i] = step.of(all)
		}
		c, worst := level(at, s)
		var list []float64
		for i := range s {
			list = append(list, -j.ray*(s[i]+c*at[i]))
		}
		return append(list, j.ray*worst, j.worstRay(e))
	})
	n := len(s)
	for i := range rays.Zones {
		rays.Zones[i].Error = of[i]
	}
	rays.Greatest, rays.Everywhere = of[n], of[n+1]
	return rays
}

// An Envelope holds a figure against what knife-edge readings may be off, radius by
// radius: by so much that the rays of a zone just reach the Airy radius. All slices
// have the same length. It is for a source that moves with the knife; with a fixed one
// Error and Half are twice as large.
type Envelope struct {
	At     []unit.Length
	Error  []Estimate    // the reading less that of a perfect mirror, in metres, its zero where it fits best
	Half   []unit.Length // half the width of the envelope: ρR/r, ρ the Airy radius
	Inside float64       // chance that the whole curve lies within
}

// Envelope returns the tolerance envelope. It begins at a sixth of the clear radius:
// further in readings may be off by more than they can ever be. The envelope's form is
// derived from the ray error 2f·dE/dr and the error of a reading -(R²/r)·dE/dr; Millies-
// Lacroix published it in 1976 (Sky & Telescope, from memory of a citation; not opened).
func (f *Figure) Envelope() Envelope {
	R, airy := float64(f.m.Radius()), float64(f.m.Airy())
	const every = 4
	var v Envelope
	var nodes []int
	for i := 0; i < len(f.r); i += every {
		if f.r[i] >= f.r[len(f.r)-1]/6 {
			nodes = append(nodes, i)
			v.At = append(v.At, unit.Length(f.r[i]))
			v.Half = append(v.Half, unit.Length(airy*R/f.r[i]))
		}
	}
	g := f.Refocused()
	inside, drawn := 0, 0
	ray := newJudge(g).ray
	v.Error = g.estimates(func(e []float64) []float64 {
		s := slopes(f.r, e)
		c, worst := level(f.r, s)
		drawn++
		if ray*worst <= 1 {
			inside++
		}
		list := make([]float64, len(nodes))
		for k, i := range nodes {
			list[k] = -R * R * (s[i]/f.r[i] + c)
		}
		return list
	})
	v.Inside = float64(inside) / float64(drawn)
	return v
}

// A Wish is how good a mirror is to be. What is 0 is not asked for.
type Wish struct {
	Strehl float64 // Strehl ratio at least, by the diffraction integral at best focus
	Ray    float64 // greatest ray error at most, in Airy radii
	Sure   float64 // chance at which it counts as met; 0.9 where 0
}

// Advice says what to do next about a mirror.
type Advice string

// What there is to do.
const (
	Leave Advice = "leave it"        // the wish is met, as surely as is asked for
	Work  Advice = "another spell"   // what is seen breaks the wish, by more than the doubt does
	Test  Advice = "better readings" // doubt is what keeps the wish from being met surely
)

// An Outlook says whether a mirror is done.
type Outlook struct {
	Wish   Wish
	Meets  float64 // chance that the mirror meets the wish as it is
	Worked float64 // chance that it would if all that is seen were polished away, and only doubt were left
	Seen   float64 // of what the wish allows, how much the heights that are most likely take up: 1 or less meets it
	Doubt  float64 // how much doubt alone would take up, at the median, if all that is seen were polished away
	Advice Advice
}

// Outlook returns the chance that the mirror already meets a wish, and what would
// help it more. Of the forecast of a plan it is the chance after the work. Where the heights that are most likely meet the wish it is doubt that is
// in the way, and work could only spoil them. Where they do not, the larger of Seen and
// Doubt is what to go for: work takes away what is seen, readings take away doubt. A
// ray error takes up its share of Wish.Ray, a Strehl ratio S the share
// (1-S)/(1-Wish.Strehl); the greater counts. It stops the recipe where nothing is asked for, Strehl is not from 0 to less
// than 1, Ray is negative, and Sure is not from 0 to less than 1.
func (f *Figure) Outlook(w Wish) Outlook {
	const call = "figure.Figure.Outlook"
	if !(w.Strehl >= 0 && w.Strehl < 1) {
		host.StopArg(call, "Strehl", w.Strehl, "from 0 to less than 1")
	}
	if !(w.Ray >= 0 && w.Ray <= 1000) {
		host.StopArg(call, "Ray", w.Ray, "from 0 to 1000 Airy radii")
	}
	if !(w.Sure >= 0 && w.Sure < 1) {
		host.StopArg(call, "Sure", w.Sure, "a chance from 0 to less than 1")
	}
	if w.Strehl == 0 && w.Ray == 0 {
		host.Stopf(call, "nothing is asked for; give Strehl or Ray, or both")
	}
	if w.Sure == 0 {
		w.Sure = 0.9
	}
	g := f.Refocused()
	j := newJudge(g)
	taken := func(e []float64) float64 { // of what the wish allows
		share := 0.0
		if w.Ray > 0 {
			share = j.worstRay(e) / w.Ray
		}
		if w.Strehl > 0 {
			share = math.Max(share, (1-j.strehl(e))/(1-w.Strehl))
		}
		return share
	}
	o := Outlook{Wish: w, Seen: taken(g.e)}
	o.Meets, _ = g.within(taken)
	o.Worked, o.Doubt = New(f.m, make([]float64, len(g.e)), g.cov).within(taken)
	switch {
	case o.Meets >= w.Sure:
		o.Advice = Leave
	case o.Seen > 1 && o.Seen > o.Doubt:
		o.Advice = Work
	default:
		o.Advice = Test
	}
	return o
}

// within returns the chance that a number of the heights is at most 1, and its median.
func (f *Figure) within(number func(e []float64) float64) (chance, median float64) {
	n, drawn := 0, 0
	median = f.estimates(func(e []float64) []float64 {
		v := number(e)
		drawn++
		if v <= 1 {
			n++
		}
		return []float64{v}
	})[0].Value
	return float64(n) / float64(drawn), median
}

// String says the wish in words.
func (w Wish) String() string {
	switch {
	case w.Strehl > 0 && w.Ray > 0:
		return fmt.Sprintf("a Strehl ratio (by diffraction) of at least %.4g and no ray off by more than %s", w.Strehl, airyRadii(w.Ray))
	case w.Strehl > 0:
		return fmt.Sprintf("a Strehl ratio (by diffraction) of at least %.4g", w.Strehl)
	}
	return "no ray off by more than " + airyRadii(w.Ray)
}

func airyRadii(n float64) string {
	if n == 1 {
		return "the Airy radius"
	}
	return fmt.Sprintf("%.4g Airy radii", n)
}
