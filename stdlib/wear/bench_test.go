package wear

import (
	"testing"
)

func BenchmarkDepths(b *testing.B) {
	g := glass{rim: 0.150}
	radii := make([]float64, 256)
	for i := range radii {
		radii[i] = g.rim * (float64(i) + 0.5) / 256
	}
	dst := make([]float64, len(radii))
	sets := library(g, 100)
	var c curves
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		s := sets[i%len(sets)]
		newSweep(g, s.f, s.s, s.at, 1).depths(dst, radii, &c)
	}
}
