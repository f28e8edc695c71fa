// # Does the test see it?
//
// A narrow ring is suspected on an invented 200 mm f/6 mirror, and the mask has four zones. Before anybody polishes or
// is reassured: would this test show the ring if it were there? Here the mirror is made up, so the answer can be held
// against the truth.
package main

import (
	"math"
	"math/rand/v2"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/input"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

func main() {
	// ## The truth
	//
	// A bell of a ring. Move it, narrow it and lower it from the command line: --set ring=80mm.
	blank := mirror.New(mirror.Spec{Name: "Invented 200 mm mirror", Diameter: 200 * MM, FocalLength: 1200 * MM, Bevel: 1 * MM})
	ring := input.Length("ring", 60*MM, "radius of the ring", 20*MM, 90*MM)
	width := input.Length("width", 9*MM, "its full width at half height", 2*MM, 40*MM)
	height := input.Length("height", 50*NM, "its height", 5*NM, 300*NM)
	scatter := input.Length("scatter", 20*UM, "standard deviation of one reading", 2*UM, 200*UM)
	truth := withRing(blank, ring, width, height)

	// ## What should be seen
	//
	// The narrowest ring of that height that is sure to be seen, wherever it lies in its zone, with more zones and more
	// sets. More sets help as the square root of their number; more zones help where the ring is, until the openings
	// are so narrow that their shadow blurs.
	rows := make([][]any, 0, 9)
	for _, zones := range []int{4, 6, 8} {
		for _, sets := range []int{1, 4} {
			mask := zone.EqualAreas(blank, zones)
			sights := zone.Narrowest(read(truth, mask, scatter, sets), height)
			for _, s := range sights.Zones {
				inner, outer := mask.Edges(s.Zone - 1)
				if inner <= ring && ring < outer {
					rows = append(rows, show.Row(zones, sets, outer-inner, seen(s.Width), s.Width > 0 && s.Width <= width))
				}
			}
		}
	}
	show.Table("In the zone of the ring", show.Heads("zones", "sets", "opening (mm)", "sure to be seen from", "this ring"), rows...)

	// ## What is seen
	//
	// Two tests of the same glass: four zones, and seven with an edge on the ring. Through four zones the glass looks
	// smooth, and the band is narrow: a band tells what readings leave open among surfaces that are likely, and so narrow
	// a ring is not. The table above is the warning; the band gives none.
	coarse := zone.EqualAreas(blank, 4)
	fine := zone.NewMask(blank, 0*MM, 35*MM, 52*MM, 60*MM, 68*MM, 79*MM, 90*MM, 99*MM)
	byCoarse := zone.Reduce(read(truth, coarse, scatter, 4))
	byFine := zone.Reduce(read(truth, fine, scatter, 4))
	show.Figure("Through four zones", byCoarse, coarse)
	show.Figure("Through seven, an edge on the ring", byFine, fine)

	// ## Against the truth
	//
	// Height at the ring, and by how many standard deviations each figure is off there. Beyond two or three, a figure has
	// claimed to know what it does not.
	rows = nil
	for _, n := range []show.Named{show.As("four zones", byCoarse), show.As("seven zones", byFine)} {
		got, sigma := n.Figure.Refocused().At(ring), n.Figure.Refocused().SigmaAt(ring)
		want := truth.Refocused().At(ring)
		rows = append(rows, show.Row(n.Name, want, got, sigma, float64((got-want)/sigma)))
	}
	show.Table("At the ring", show.Heads("mask", "true (nm)", "found (nm)", "give or take (nm)", "off by (deviations)"), rows...)
	show.Quality("What each test would say of the mirror", show.As("truth", truth), show.As("four zones", byCoarse), show.As("seven zones", byFine))
}

// withRing is a mirror without fault but for a ring.
func withRing(m *mirror.Mirror, at, width, height Length) *figure.Figure {
	sigma := float64(width) / 2.3548 // full width at half height of a bell
	radii, heights := make([]Length, 0, 257), make([]Length, 0, 257)
	for _, r := range figure.Grid(m) {
		x := (r - float64(at)) / sigma
		radii = append(radii, Length(r))
		heights = append(heights, height*Length(math.Exp(-x*x/2)))
	}
	return figure.FromHeights(m, radii, heights)
}

// read makes readings of a figure, with a scatter of a fixed seed.
func read(f *figure.Figure, mask *zone.Mask, scatter Length, sets int) *zone.Readings {
	chance := rand.New(rand.NewPCG(7, uint64(mask.Zones())))
	all := make([][]float64, sets)
	for s := range all {
		zero := 5 + chance.Float64()
		for _, e := range zone.Expect(mask, f, zone.Moving, 0) {
			all[s] = append(all[s], zero+(e.Reading+scatter*Length(chance.NormFloat64())).In(MM))
		}
	}
	return zone.Given(mask, zone.Sheet{Source: zone.Moving, Scatter: scatter}, all...)
}

// seen prints a width, or that there is none.
func seen(width Length) string {
	if width == 0 {
		return "not at all"
	}
	return width.Text(MM, 0)
}
