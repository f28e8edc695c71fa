package zone

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

func TestASecondMaskShowsWhatHidInTheFirst(t *testing.T) {
	// A ring that lies wholly within one opening moves no reading of its mask. With a
	// mask whose edges fall on it besides, its height is found to a few nanometres.
	rng := rand.New(rand.NewPCG(4, 4))
	const at = 0.075 // the middle of zone 4 of 7
	ring := bell(40e-9, at, 0.005)
	truth := exact(shop, ring)
	var tests []*Readings
	for _, moved := range []float64{0, -0.5} {
		k := even(shop, 7, moved)
		tests = append(tests, Given(k, Sheet{}, noisy(rng, tester{shop, Moving}.means(k, ring), 5, 0.01e-3)...))
	}
	one, both := Reduce(tests[0]), Reduce(tests[0], tests[1])
	top := func(f *figure.Figure) float64 { return f.At(at * Metre).In(NM) }
	if got := top(one); math.Abs(got) > 12 {
		t.Errorf("through one mask the ring stands %.1f nm high: it is not hidden", got)
	}
	if got, want := top(both), top(truth); math.Abs(got-want) > 8 {
		t.Errorf("through both masks the ring stands %.1f nm high, want %.1f", got, want)
	}
	swapped := Reduce(tests[1], tests[0])
	for i, v := range both.Heights() {
		near(t, "height, masks in the other order", swapped.Heights()[i], v, 1e-13)
	}
}

func TestSetsInTwoSheetsAreAsGoodAsInOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 4))
	k := even(shop, 9, 0)
	sets := noisy(rng, tester{shop, Fixed}.means(k, bell(50e-9, 0.1, 0.02)), 12, 0.04e-3)
	s := Sheet{Source: Fixed}
	whole := Reduce(Given(k, s, sets...))
	halves := Reduce(Given(k, s, sets[:6]...), Given(k, s, sets[6:]...))
	for i, v := range whole.Heights() {
		near(t, "height", halves.Heights()[i], v, 1.5*whole.Sigma()[i]+1e-9)
	}
}

func TestReadingsOfAnotherMirrorAreRefused(t *testing.T) {
	other := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})
	r := func(m *mirror.Mirror) *Readings { return Given(even(m, 3, 0), Sheet{}, []float64{1, 2, 3}) }
	if got := stop(func() { Reduce(r(shop), r(other)) }); got == nil || !strings.Contains(got.Message, "the readings belong to different mirrors") {
		t.Errorf("stopped with %v", got)
	}
}
