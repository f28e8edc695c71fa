package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// FromHeights returns the exact figure through a table of surface heights
// against radius, smooth between the radii without overshooting (Fritsch and
// Butland's monotone cubic). It stops the recipe where the two lists differ in
// length or have fewer than 3 entries, where the radii do not rise, where a
// height is not finite or beyond a millimetre, and where the table leaves out
// more than a hundredth of the clear radius at either end.
func FromHeights(m *mirror.Mirror, radii, heights []unit.Length) *Figure {
	const call = "figure.FromHeights"
	n := len(radii)
	if n != len(heights) || n < 3 {
		host.Stopf(call, "there are %d radii and %d heights; there must be as many of both, and at least 3", n, len(heights))
	}
	shop := m.Shop()
	x, y := make([]float64, n), make([]float64, n)
	for i := range n {
		if i > 0 && !(radii[i] > radii[i-1]) || math.IsNaN(float64(radii[i])) {
			host.Stopf(call, "radius %d is %s; it must be more than the one before", i+1, radii[i].Text(shop, 2))
		}
		if !(math.Abs(float64(heights[i])) <= float64(unit.MM)) {
			host.StopArg(call, fmt.Sprintf("height %d", i+1), heights[i], "a surface error, at most a millimetre")
		}
		x[i], y[i] = float64(radii[i]), float64(heights[i])
	}
	if slack := m.Clear() / 100; radii[0] > m.Hole()+slack || radii[n-1] < m.Clear()-slack {
		host.Stopf(call, "the radii run from %s to %s; they must reach from %s to %s", radii[0].Text(shop, 2), radii[n-1].Text(shop, 2),
			m.Hole().Text(shop, 2), m.Clear().Text(shop, 2))
	}
	var curve interp.FritschButland
	if err := curve.Fit(x, y); err != nil {
		host.Stopf(call, "%v", err)
	}
	r := Grid(m)
	e := make([]float64, len(r))
	for i := range e {
		e[i] = curve.Predict(r[i]) // the end's height beyond an end
	}
	return New(m, e, nil)
}

// Ordering is a way to number Zernike's polynomials.
type Ordering int

// The two orderings. Both use polynomials of unit rms over the full clear circle.
const (
	Noll Ordering = iota // Noll 1976, J. Opt. Soc. Am. 66, 207 [from memory]: 4 is defocus, 11 primary spherical aberration
	OSA                  // ANSI Z80.28 and ISO 24157 [from memory]: 4 is defocus, 12 primary spherical aberration
)

// A Term is one Zernike polynomial and the rms it adds.
type Term struct {
	Index int
	RMS   unit.Length
}

// ZernikeWave returns the exact figure whose wavefront error is the sum of the
// terms; the surface has half of it. Only terms of revolution can be given: it
// stops the recipe where an index is another one, or beyond the order 40.
func ZernikeWave(m *mirror.Mirror, o Ordering, terms ...Term) *Figure {
	return zernike("figure.ZernikeWave", m, o, 0.5, terms)
}

// ZernikeSurface is ZernikeWave for terms that describe the surface itself.
func ZernikeSurface(m *mirror.Mirror, o Ordering, terms ...Term) *Figure {
	return zernike("figure.ZernikeSurface", m, o, 1, terms)
}

func zernike(call string, m *mirror.Mirror, o Ordering, share float64, terms []Term) *Figure {
	if o != Noll && o != OSA {
		host.StopArg(call, "Ordering", int(o), "Noll or OSA")
	}
	r := Grid(m)
	e := make([]float64, len(r))
	for _, t := range terms {
		n := degree(call, o, t.Index)
		if !(math.Abs(float64(t.RMS)) <= float64(unit.MM)) {
			host.StopArg(call, fmt.Sprintf("the RMS of term %d", t.Index), t.RMS, "a wavefront or surface error, at most a millimetre")
		}
		scale := share * float64(t.RMS) * math.Sqrt(float64(n+1))
		for i := range e {
			rho := r[i] / float64(m.Clear())
			e[i] += scale * legendre(n/2, 2*rho*rho-1)
		}
	}
	return New(m, e, nil)
}

// degree returns the radial degree n of the term of revolution with an index.
func degree(call string, o Ordering, index int) int {
	var list []int
	for n := 0; n <= 40; n += 2 {
		j := n*(n+1)/2 + 1
		if o == OSA {
			j = n * (n + 2) / 2
		}
		if j == index {
			return n
		}
		if n <= 12 {
			list = append(list, j)
		}
	}
	name := "Noll's ordering"
	if o == OSA {
		name = "the OSA ordering"
	}
	host.Stopf(call, "term %d is not one of revolution; in %s those are %v and so on", index, name, list)
	return 0
}

// legendre is P_k(x): the radial polynomial of degree 2k without angle at
// x = 2ρ²-1 (Born & Wolf, 9.2 [from memory]).
func legendre(k int, x float64) float64 {
	before, p := 0.0, 1.0
	for i := range k {
		before, p = p, (float64(2*i+1)*x*p-float64(i)*before)/float64(i+1)
	}
	return p
}
