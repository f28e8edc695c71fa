package picture

import (
	"fmt"
	"math"
	"strings"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// A Knife is a knife-edge near the centre of curvature, with an upright edge, and the
// upright slit that lights the mirror.
type Knife struct {
	Null   unit.Length // the knife stands where the zone of this radius greys; 0 for the middle of the glass
	Beyond unit.Length // so much further from the mirror than that, nearer to it where negative
	Cut    unit.Length // so far past the axis its edge reaches, short of it where negative
	Right  bool        // it comes from the right, not from the left
	Slit   unit.Length // width of the slit; 0.02 mm where 0
	Source zone.Source // zone.Moving where not said
}

// Shadow draws the shadow that a knife-edge casts on the mirror: each place is as
// bright as the share of the slit's image that passes the knife. It stops the recipe
// where Null lies outside the clear aperture, Beyond is more than a twentieth of the
// radius of curvature, Cut more than 10 mm, and Slit negative or more than 10 mm.
func Shadow(f *figure.Figure, k Knife) *Picture {
	const call = "picture.Shadow"
	if k.Slit == 0 {
		k.Slit = unit.MM / 50
	}
	if !(math.Abs(float64(k.Cut)) <= float64(10*unit.MM)) {
		host.StopArg(call, "Cut", k.Cut, "at most 10 mm either way")
	}
	s := newStand(call, f, k.Null, k.Beyond, k.Source, k.Slit)
	hand, from := 1.0, "left"
	if k.Right {
		hand, from = -1, "right"
	}
	bright := func(x, y, r, _ float64) float64 {
		at, _ := s.side(x, y, r)
		return math.Min(math.Max(0.5+(hand*at-float64(k.Cut))/float64(k.Slit), 0), 1)
	}
	where := place(f, k.Null, k.Beyond)
	p := &Picture{name: fmt.Sprintf("knife from the %s, %s", from, where), side: side, grey: glass(f, bright)}
	p.words = fmt.Sprintf("The knife comes from the %s and stands %s. From left to right through the middle the glass is %s.",
		from, where, along(f, func(x float64) float64 { return bright(x, 0, math.Abs(x), 0) }))
	p.note = fmt.Sprintf("Idealised: drawn by rays alone, with a slit of %s; in the workshop diffraction, the slit and the air soften it.", k.Slit.Text(unit.MM, 3))
	return p
}

// along says how bright the glass is along its horizontal diameter.
func along(f *figure.Figure, bright func(x float64) float64) string {
	hole, clear := float64(f.Mirror().Hole()), float64(f.Mirror().Clear())
	level := func(x float64) string {
		switch b := bright(x); {
		case math.Abs(x) < hole:
			return "open"
		case b < 0.4:
			return "dark"
		case b <= 0.6:
			return "grey"
		}
		return "bright"
	}
	const steps = 600
	type run struct {
		level string
		to    float64
	}
	var runs []run
	for i := range steps {
		x := clear * (2*(float64(i)+0.5)/steps - 1)
		if l := level(x); len(runs) > 0 && runs[len(runs)-1].level == l {
			runs[len(runs)-1].to = x + clear/steps
		} else {
			runs = append(runs, run{l, x + clear/steps})
		}
	}
	if len(runs) == 1 {
		return runs[0].level + " all over"
	}
	var parts []string
	for i, r := range runs {
		if i == len(runs)-1 {
			parts = append(parts, r.level+" to the edge")
			break
		}
		side := "left"
		if r.to > 0 {
			side = "right"
		}
		parts = append(parts, fmt.Sprintf("%s to %s %s of the middle", r.level, across(f, unit.Length(math.Abs(r.to))), side))
		if i == 9 {
			return strings.Join(parts, ", ") + fmt.Sprintf(", and changes %d times more", len(runs)-11)
		}
	}
	return strings.Join(parts, ", ")
}
