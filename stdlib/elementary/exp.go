// Package elementary holds the elementary functions that package math computes in
// ways that depend on the processor: the exponential function, where it fuses
// products and sums on some, and what is made of it. Here they are computed by the
// same steps everywhere, so that a recipe's numbers are the same to the last bit.
//
// The conversions to float64 of products keep a compiler from fusing them with the
// sum that follows (The Go Programming Language Specification, Floating-point
// operators).
//
// Recipes do not import this package; they call package math.
package elementary

import "math"

// Exp returns e to the power x, within one unit in the last place. It is +Inf above
// 709.78, 0 below -745.13, and NaN for NaN.
//
// With x = k ln 2 + r it is 2 to the power k times the power series of e to the r,
// whose terms beyond the thirteenth are smaller than a unit in the last place
// (Abramowitz and Stegun, Handbook of Mathematical Functions, 4.2.1).
func Exp(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x > 709.782712893384:
		return math.Inf(1)
	case x < -745.1332191019412:
		return 0
	}
	// The first part of ln 2 has so few bits that its product with k is exact.
	const ln2, rest = 0x1.62e42fefa38p-01, 0x1.ef35793c7673p-45
	k := math.Floor(float64(x*math.Log2E) + 0.5)
	whole := x - float64(k*ln2)
	r := whole - float64(k*rest)
	lost := (whole - r) - float64(k*rest)

	p := inverse[len(inverse)-1]
	for n := len(inverse) - 2; n >= 0; n-- {
		p = inverse[n] + float64(r*p)
	}
	v := 1 + (r + (lost + float64(float64(r*r)*p)))

	// In two steps, as the power can lie beyond what one factor can be.
	half := math.Floor(k / 2)
	return v * power(half) * power(k-half)
}

// inverse are 1/2!, 1/3! … 1/13!.
var inverse = func() (list [12]float64) {
	f := 1.
	for n := range list {
		f *= float64(n + 2)
		list[n] = 1 / f
	}
	return list
}()

// power returns 2 to the power k, from -1022 to 1023.
func power(k float64) float64 { return math.Float64frombits(uint64(1023+int(k)) << 52) }

// Sinh returns the hyperbolic sine of x, within two units in the last place.
func Sinh(x float64) float64 {
	if a := math.Abs(x); a > 1 {
		e := Exp(a / 2) // the whole of it may lie beyond the largest number
		v := float64(e/2)*e - 0.5/e/e
		return math.Copysign(v, x)
	}
	// Its power series (4.5.62).
	square, term, sum := float64(x*x), x, x
	for n := 3.; n < 20; n += 2 {
		term = float64(term*square) / float64(n*(n-1))
		sum += term
	}
	return sum
}
