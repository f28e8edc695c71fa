package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// MostDefocus is the largest defocus that a star's image is reckoned for, in
// wavelengths at the edge.
const MostDefocus = 20

// Spread returns how bright the image of a star is at each distance from its
// middle, as a share of the brightest of a perfect mirror with the same aperture.
// Defocus is how far beyond the best focus, away from the mirror, it is looked at;
// the best focus is where the mean square of the wavefront is least. Heights are
// taken as exact.
//
// It is the diffraction integral of a round aperture in one colour (Born & Wolf,
// Principles of Optics, 8.8 [from memory]). It stops the recipe where defocus is
// more than MostDefocus, and where a distance is negative or beyond 100 Airy radii.
func (f *Figure) Spread(defocus unit.Length, distances ...unit.Length) []float64 {
	const call = "figure.Figure.Spread"
	f.checkDefocus(call, defocus)
	for i, d := range distances {
		if !(d >= 0 && d <= 100*f.m.Airy()) {
			host.StopArg(call, fmt.Sprintf("distance %d", i+1), d, fmt.Sprintf("from 0 to %v, 100 Airy radii", 100*f.m.Airy()))
		}
	}
	// A defocused wave turns faster from radius to radius than the grid follows.
	finer := 1 + int(math.Abs(f.Defocus(defocus))/4)
	g := f.Refocused()
	r := spread(f.r[0], f.r[len(f.r)-1], finer*(len(f.r)-1)+1)
	clear := r[len(r)-1]
	turn := 2 * math.Pi * f.Defocus(defocus)
	re, im := make([]float64, len(r)), make([]float64, len(r))
	for i, w := range weights(r) {
		e := 0.0
		first, shares := cubic(f.r, r[i])
		for k, share := range shares {
			e += share * g.e[first+k]
		}
		rho := r[i] / clear
		sin, cos := math.Sincos(4*math.Pi/float64(f.m.Wavelength())*e + turn*rho*rho)
		re[i], im[i] = w*cos, w*sin
	}
	bright := make([]float64, len(distances))
	for k, d := range distances {
		v := f.reach(d) / clear
		a, b := 0.0, 0.0
		for i := range r {
			j := math.J0(v * r[i])
			a, b = a+re[i]*j, b+im[i]*j
		}
		bright[k] = a*a + b*b
	}
	return bright
}

// Defocus returns how many wavelengths a shift of focus along the axis turns the
// wave at the edge of the aperture against its middle: d/(8λF²).
func (f *Figure) Defocus(d unit.Length) float64 {
	F := f.m.FocalRatio()
	return float64(d/f.m.Wavelength()) / (8 * F * F)
}

func (f *Figure) checkDefocus(call string, d unit.Length) {
	if !(math.Abs(f.Defocus(d)) <= MostDefocus) {
		F := f.m.FocalRatio()
		host.StopArg(call, "defocus", d, fmt.Sprintf("at most %v either way, %d waves at the edge", f.m.Wavelength()*unit.Length(8*F*F*MostDefocus), MostDefocus))
	}
}

// reach is the distance d in the image as the argument of Airy's pattern, πd/(λF).
func (f *Figure) reach(d unit.Length) float64 {
	return math.Pi * float64(d/f.m.Wavelength()) / f.m.FocalRatio()
}

// Encircled returns the share of a star's light that falls within each radius of
// the middle of its image, at best focus: where the mean square of the wavefront is
// least. It is that of all light that the aperture lets through. It stops the
// recipe where a radius is negative or beyond 20 Airy radii.
func (f *Figure) Encircled(radii ...unit.Length) []Estimate {
	for i, d := range radii {
		if !(d >= 0 && d <= 20*f.m.Airy()) {
			host.StopArg("figure.Figure.Encircled", fmt.Sprintf("radius %d", i+1), d, fmt.Sprintf("from 0 to %v, 20 Airy radii", 20*f.m.Airy()))
		}
	}
	most := 0.0
	for _, d := range radii {
		most = math.Max(most, f.reach(d))
	}
	// Light by the argument v of Airy's pattern: the integral of brightness times v,
	// by Gauss's rule over even stretches shorter than the rings.
	const points = 8
	stretches := int(most/2) + 1
	long := most / float64(stretches)
	at, share := make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(at, share, 0, 1)
	clear, w := f.r[len(f.r)-1], weights(f.r)
	kernel := make([][]float64, 0, stretches*points) // w·J₀(vρ)
	row := func(v float64) []float64 {
		list := make([]float64, len(f.r))
		for i, r := range f.r {
			list[i] = w[i] * math.J0(v*r/clear)
		}
		return list
	}
	for s := range stretches {
		for _, x := range at {
			kernel = append(kernel, row(long*(float64(s)+x)))
		}
	}
	// The last stretch of each radius, which it ends within.
	last := make([][][]float64, len(radii))
	whole, part := make([]int, len(radii)), make([]float64, len(radii))
	for k, d := range radii {
		v := f.reach(d)
		if long > 0 {
			whole[k] = min(int(v/long), stretches)
		}
		part[k] = math.Max(0, v-long*float64(whole[k]))
		for _, x := range at {
			last[k] = append(last[k], row(long*float64(whole[k])+part[k]*x))
		}
	}
	hole := f.r[0] / clear
	phase := 4 * math.Pi / float64(f.m.Wavelength())
	cos, sin := make([]float64, len(f.r)), make([]float64, len(f.r))
	light := func(rows [][]float64, from, wide float64) float64 {
		sum := 0.0
		for i, kernel := range rows {
			a, b := 0.0, 0.0
			for n, k := range kernel {
				a, b = a+k*cos[n], b+k*sin[n]
			}
			sum += share[i] * wide * (from + wide*at[i]) * (a*a + b*b)
		}
		return sum * (1 - hole*hole) / 2
	}
	return f.Refocused().estimates(func(e []float64) []float64 {
		for i, v := range e {
			sin[i], cos[i] = math.Sincos(phase * v)
		}
		upTo := make([]float64, stretches+1)
		for s := range stretches {
			upTo[s+1] = upTo[s] + light(kernel[s*points:(s+1)*points], long*float64(s), long)
		}
		within := make([]float64, len(radii))
		for k := range radii {
			within[k] = upTo[whole[k]] + light(last[k], long*float64(whole[k]), part[k])
		}
		return within
	})
}
