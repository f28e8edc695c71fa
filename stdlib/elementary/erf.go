package elementary

import "math"

// Erf returns the error function of x, within a few units in the last place.
//
// Below 1/2 it is the power series (Abramowitz and Stegun, Handbook of
// Mathematical Functions, 7.1.5), above it 1 less Erfc.
func Erf(x float64) float64 {
	a := math.Abs(x)
	if a > 0.5 {
		return math.Copysign(1-Erfc(a), x)
	}
	square, term, sum := float64(a*a), a, a
	for n := 1.; n < 15; n++ {
		term = -float64(term*square) / n
		sum += term / (2*n + 1)
	}
	return math.Copysign(2/math.SqrtPi*sum, x)
}

// Erfc returns 1 less the error function of x, within some ten units in the last
// place.
//
// For x of 0 or more, (1+2x) exp(x²) erfc(x) is a sum of Chebyshev polynomials of
// (x-3.75)/(x+3.75), as M. M. Shepherd and J. G. Laframboise have it, "Chebyshev
// Approximation of (1+2x) exp(x²) erfc x", Mathematics of Computation 36 (1981).
func Erfc(x float64) float64 {
	a := math.Abs(x)
	if a > 27.3 || math.IsNaN(x) {
		a = math.Min(a, 30) // the exponential is 0
	}
	t := (a - 3.75) / (a + 3.75)
	b, before := 0., 0.
	for n := len(scaled) - 1; n > 0; n-- {
		b, before = float64(2*t*b)-before+scaled[n], b
	}
	v := float64(t*b) - before + scaled[0]/2

	// The square of a in two parts, the first of them exact.
	short := math.Float64frombits(math.Float64bits(a) &^ (1<<27 - 1))
	e := Exp(-float64(short*short)) * Exp(-float64((a-short)*(a+short)))
	v = e * v / (1 + 2*a)
	if x < 0 {
		return 2 - v
	}
	return v
}

// scaled are the Chebyshev coefficients, the first of them doubled; computed with
// fifty digits from the definition by mpmath 1.3.
var scaled = [...]float64{
	2.3551578691348035082,
	-0.0045900545806464773309,
	-0.084249133366517915584,
	0.059209939998191890498,
	-0.026658668435305752277,
	0.0090749976707052650939,
	-0.0024131635404176081909,
	0.00049077583652580863229,
	-0.000069169733025012063671,
	4.1390279860730101676e-6,
	7.7403830661984906689e-7,
	-2.1886401049234395659e-7,
	1.0764999465670910399e-8,
	4.5219598112182869198e-9,
	-7.7544002088313508926e-10,
	-6.3180883408866824088e-11,
	2.8687950109306719275e-11,
	1.9455868545779317249e-13,
	-9.6546967484332481423e-13,
	3.2525481481505821577e-14,
	3.3478119482885795483e-14,
	-1.8645628804022803614e-15,
	-1.2507950530525670494e-15,
	7.4182352581777929603e-17,
	5.0681489062714532303e-17,
	-2.2370566454893596697e-18,
	-2.1873429311846170081e-18,
}
