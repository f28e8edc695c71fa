package figure

import (
	"fmt"
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// Conic returns the exact figure of a mirror that is a conic of constant k and
// the same vertex radius: its height above the target surface. It stops the
// recipe where such a conic does not reach the rim.
func Conic(m *mirror.Mirror, k float64) *Figure {
	R, clear := float64(m.Radius()), float64(m.Clear())
	if !(k >= -1000 && (1+k)*clear*clear < R*R) {
		host.StopArg("figure.Conic", "k", k, fmt.Sprintf("from -1000 to less than %.4g, where the conic closes before the rim", R*R/(clear*clear)-1))
	}
	r := Grid(m)
	e := make([]float64, len(r))
	for i := range e {
		e[i] = sag(r[i], R, k) - float64(m.Sag(unit.Length(r[i])))
	}
	return New(m, e, nil)
}

func sag(r, R, k float64) float64 { return r * r / (R + math.Sqrt(R*R-(1+k)*r*r)) }

// A ConicFit is the conic that is nearest to a figure by the mean square over
// the area, piston and focus free.
type ConicFit struct {
	Constant   Estimate
	Correction Estimate // Constant over that of the target in per cent: below 100 under-, above it over-corrected; 0 for a sphere
	Rest       float64  // rms of the surface that is left beside the conic, metres
}

// BestConic fits a conic. The error is taken as linear in the constant, about the
// constant found, so that the ranges are normal ones.
func (f *Figure) BestConic() ConicFit {
	g := f.Refocused()
	p := newFocus(f.r)
	R, target := float64(f.m.Radius()), f.m.Spec().Shape.Constant()
	// The surface of constant k less the target, focus out, and its change with k.
	at := func(k float64) []float64 {
		e := make([]float64, len(f.r))
		for i, r := range f.r {
			e[i] = sag(r, R, k) - sag(r, R, target)
		}
		return p.remove(e)
	}
	k := target
	var change, rest []float64
	for range 5 {
		const h = 1e-3
		up, down := at(k+h), at(k-h)
		here := at(k)
		change, rest = make([]float64, len(up)), make([]float64, len(up))
		for i := range up {
			change[i] = (up[i] - down[i]) / (2 * h)
			rest[i] = g.e[i] - here[i]
		}
		step := p.dot(change, rest) / p.dot(change, change)
		k += step
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	sigma := 0.0
	if g.cov != nil {
		square := p.dot(change, change)
		for i, v := range change {
			for j, u := range change {
				sigma += p.w[i] * v * p.w[j] * u * g.cov.At(i, j)
			}
		}
		sigma = math.Sqrt(math.Max(0, sigma)) / square
	}
	fit := ConicFit{Constant: Estimate{k, k - sigma, k + sigma}, Rest: math.Sqrt(p.dot(rest, rest))}
	if target != 0 {
		c, d := 100*k/target, 100*sigma/math.Abs(target)
		fit.Correction = Estimate{c, c - d, c + d}
	}
	return fit
}

// Form is the surface's form deviation in the terms of ISO 10110-5, for the
// heights as given: peak to valley and rms in metres of surface, over the clear
// aperture. A figure of revolution has no part that varies around the axis. A
// figure that came from readings is known up to focus only, so that its Sagitta
// means nothing.
type Form struct {
	Sagitta      float64 // A: peak to valley of the best-fitting sphere
	Irregularity float64 // B: peak to valley once that sphere is taken out
	Rotational   float64 // C: peak to valley of the part of that which is a figure of revolution: all of it
	RMSt         float64 // rms less piston
	RMSi         float64 // rms once the sphere is taken out
}

// Form returns the surface's form deviation. The terms are those of ISO 10110-5
// as quoted in a tutorial and makers' pages; the standard itself was not opened.
func (f *Figure) Form() Form {
	p := newFocus(f.r)
	sphere, rest := p.dot(p.q[1], f.e), p.remove(f.e)
	mean := p.dot(p.q[0], f.e)
	q := p.q[1]
	pv := func(e []float64) float64 {
		low, high := e[0], e[0]
		for _, v := range e {
			low, high = math.Min(low, v), math.Max(high, v)
		}
		return high - low
	}
	form := Form{Sagitta: math.Abs(sphere) * pv(q), Irregularity: pv(rest), RMSi: math.Sqrt(p.dot(rest, rest))}
	form.Rotational = form.Irregularity
	form.RMSt = math.Sqrt(math.Max(0, p.dot(f.e, f.e)-mean*mean))
	return form
}
