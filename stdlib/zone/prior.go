package zone

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
	"lapwright/stdlib/mirror"
)

// A prior is what is taken for granted of a surface's error before it is tested:
// a sum of parts, each a sum of terms with independent normal coefficients of
// mean 0,
//
//	broad   c·(r/a)⁴: what separates a sphere from a paraboloid, its variance so
//	        wide that the readings alone decide;
//	detail  Σ c_j·cos(jπr/L), j = 1 … waves, of the length of the narrowest rings
//	        that laps leave: what few zones show to be smooth may still hold a ring
//	        between two edges;
//	smooth  the same, of one of a list of greater lengths;
//	rolled  c·exp((r-a)/w): an edge turned down, or up, by one of a list of widths.
//
// Cosines are even in r, as a smooth surface of revolution is. Their variances
// follow the spectral density of a Gaussian process with Matérn's covariance of
// order 5/2 (twice differentiable) and length ℓ (Rasmussen and Williams 2006,
// Gaussian Processes for Machine Learning, 4.2.1; Solin and Särkkä 2020,
// Statistics and Computing 30, 419, for the sum in place of the process [both from
// memory]). L lies half an aperture beyond the edge, so that the mirror image of
// the cosines does not reach the glass. A ring that looks like a bell of full width
// w at half its height has ℓ near w/2.
//
// How much there is of each part is not known; see guesses.
type prior struct {
	clear float64
	end   float64 // L
	parts [][]float64
}

// The lengths and widths, as shares of the aperture's radius (common practice,
// no source).
const detailLength = 0.08

var (
	smoothLengths = [...]float64{0.15, 0.24, 0.38, 0.6}
	rollWidths    = [...]float64{0.025, 0.05, 0.1}
)

// The terms in their order: the fourth power, the cosines, the rolls. The shortest
// cosine is 3 % of the aperture's radius long, less than half the length of detail.
const (
	waves     = 96
	firstRoll = 1 + waves
	numTerms  = firstRoll + len(rollWidths)
)

// The parts in their order: smooth and rolled are the first of several.
const (
	broad    = 0
	detail   = 1
	smooth   = 2
	rolled   = smooth + len(smoothLengths)
	numParts = rolled + len(rollWidths)
)

// newPrior returns the prior for a mirror. Its parts are the variances of all
// coefficients where there is one unit of the part: of the broad part as much as
// it always has, of the others so much that they vary by a metre, as a standard
// deviation, in the open or at the edge.
func newPrior(m *mirror.Mirror) prior {
	clear, R := float64(m.Clear()), float64(m.Radius())
	p := prior{clear: clear, end: 1.5 * clear, parts: make([][]float64, numParts)}
	for k := range p.parts {
		p.parts[k] = make([]float64, numTerms)
	}
	// r⁴/8R³ is by how much a sphere misses the paraboloid.
	sphere := clear * clear * clear * clear / (8 * R * R * R)
	p.parts[broad][0] = math.Max(1e-12, sphere*sphere)
	p.matern(p.parts[detail], detailLength*clear)
	for i, length := range smoothLengths {
		p.matern(p.parts[smooth+i], length*clear)
	}
	for i := range rollWidths {
		p.parts[rolled+i][firstRoll+i] = 1
	}
	return p
}

// matern fills in the variances of the cosines: S(ω) = (16/3)·α^(5/2)·(α+ω²)^-3
// with α = 5/ℓ², twice over L. A sum of even functions has the variance 1 in the
// open and 2 at the centre.
func (p prior) matern(v []float64, length float64) {
	a := 5 / (length * length)
	for j := 1; j <= waves; j++ {
		w := float64(j) * math.Pi / p.end
		b := a + w*w
		v[j] = 2 / p.end * 16. / 3 * a * a * math.Sqrt(a) / (b * b * b)
	}
}

// terms fills e and slope, as long as numTerms, with the terms at r.
func (p prior) terms(r float64, e, slope []float64) {
	x := r / p.clear
	e[0], slope[0] = x*x*x*x, 4*x*x*x/p.clear
	for j := 1; j <= waves; j++ {
		w := float64(j) * math.Pi / p.end
		sin, cos := math.Sincos(w * r)
		e[j], slope[j] = cos, -w*sin
	}
	for i, width := range rollWidths {
		w := width * p.clear
		v := elementary.Exp((r - p.clear) / w)
		e[firstRoll+i], slope[firstRoll+i] = v, v/w
	}
}

// matrix returns the terms of the height at each radius of a grid, a row each.
func (p prior) matrix(grid []float64) *mat.Dense {
	phi := mat.NewDense(len(grid), numTerms, nil)
	slope := make([]float64, numTerms)
	for i, r := range grid {
		p.terms(r, phi.RawRowView(i), slope)
	}
	return phi
}
