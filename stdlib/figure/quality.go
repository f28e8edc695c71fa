package figure

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"lapwright/stdlib/elementary"
)

// An Estimate is a number with the range it lies in with a chance of 68 %.
// Value is the median: with as much chance the truth is above as below. Where
// the figure is exact all three are the same.
type Estimate struct{ Value, Low, High float64 }

// Quality is how good a figure makes its mirror, at best focus: where the mean
// square of the wavefront is least, but for Strehl and Ray, which have a best
// focus of their own. The wavefront error is twice that of the surface.
//
// The numbers depend on the heights in ways far from linear, so that the
// heights most likely do not give the most likely numbers: a mean of many
// possible surfaces is flatter than each of them. The estimates are therefore
// medians and ranges over samples of the figure, drawn with a fixed seed.
//
// Held against random mirrors whose figures came from readings, as the bands of
// zone.Reduce are, the ranges hold about 68 % of them, with one exception: the
// greatest ray error is where the slope is greatest, and of glass between the edges
// of the openings the samples only know how rough it may be. The range of Ray holds
// 45 %, and most of the other mirrors are better than it says.
type Quality struct {
	RMSSurface Estimate // metres
	PVSurface  Estimate // metres
	RMSWave    Estimate // wavelengths
	PVWave     Estimate // wavelengths
	StrehlRMS  Estimate // exp(-(2πσ/λ)²)
	Strehl     Estimate // by the diffraction integral at its best focus
	Ray        Estimate // greatest transverse ray error over the Airy radius 1.22 λF
}

// qualitySamples and qualitySeed fix the samples that Quality draws. With 400
// the ends of a range are known to about a tenth of its half width.
const (
	qualitySamples = 400
	qualitySeed    = 1
)

// Quality judges the figure.
func (f *Figure) Quality() Quality {
	g := f.Refocused()
	j := newJudge(g)
	var q Quality
	wave := float64(f.m.Wavelength())
	fill := func(rms, pv, strehl, ray Estimate) {
		q.RMSSurface, q.PVSurface, q.Strehl, q.Ray = rms, pv, strehl, ray
		q.RMSWave, q.PVWave = rms.scaled(2/wave), pv.scaled(2/wave)
		// Falls as the rms rises, so that low and high change places.
		q.StrehlRMS = Estimate{strehlRMS(q.RMSWave.Value), strehlRMS(q.RMSWave.High), strehlRMS(q.RMSWave.Low)}
	}
	of := g.estimates(func(e []float64) []float64 {
		rms, pv, strehl, ray := j.all(e)
		return []float64{rms, pv, strehl, ray}
	})
	fill(of[0], of[1], of[2], of[3])
	return q
}

// estimates returns how sure the numbers are that some function gives of heights:
// the numbers themselves where the heights are exact.
func (f *Figure) estimates(numbers func(e []float64) []float64) []Estimate {
	if f.cov == nil {
		var list []Estimate
		for _, v := range numbers(f.e) {
			list = append(list, Estimate{v, v, v})
		}
		return list
	}
	var drawn [][]float64 // of each number
	f.draw(qualitySamples, qualitySeed, func(e []float64) {
		for i, v := range numbers(e) {
			if i == len(drawn) {
				drawn = append(drawn, nil)
			}
			drawn[i] = append(drawn[i], v)
		}
	})
	list := make([]Estimate, len(drawn))
	for i, x := range drawn {
		list[i] = estimate(x)
	}
	return list
}

func (e Estimate) scaled(k float64) Estimate { return Estimate{k * e.Value, k * e.Low, k * e.High} }

// estimate is the median of x, which it sorts, and the middle three quarters. By
// simulation it takes so many to hold the truth with a chance of 68 %: of 1000 random
// mirrors the middle 68 % hold the rms of 62 %, these of 68 %. The samples are drawn as
// if what is taken for granted of a surface were true of this one.
func estimate(x []float64) Estimate {
	const tail = 0.125
	slices.Sort(x)
	return Estimate{
		stat.Quantile(0.5, stat.LinInterp, x, nil),
		stat.Quantile(tail, stat.LinInterp, x, nil),
		stat.Quantile(1-tail, stat.LinInterp, x, nil),
	}
}

// strehlRMS is the Strehl ratio by the rms of the wavefront in wavelengths,
// exp(-(2πσ)²): Mahajan 1982, J. Opt. Soc. Am. 72, 1258 [from memory]. It is
// good for small errors only.
func strehlRMS(sigma float64) float64 { return elementary.Exp(-math.Pow(2*math.Pi*sigma, 2)) }

// A judge finds the numbers of quality for heights with piston and focus out.
type judge struct {
	focus
	r     []float64
	rho2  []float64 // (r/clear)²
	phase float64   // of a metre of surface: 4π/λ
	ray   float64   // Airy radii a unit of surface slope sends a ray aside: 2f/ρ
}

