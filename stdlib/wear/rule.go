package wear

import (
	"slices"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
)

// A rule is a set of places and weights for an integral from 0 to 1.
type rule struct{ x, w []float64 }

// ruleSet holds the rules of one number of places.
type ruleSet struct {
	both rule // Gauss-Legendre
	half rule // the upper half of twice as many places from -1 to 1, for an even integrand
	low  rule // graded for an integrand that begins like a square root at 0
	high rule // the same at 1
	ends rule // the same at both
}

const maxPlaces = 48

// rules()[n] is the set of n places, for n from 1.
var rules = sync.OnceValue(func() *[maxPlaces + 1]ruleSet {
	var sets [maxPlaces + 1]ruleSet
	for n := 1; n <= maxPlaces; n++ {
		s := &sets[n]
		s.both = rule{make([]float64, n), make([]float64, n)}
		quad.Legendre{}.FixedLocations(s.both.x, s.both.w, 0, 1)
		x, w := make([]float64, 2*n), make([]float64, 2*n)
		quad.Legendre{}.FixedLocations(x, w, -1, 1)
		if x[0] > 0 { // whichever way round they come
			slices.Reverse(x)
			slices.Reverse(w)
		}
		s.half = rule{x[n:], w[n:]}
		s.low = graded(s.both, func(t float64) (x, dx float64) { return t * t, 2 * t })
		s.high = graded(s.both, func(t float64) (x, dx float64) { return 1 - (1-t)*(1-t), 2 * (1 - t) })
		s.ends = graded(s.both, func(t float64) (x, dx float64) { return t * t * (3 - 2*t), 6 * t * (1 - t) })
	}
	return &sets
})

// graded returns the rule for the integral taken over t with x = g(t).
func graded(r rule, g func(t float64) (x, dx float64)) rule {
	s := rule{make([]float64, len(r.x)), make([]float64, len(r.x))}
	for i, t := range r.x {
		x, dx := g(t)
		s.x[i], s.w[i] = x, r.w[i]*dx
	}
	return s
}

// pick returns the rule of n places, or as many as there are, for a piece that begins and ends as told.
func pick(n int, lowEdge, highEdge bool) *rule {
	switch set := &rules()[min(n, maxPlaces)]; {
	case lowEdge && highEdge:
		return &set.ends
	case lowEdge:
		return &set.low
	case highEdge:
		return &set.high
	default:
		return &set.both
	}
}
