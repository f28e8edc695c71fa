package show_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lapwright/stdlib/document"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// along returns an outline as points, its arcs in fine steps.
func along(o document.Outline) (xs, ys []float64) {
	x, y := o.X, o.Y
	for _, s := range o.Steps {
		xs, ys = append(xs, x), append(ys, y)
		if s.Radius != 0 {
			const n = 24
			cx, cy, from, to := s.Arc(x, y)
			for i := 1; i < n; i++ {
				a := from + (to-from)*float64(i)/n
				xs, ys = append(xs, cx+math.Abs(s.Radius)*math.Cos(a)), append(ys, cy+math.Abs(s.Radius)*math.Sin(a))
			}
		}
		x, y = s.X, s.Y
	}
	return xs, ys
}

// area is what a closed line holds, by the surveyor's formula.
func area(xs, ys []float64) (sum float64) {
	for i := range xs {
		j := (i + 1) % len(xs)
		sum += xs[i]*ys[j] - xs[j]*ys[i]
	}
	return math.Abs(sum) / 2
}

func TestMaskIsDrawnAtTrueSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := mirror.Spec{Diameter: Length(rapid.Float64Range(100, 600).Draw(t, "diameter")) * MM}
		spec.FocalLength = 5 * spec.Diameter
		if rapid.Bool().Draw(t, "hole") {
			spec.Hole = spec.Diameter / 5
		}
		m := mirror.New(spec)
		k := zone.EqualAreas(m, rapid.IntRange(2, 12).Draw(t, "zones"))
		var found []document.Drawing
		for _, b := range shown(func() { show.Mask(k) }) {
			if err := document.Check(b); err != nil {
				t.Fatal(err)
			}
			found = append(found, b.(document.Drawing))
		}
		d := found[0]
		c := d.Width / 2
		last, rim := k.Edges(k.Zones() - 1)
		card := math.Min(3, (rim - last).In(MM)) // the narrowest zone is the last
		var openings [][2][]float64
		for _, o := range d.Outlines {
			if o.Line != document.CutLine || len(o.Steps) != 4 {
				continue
			}
			if !o.Closed() {
				t.Fatal("an opening is not closed")
			}
			xs, ys := along(o)
			openings = append(openings, [2][]float64{xs, ys})
		}
		if len(openings) != 2*k.Zones() {
			t.Fatalf("%d openings", len(openings))
		}
		for i, o := range openings {
			inner, outer := k.Edges(i / 2)
			a, b := math.Max(inner.In(MM), 2), outer.In(MM)
			least, most := math.Inf(1), 0.0
			for j := range o[0] {
				r := math.Hypot(o[0][j]-c, o[1][j]-c)
				least, most = math.Min(least, r), math.Max(most, r)
			}
			if math.Abs(least-a) > 1e-6 || math.Abs(most-b) > 1e-6 {
				t.Fatalf("zone %d is cut from %v to %v mm, want %v to %v", i/2+1, least, most, a, b)
			}
			// A twelfth of the ring's area.
			if got, want := area(o[0], o[1]), math.Pi*(b*b-a*a)/12; math.Abs(got-want) > 1e-3*want {
				t.Fatalf("zone %d has an opening of %v mm², want %v", i/2+1, got, want)
			}
			// Between it and all others there is card.
			for n, other := range openings[:i] {
				gap := math.Inf(1)
				for j := 0; j < len(o[0]); j++ {
					for l := 0; l < len(other[0]); l++ {
						gap = math.Min(gap, math.Hypot(o[0][j]-other[0][l], o[1][j]-other[1][l]))
					}
				}
				if gap < card-0.02 {
					t.Fatalf("between openings %d and %d %v mm of card are left", i, n, gap)
				}
			}
		}
	})
}

func TestMaskSaysItsOpeningsInWords(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 6 * Inch, FocalLength: 48 * Inch, Shop: Inch})
	d := only[document.Drawing](t, shown(func() { show.Mask(zone.NewMask(m, 0, 1.5*Inch, 2.25*Inch, 3*Inch)) }))
	if want := "A mask for a mirror of 6.00 in, with a pair of openings left and right for each zone, from the centre out: 0.00 in to 1.50 in, 1.50 in to 2.25 in, 2.25 in to 3.00 in."; d.Alt != want {
		t.Errorf("%q", d.Alt)
	}
	if d.Title != "The mask, 3 zones" {
		t.Errorf("%q", d.Title)
	}
	large := mirror.New(mirror.Spec{Diameter: 4 * Metre, FocalLength: 16 * Metre})
	if got := stopped(func() { show.Mask(zone.EqualAreas(large, 5)) }); !strings.Contains(got, "show.Mask: a mask for a mirror of 4000.0 mm is more than can be drawn; the most is 2970 mm") {
		t.Errorf("%q", got)
	}
}
