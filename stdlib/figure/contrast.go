package figure

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"lapwright/stdlib/host"
)

// Contrast returns the contrast that is left of fine even stripes in the image, at
// best focus: where the mean square of the wavefront is least (modulation transfer,
// MTF). How fine the stripes are is given as a share, 0 to 1, of the finest that the
// aperture shows at all, 1/(λF) in the focal plane: 0 is none, and leaves all
// contrast. A perfect mirror loses contrast too; hold the figure against Perfect.
// It stops the recipe where a share is outside 0 to 1.
//
// It is the aperture's overlap with itself, moved aside, each point weighed by the
// difference of phase (Goodman, Introduction to Fourier Optics, 6.3 [from memory]).
func (f *Figure) Contrast(shares ...float64) []Estimate {
	for i, s := range shares {
		if !(s >= 0 && s <= 1) {
			host.StopArg("figure.Figure.Contrast", fmt.Sprintf("share %d", i+1), s, "from 0 to 1")
		}
	}
	overlaps := make([][]pair, len(shares))
	for i, s := range shares {
		overlaps[i] = f.overlap(s)
	}
	phase := 4 * math.Pi / float64(f.m.Wavelength())
	return f.Refocused().estimates(func(e []float64) []float64 {
		left := make([]float64, len(shares))
		for i, pairs := range overlaps {
			sum := 0.0
			for _, p := range pairs {
				sum += p.share * math.Cos(phase*(p.a.of(e)-p.b.of(e)))
			}
			left[i] = math.Abs(sum)
		}
		return left
	})
}

// A pair is a point of the overlap: the two radii whose light meets there, and the
// share of the aperture's area that it stands for.
type pair struct {
	a, b  step
	share float64
}

// A step is a place between two radii of a grid.
type step struct {
	i int
	t float64
}

func (s step) of(e []float64) float64 { return e[s.i] + s.t*(e[s.i+1]-e[s.i]) }

// overlap returns points over what two apertures have in common whose middles are
// apart by a share of the diameter. By symmetry a quarter of it is enough; in rows
// of constant y it runs from the middle x = 0 to the outer rim of one aperture, less
// the holes of both.
func (f *Figure) overlap(share float64) []pair {
	const points = 24
	hole := f.r[0] / f.r[len(f.r)-1]
	at, weight := make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(at, weight, 0, 1)
	top := math.Sqrt(1 - share*share)
	area := math.Pi * (1 - hole*hole) / 4
	var pairs []pair
	row := func(y, wide, from, to float64) {
		if to <= from {
			return
		}
		for i, u := range at {
			x := from + (to-from)*u
			pairs = append(pairs, pair{
				f.step(math.Hypot(x+share, y)), f.step(math.Hypot(x-share, y)), wide * weight[i] * (to - from) / area,
			})
		}
	}
	// What a row is made of changes where a hole begins, where the holes meet at x = 0, and
	// where one aperture's rim meets the hole of the other. In between y runs as the sine of
	// an even angle, since the rows of a hole end as a square root does.
	edges := []float64{0, top}
	change := func(y float64) {
		if y > 0 && y < top {
			edges = append(edges, y)
		}
	}
	change(hole)
	change(math.Sqrt(math.Max(0, hole*hole-share*share)))
	if x := (1 - hole*hole + 4*share*share) / (4 * share); hole > 0 && x < 1 {
		change(math.Sqrt(1 - x*x))
	}
	slices.Sort(edges)
	for n := range len(edges) - 1 {
		low, high := edges[n], edges[n+1]
		for i, u := range at {
			sin, cos := math.Sincos(math.Pi / 2 * u)
			y := low + (high-low)*sin
			wide := (high - low) * math.Pi / 2 * cos * weight[i]
			end := math.Sqrt(1-y*y) - share
			if y >= hole {
				row(y, wide, 0, end)
				continue
			}
			half := math.Sqrt(hole*hole - y*y)
			row(y, wide, math.Max(0, half-share), math.Min(end, share-half))
			row(y, wide, math.Max(share+half, 0), end)
		}
	}
	return pairs
}

// step finds the radius ρ of the clear radius on the grid.
func (f *Figure) step(rho float64) step {
	n := len(f.r)
	hole := f.r[0] / f.r[n-1]
	x := math.Min(math.Max((rho-hole)/(1-hole), 0), 1) * float64(n-1)
	i := min(int(x), n-2)
	return step{i, x - float64(i)}
}
