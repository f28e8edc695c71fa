package figure

import (
	"fmt"
	"math"
	"slices"

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
	Rest       Estimate // rms of the surface that is left beside the conic, metres; the readings cannot show that nothing is left, and the range says more then
	Share      float64  // of the mean square of the surface that the conic accounts for, 0 to 1, by the heights as most likely
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
		for i, v := range change {
			for j, u := range change {
				sigma += p.w[i] * v * p.w[j] * u * g.cov.At(i, j)
			}
		}
		sigma = math.Sqrt(math.Max(0, sigma)) / p.dot(change, change)
	}
	fit := ConicFit{Constant: Estimate{k, k - sigma, k + sigma}}
	if all := p.dot(g.e, g.e); all > 0 {
		fit.Share = math.Max(0, 1-p.dot(rest, rest)/all)
	}
	square := p.dot(change, change)
	fit.Rest = New(f.m, rest, g.cov).estimates(func(e []float64) []float64 {
		along := p.dot(change, e)
		return []float64{math.Sqrt(math.Max(0, p.dot(e, e)-along*along/square))}
	})[0]
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
	Sagitta      Estimate // A: peak to valley of the best-fitting sphere
	Irregularity Estimate // B: peak to valley once that sphere is taken out
	Rotational   Estimate // C: peak to valley of the part of that which is a figure of revolution: all of it
	RMSt         Estimate // rms less piston
	RMSi         Estimate // rms once the sphere is taken out
	RMSa         Estimate // rms of the part that varies around the axis: none
}

// Form returns the surface's form deviation. The terms are those of ISO 10110-5
// as quoted in a tutorial and makers' pages; the standard itself was not opened.
func (f *Figure) Form() Form {
	p := newFocus(f.r)
	sphere := slices.Max(p.q[1]) - slices.Min(p.q[1])
	of := f.estimates(func(e []float64) []float64 {
		rest, mean := p.remove(e), p.dot(p.q[0], e)
		return []float64{
			math.Abs(p.dot(p.q[1], e)) * sphere,
			slices.Max(rest) - slices.Min(rest),
			math.Sqrt(math.Max(0, p.dot(e, e)-mean*mean)),
			math.Sqrt(p.dot(rest, rest)),
		}
	})
	return Form{Sagitta: of[0], Irregularity: of[1], Rotational: of[1], RMSt: of[2], RMSi: of[3]}
}
