package wear

import (
	"fmt"
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// A Rate is the wear coefficient and how well it is known: its logarithm is
// taken as normal, and with a chance of 68 % it lies between K/Factor and K·Factor.
// That is what all laps have in common; the rate of a single lap may differ from
// it, and may be known better or worse: see Of.
type Rate struct {
	K      unit.Preston
	Factor float64 // 1 where exact
	laps   *single // what was learned of single laps; nil where nothing was
}

// The published range for glass polished with cerium oxide on pitch: fused silica
// above 16e-14 cm³/(dyn·cm), 1.6e-12 m²/N, at best, and about a tenth of that in
// older work. [S: abstract of "Removal rates of fused silica with cerium
// oxide/pitch polishing"] For borosilicate no published value was found; it is
// usually said to polish a little faster than silica. [CP]
const (
	publishedLow  unit.Preston = 1.6e-13
	publishedHigh unit.Preston = 1.6e-12
)

// Published returns what may be expected before anything was learned on the
// bench: the middle, by ratio, of the published range for glass polished with
// cerium oxide on pitch, from 1.6e-13 to 1.6e-12 m²/N, with that range as the one
// it lies in with a chance of 68 %. It is a guess. Work a trial, test, and learn.
func Published() Rate {
	return Rate{
		K:      unit.Preston(math.Sqrt(float64(publishedLow) * float64(publishedHigh))),
		Factor: math.Sqrt(float64(publishedHigh / publishedLow)),
	}
}

// NewRate returns the rate with coefficient k known to within factor. It stops
// the recipe where k is not above 0 and below 1e-9 m²/N, and where factor is not
// from 1 to 1000.
func NewRate(k unit.Preston, factor float64) Rate {
	const call = "wear.NewRate"
	if !(k > 0 && k < 1e-9) {
		host.StopArg(call, "k", k, "above 0 and below 1e-9 m²/N; glass on pitch is near 5e-13")
	}
	if !(factor >= 1 && factor <= 1000) {
		host.StopArg(call, "factor", factor, "from 1, for exact, to 1000")
	}
	return Rate{K: k, Factor: factor}
}

// Range returns the ends of the range K lies in with a chance of 68 %.
func (r Rate) Range() (low, high unit.Preston) {
	return r.K / unit.Preston(r.Factor), r.K * unit.Preston(r.Factor)
}

// Depth returns the depth for a depth at a coefficient of 1, such as one of
// Profile.PerTurn, with the ends of its range.
func (r Rate) Depth(perK float64) (middle, low, high unit.Length) {
	a, b := r.Range()
	return unit.Length(perK * float64(r.K)), unit.Length(perK * float64(a)), unit.Length(perK * float64(b))
}

// String says what the rate is: "5.06e-13 m²/N, uncertain by a factor of 3.2:
// 1.6e-13 to 1.6e-12", or without the doubt where it is exact. Laps whose own rates
// were learned follow, each with its factor of doubt.
func (r Rate) String() string {
	if r.Factor == 1 {
		return r.K.String()
	}
	low, high := r.Range()
	text := fmt.Sprintf("%v, uncertain by a factor of %s: %.3g to %.3g", r.K, factorText(r.Factor), float64(low), float64(high))
	for _, l := range r.Laps() {
		own := r.Of(l)
		text += fmt.Sprintf("; %v: %v, by a factor of %s", l, own.K, factorText(own.Factor))
	}
	return text
}

// factorText prints a factor of doubt: two digits, or two decimals near 1.
func factorText(f float64) string {
	if f < 1.095 {
		return fmt.Sprintf("%.2f", f)
	}
	return fmt.Sprintf("%.2g", f)
}

// DepthText prints the depth for a depth at a coefficient of 1, in nanometres
// with its range: "0.48 nm, between 0.15 and 1.5".
func (r Rate) DepthText(perK float64) string {
	middle, low, high := r.Depth(perK)
	text := fmt.Sprintf("%.2g nm", middle.In(unit.NM))
	if r.Factor > 1 {
		text += fmt.Sprintf(", between %.2g and %.2g", low.In(unit.NM), high.In(unit.NM))
	}
	return text
}