func newJudge(f *Figure) judge {
	j := judge{focus: newFocus(f.r), r: f.r, rho2: make([]float64, len(f.r))}
	clear := f.r[len(f.r)-1]
	for i, r := range f.r {
		j.rho2[i] = r * r / (clear * clear)
	}
	j.phase = 4 * math.Pi / float64(f.m.Wavelength())
	j.ray = float64(2 * f.m.FocalLength() / f.m.Airy())
	return j
}

func (j judge) all(e []float64) (rms, pv, strehl, ray float64) {
	rms = math.Sqrt(j.dot(e, e))
	pv = slices.Max(e) - slices.Min(e)
	return rms, pv, j.strehl(e), j.worstRay(e)
}

// strehl is the greatest over focus of |∫ exp(iφ) dA|², φ the phase of the
// wavefront: the peak of the diffraction image over that of a perfect mirror of
// the same aperture. Born & Wolf, Principles of Optics, 9.1 [from memory].
func (j judge) strehl(e []float64) float64 {
	// at returns S and its first two derivatives by the height d that focus adds
	// at the edge, in radians of phase.
	at := func(d float64) (s, s1, s2 float64) {
		var a, b, a1, b1, a2, b2 float64 // ∫exp(iφ), and with iρ² and (iρ²)²
		for i, w := range j.w {
			sin, cos := math.Sincos(j.phase*e[i] + d*j.rho2[i])
			sin, cos = w*sin, w*cos
			a, b = a+cos, b+sin
			sin, cos = j.rho2[i]*sin, j.rho2[i]*cos
			a1, b1 = a1-sin, b1+cos
			a2, b2 = a2-j.rho2[i]*cos, b2-j.rho2[i]*sin
		}
		return a*a + b*b, 2 * (a*a1 + b*b1), 2 * (a1*a1 + b1*b1 + a*a2 + b*b2)
	}
	// climb goes from d to its crest: up by whole steps while that helps, then by
	// Newton's steps, halving the bracket where they leave it.
	const step = 2 * math.Pi / 10
	climb := func(d float64) (best float64) {
		best, up, _ := at(d)
		for dir := math.Copysign(step, up); ; d += dir {
			s, _, _ := at(d + dir)
			if !(s > best) {
				break
			}
			best = s
		}
		low, high := d-step, d+step
		for range 30 {
			s, s1, s2 := at(d)
			best = math.Max(best, s)
			if s1 > 0 {
				low = d
			} else {
				high = d
			}
			next := d - s1/s2
			if !(s2 < 0 && next > low && next < high) {
				next = (low + high) / 2
			}
			if math.Abs(next-d) < 1e-6 {
				break
			}
			d = next
		}
		return best
	}
	// Where the error is small the crest is near the least mean square. Once S is
	// below 3/4 a focus far off may be better still (of exp(iφ) the share √S goes
	// with the first crest and √(1-S) is left for another): look for all crests
	// within ten waves of focus and climb those that can be the highest.
	best := climb(0)
	if best > 0.75 {
		return best
	}
	const n = 100
	var scan [2*n + 1]float64
	for k := range scan {
		scan[k] = j.coarse(e, float64(k-n)*step)
	}
	top := slices.Max(scan[:])
	for k := 1; k < 2*n; k++ {
		if s := scan[k]; s >= scan[k-1] && s >= scan[k+1] && s > 0.8*math.Max(top, best) {
			best = math.Max(best, climb(float64(k-n)*step))
		}
	}
	return best
}

// coarse is S at focus d by every fourth radius.
func (j judge) coarse(e []float64, d float64) float64 {
	var a, b, sum float64
	for i := 0; i < len(e); i += 4 {
		sin, cos := math.Sincos(j.phase*e[i] + d*j.rho2[i])
		r := j.r[i]
		if i == 0 || i == len(e)-1 {
			r /= 2
		}
		a, b, sum = a+r*cos, b+r*sin, sum+r
	}
	return (a*a + b*b) / (sum * sum)
}

// worstRay is the least over focus of the greatest transverse ray error, in
// Airy radii: with slope s the ray of a zone passes the focus at the distance
// 2f·s, and focus adds to s in proportion to r.
func (j judge) worstRay(e []float64) float64 {
	_, worst := level(j.r, slopes(j.r, e))
	return j.ray * worst
}

// level returns the c for which the greatest |s + c·r| is least, and how great it is
// then: the focus best for the worst of all rays.
func level(r, s []float64) (c, worst float64) {
	// It is convex in c: halve the bracket by the sign of the slope at the radius that
	// has it.
	at := func(c float64) (worst, sign float64) {
		for i, v := range s {
			v += c * r[i]
			if a := math.Abs(v); a > worst {
				worst, sign = a, math.Copysign(r[i], v)
			}
		}
		return worst, sign
	}
	worst, _ = at(0)
	low, high := -worst/r[len(r)-1]*2, worst/r[len(r)-1]*2
	best := 0.0
	for range 60 {
		c := (low + high) / 2
		w, sign := at(c)
		if w < worst {
			worst, best = w, c
		}
		if sign > 0 {
			high = c
		} else {
			low = c
		}
	}
	return best, worst
}
