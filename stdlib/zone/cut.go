package zone

import (
	"fmt"
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// EqualAreas returns a mask of n zones of equal area from the hole to the clear
// radius. For a paraboloid the reading also changes by the same amount from each
// zone to the next. It stops the recipe where n is not from 2 to 60.
func EqualAreas(m *mirror.Mirror, n int) *Mask {
	if n < 2 || n > MaxZones {
		host.StopArg("zone.EqualAreas", "n", n, fmt.Sprintf("from 2 to %d", MaxZones))
	}
	hole, clear := float64(m.Hole()), float64(m.Clear())
	edges := make([]unit.Length, n+1)
	for i := range edges {
		share := float64(i) / float64(n)
		edges[i] = unit.Length(math.Sqrt(hole*hole + share*(clear*clear-hole*hole)))
	}
	edges[0], edges[n] = m.Hole(), m.Clear()
	return NewMask(m, edges...)
}

// EqualReadings returns a mask of n zones from the hole to the clear radius whose
// edges lie where the reading of a perfect mirror has changed by the same amount
// each time. For a paraboloid and a moving source these are equal areas; other
// conics, and a fixed source, move the edges a little. It stops the recipe where n
// is not from 2 to 60 and where the mirror is a sphere, or within a thousandth of
// the conic constant of one: it reads the same everywhere.
func EqualReadings(m *mirror.Mirror, n int, source Source) *Mask {
	const call = "zone.EqualReadings"
	if n < 2 || n > MaxZones {
		host.StopArg(call, "n", n, fmt.Sprintf("from 2 to %d", MaxZones))
	}
	source.check(call, m)
	if math.Abs(m.Spec().Shape.Constant()) < 1e-3 {
		host.Stopf(call, "a sphere reads the same everywhere, so that no mask of equal changes can be cut for it; zone.EqualAreas cuts one")
	}
	t := tester{m, source}
	at := func(r float64) float64 {
		z, dz := t.target(r)
		if r == 0 {
			// No slope: next to the centre, where the reading has changed by less than
			// 1e-12 of what it does on the whole.
			r = 1e-6 * float64(m.Clear())
			z, dz = t.target(r)
		}
		return t.reading(r, z, dz)
	}
	from, to := float64(m.Hole()), float64(m.Clear())
	first, last := at(from), at(to)
	edges := make([]unit.Length, n+1)
	edges[0], edges[n] = m.Hole(), m.Clear()
	for i := 1; i < n; i++ {
		share := float64(i) / float64(n)
		low, high := from, to
		for range 60 {
			if r := (low + high) / 2; (at(r)-first)/(last-first) < share {
				low = r
			} else {
				high = r
			}
		}
		edges[i] = unit.Length((low + high) / 2)
	}
	return NewMask(m, edges...)
}

// sharpest is how many times the radius of curvature is as long as the narrowest
// opening that still shows its shadow sharply: with zone apertures of about
// f/300, seen from the knife, diffraction adds no error worth counting. Linfoot
// 1948, Mon. Not. R. Astron. Soc. 108, 428 (abstract seen).
const sharpest = 300

// Suggest returns a mask of equal areas with as many zones as the mirror's test
// calls for, and why that many: so many that the outermost, which is the
// narrowest, is as wide as diffraction wants it, but 3 to 20. A faster mirror,
// whose readings change more from zone to zone, gets more of them.
func Suggest(m *mirror.Mirror) (mask *Mask, why string) {
	const least, most = 3, 20
	hole, clear := float64(m.Hole()), float64(m.Clear())
	narrow := float64(m.Radius()) / sharpest
	// The outermost of n equal areas is clear - √(clear² - (clear²-hole²)/n) wide.
	inner := math.Max(clear-narrow, 0)
	n := int((clear*clear - hole*hole) / (clear*clear - inner*inner))
	n = min(max(n, least), most)
	mask = EqualAreas(m, n)
	a, b := mask.Edges(n - 1)
	shop := m.Shop()
	decimals := 0
	if shop == unit.Inch {
		decimals = 2
	}
	return mask, fmt.Sprintf("%d zones of equal area: the outermost is %s wide; one much narrower than 1/%d of the radius of curvature, %s, blurs its own shadow",
		n, (b-a).Text(shop, decimals), sharpest, unit.Length(narrow).Text(shop, decimals))
}
