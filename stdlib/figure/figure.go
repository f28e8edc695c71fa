// Package figure holds the error of a mirror's surface: height against radius,
// how sure it is, and how good it makes the mirror.
//
// Heights are positive where the glass stands high, above the target surface.
// A figure is known up to a common height (piston) and a small change of the
// radius of curvature (focus); both are taken out by least squares, weighted by
// area, wherever heights are shown or judged.
package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// GridSize is the number of radii a figure is held on.
const GridSize = 257

// A Figure is E(r) on the grid of its mirror, with its covariance. It does not change.
type Figure struct {
	m   *mirror.Mirror
	r   []float64     // metres, GridSize of them, evenly from the hole to the clear radius
	e   []float64     // metres
	cov *mat.SymDense // square metres; nil where the heights are taken as exact
}

// Grid returns the radii a figure of m is held on, in metres.
func Grid(m *mirror.Mirror) []float64 {
	return spread(float64(m.Hole()), float64(m.Clear()), GridSize)
}

// spread returns n values evenly from a to b, both exactly included.
func spread(a, b float64, n int) []float64 {
	r := make([]float64, n)
	for i := range r {
		r[i] = a + (b-a)*(float64(i)/float64(n-1))
	}
	r[n-1] = b
	return r
}

// Weights returns the share of the clear aperture's area that belongs to each
// radius of the grid: trapezoids of r dr with Gregory's end corrections (exact
// where the height is a quadratic in r), scaled to sum to 1.
func Weights(m *mirror.Mirror) []float64 { return weights(Grid(m)) }

func weights(r []float64) []float64 {
	n := len(r)
	w := append([]float64(nil), r...)
	// Gregory's weights of second order: Hildebrand, Introduction to Numerical
	// Analysis, 5.8 [from memory]; checked in the test.
	for i, c := range []float64{3. / 8, 7. / 6, 23. / 24} {
		w[i] *= c
		w[n-1-i] *= c
	}
	sum := 0.0
	for _, v := range w {
		sum += v
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// New returns the figure with heights e on the grid of m, in metres, and
// covariance cov in square metres, or nil where the heights are exact. It keeps
// e and cov: do not change them afterwards. It stops the recipe where there are not
// GridSize heights or a height is not finite, and where cov is of another size.
func New(m *mirror.Mirror, e []float64, cov *mat.SymDense) *Figure {
	const call = "figure.New"
	if len(e) != GridSize {
		host.Stopf(call, "there are %d heights; there must be %d, one for each radius of the grid", len(e), GridSize)
	}
	if cov != nil && cov.SymmetricDim() != GridSize {
		host.Stopf(call, "the covariance is of %d heights; it must be of %d", cov.SymmetricDim(), GridSize)
	}
	for i, v := range e {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			host.StopArg(call, fmt.Sprintf("height %d", i+1), v, "finite")
		}
	}
	return &Figure{m, Grid(m), e, cov}
}

// Mirror returns the mirror the figure belongs to.
func (f *Figure) Mirror() *mirror.Mirror { return f.m }

// Heights returns E on the grid, in metres, as given. The slice is a copy.
func (f *Figure) Heights() []float64 { return append([]float64(nil), f.e...) }

// Covariance returns the covariance of Heights, or nil where they are exact.
// It is shared: do not change it.
func (f *Figure) Covariance() *mat.SymDense { return f.cov }

// Sigma returns the standard deviation of Heights at each radius of the grid,
// zeros where they are exact.
func (f *Figure) Sigma() []float64 {
	s := make([]float64, len(f.e))
	if f.cov != nil {
		for i := range s {
			s[i] = math.Sqrt(math.Max(0, f.cov.At(i, i)))
		}
	}
	return s
}

// At returns the height at radius r, linear between the radii of the grid. It
// stops the recipe where r lies outside the clear aperture.
func (f *Figure) At(r unit.Length) unit.Length {
	i, t := f.place("Figure.At", r)
	return unit.Length((1-t)*f.e[i] + t*f.e[i+1])
}

// SigmaAt returns the standard deviation of At(r), 0 where the heights are exact.
func (f *Figure) SigmaAt(r unit.Length) unit.Length {
	i, t := f.place("Figure.SigmaAt", r)
	if f.cov == nil {
		return 0
	}
	v := (1-t)*(1-t)*f.cov.At(i, i) + 2*t*(1-t)*f.cov.At(i, i+1) + t*t*f.cov.At(i+1, i+1)
	return unit.Length(math.Sqrt(math.Max(0, v)))
}

// place finds r on the grid: it lies at the share t from radius i to i+1.
func (f *Figure) place(call string, r unit.Length) (i int, t float64) {
	first, last := f.r[0], f.r[len(f.r)-1]
	if !(float64(r) >= first*(1-1e-12) && float64(r) <= last*(1+1e-12)) {
		shop := f.m.Shop()
		host.StopArg("figure."+call, "r", r.Text(shop, 2),
			fmt.Sprintf("%s to %s, within the clear aperture", unit.Length(first).Text(shop, 2), unit.Length(last).Text(shop, 2)))
	}
	x := (float64(r) - first) / (last - first) * float64(len(f.r)-1)
	i = min(max(int(x), 0), len(f.r)-2)
	return i, math.Min(math.Max(x-float64(i), 0), 1)
}

// Slopes returns dE/dr on the grid, by differences of second order. At the
// centre of a mirror without a hole it is 0, where a smooth surface of
// revolution is level.
func (f *Figure) Slopes() []float64 { return slopes(f.r, f.e) }

func slopes(r, e []float64) []float64 {
	n := len(r)
	h := (r[n-1] - r[0]) / float64(n-1)
	s := make([]float64, n)
	for i := 1; i < n-1; i++ {
		s[i] = (e[i+1] - e[i-1]) / (2 * h)
	}
	if r[0] > 0 {
		s[0] = (-3*e[0] + 4*e[1] - e[2]) / (2 * h)
	}
	s[n-1] = (3*e[n-1] - 4*e[n-2] + e[n-3]) / (2 * h)
	return s
}

// Plus returns the sum of two figures of the same mirror. Where both have a
// covariance the two are taken as independent.
func (f *Figure) Plus(g *Figure) *Figure { return f.combine("Figure.Plus", g, 1) }

// Minus returns the figure less another of the same mirror: what was taken off
// between two tests, or what separates two reductions. Where both have a
// covariance the two are taken as independent.
func (f *Figure) Minus(g *Figure) *Figure { return f.combine("Figure.Minus", g, -1) }

func (f *Figure) combine(call string, g *Figure, sign float64) *Figure {
	if f.m != g.m && f.m.Spec() != g.m.Spec() {
		host.Stopf("figure."+call, "the two figures belong to different mirrors")
	}
	e := f.Heights()
	for i := range e {
		e[i] += sign * g.e[i]
	}
	cov := f.cov
	if cov == nil {
		cov = g.cov
	} else if g.cov != nil {
		cov = mat.NewSymDense(len(e), nil)
		cov.AddSym(f.cov, g.cov)
	}
	return &Figure{f.m, f.r, e, cov}
}
