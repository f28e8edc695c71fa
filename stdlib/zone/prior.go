package zone

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"lapwright/stdlib/mirror"
)

// A prior is what is taken for granted of a surface's error before it is tested:
//
//	E(r) = c₀·(r/a)⁴ + Σ c_j·cos(jπr/L),  j = 1 … waves,
//
// with independent normal c of mean 0. The cosines are even in r, as a smooth
// surface of revolution is. Their variances follow the spectral density of a
// Gaussian process with Matérn's covariance of order 5/2 (twice differentiable),
// amplitude σ and length ℓ (Rasmussen and Williams 2006, Gaussian Processes for
// Machine Learning, 4.2.1; Solin and Särkkä 2020, Statistics and Computing 30,
// 419, for the sum in place of the process [both from memory]). L lies half an
// aperture beyond the edge, so that the mirror image of the cosines does not reach
// the glass. The fourth power with its wide variance is what separates a sphere
// from a paraboloid; every mirror may have hundreds of nanometres of it.
//
// A small share of the variance always has the length of the narrowest rings that
// laps leave, however smooth the rest: what seven readings show to be smooth may
// still hold a ring between two edges.
//
// Neither σ nor ℓ is known: each on a list, with a weight for what is usual, and
// the readings give each pair its weight.
type prior struct {
	clear  float64
	length float64 // L
	broad  float64 // standard deviation of c₀, metres
}

// waves is the number of cosines: the shortest has a wavelength of 3 % of the
// aperture's radius, a third of the shortest ℓ.
const waves = 96

func newPrior(m *mirror.Mirror) prior {
	clear, R := float64(m.Clear()), float64(m.Radius())
	// r⁴/8R³ is by how much a sphere misses the paraboloid.
	sphere := clear * clear * clear * clear / (8 * R * R * R)
	return prior{clear, 1.5 * clear, math.Max(1e-6, sphere)}
}

// terms fills e and slope, as long as waves+1, with the terms at r.
func (p prior) terms(r float64, e, slope []float64) {
	x := r / p.clear
	e[0], slope[0] = x*x*x*x, 4*x*x*x/p.clear
	for j := 1; j <= waves; j++ {
		w := float64(j) * math.Pi / p.length
		sin, cos := math.Sincos(w * r)
		e[j], slope[j] = cos, -w*sin
	}
}

// matrix returns the terms of the height at each radius of a grid, a row each.
func (p prior) matrix(grid []float64) *mat.Dense {
	phi := mat.NewDense(len(grid), waves+1, nil)
	slope := make([]float64, waves+1)
	for i, r := range grid {
		p.terms(r, phi.RawRowView(i), slope)
	}
	return phi
}

// variances returns the variances of c.
func (p prior) variances(s smoothness) []float64 {
	v := make([]float64, waves+1)
	v[0] = p.broad * p.broad
	// S(ω) = σ²·(16/3)·α^(5/2)·(α+ω²)^-3 with α = 5/ℓ², twice over L: a sum of even
	// functions has the variance σ² in the open and twice that at the centre.
	density := func(length, w float64) float64 {
		a := 5 / (length * length)
		b := a + w*w
		return 16. / 3 * a * a * math.Sqrt(a) / (b * b * b)
	}
	for j := 1; j <= waves; j++ {
		w := float64(j) * math.Pi / p.length
		v[j] = 2 / p.length * s.amplitude * s.amplitude *
			((1-detail)*density(s.length, w) + detail*density(detailLength*p.clear, w))
	}
	return v
}

// A smoothness is one guess at what is not known of a surface and of the
// readings' scatter.
type smoothness struct {
	amplitude, length float64 // metres
	noise             float64 // variance of the readings over what the sets gave
	weight            float64 // logarithm, before the readings are looked at
}

// The bounds of what a surface may be: amplitudes of 2.5 nm to 1.3 µm, taken as
// log-normal about 40 nm with a factor of 3, which is what hand figuring leaves
// between tests (common practice, no source); lengths from 6 % of the aperture's
// radius, narrower than laps leave rings, to 60 %, all alike. A ring that looks
// like a bell of full width w at half its height has ℓ near w/2.
const (
	usualAmplitude = 40e-9
	amplitudeSpan  = 3.0
	shortest       = 0.06
	longestLength  = 0.6
	detail         = 0.03 // share of the variance
	detailLength   = 0.08 // of the aperture's radius
	lengthSteps    = 7
	noiseSteps     = 3
)

// guesses lists the smoothnesses to weigh. The scatter of the readings is known
// from so many free ones: its variance is taken at the middles of equal shares of
// the scaled inverse χ² distribution.
func (p prior) guesses(free float64) []smoothness {
	var list []smoothness
	chi := distuv.ChiSquared{K: free}
	for k := -4; k <= 5; k++ {
		amplitude := usualAmplitude * math.Pow(2, float64(k))
		z := math.Log(amplitude/usualAmplitude) / math.Log(amplitudeSpan)
		for l := range lengthSteps {
			length := p.clear * shortest * math.Pow(longestLength/shortest, float64(l)/(lengthSteps-1))
			for n := range noiseSteps {
				share := (float64(n) + 0.5) / noiseSteps
				list = append(list, smoothness{amplitude, length, free / chi.Quantile(share), -z * z / 2})
			}
		}
	}
	return list
}
