package session

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
)

// reachSamples is how many surfaces Reaches draws, with a fixed seed. They tell a
// chance to about two hundredths.
const reachSamples = 400

// Reaches returns the chance that a mirror with figure f has at least that Strehl
// ratio, by diffraction at its best focus: the rule by which to stop. Where it is high
// enough for the maker the mirror is done; where it is not, no plan may still be the
// best plan. It stops the recipe where strehl is not between 0 and 1.
func Reaches(f *figure.Figure, strehl float64) float64 {
	if !(strehl > 0 && strehl < 1) {
		host.StopArg("session.Reaches", "strehl", strehl, "above 0 and below 1, like 0.95")
	}
	if f.Covariance() == nil {
		if f.Quality().Strehl.Value >= strehl {
			return 1
		}
		return 0
	}
	n := 0
	for _, s := range f.Samples(reachSamples, 1) {
		if s.Quality().Strehl.Value >= strehl {
			n++
		}
	}
	return float64(n) / reachSamples
}
