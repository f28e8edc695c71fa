package zone

import (
	"math"
	"testing"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// even is a mask of zones of equal width, its inner edges moved by a share of that.
func even(m *mirror.Mirror, zones int, moved float64) *Mask {
	edges := []Length{0}
	for i := 1; i < zones; i++ {
		edges = append(edges, m.Clear()*Length((float64(i)+moved)/float64(zones)))
	}
	return NewMask(m, append(edges, m.Clear())...)
}

func TestMisfitIsWhatIsReadLessWhatTheFigureGives(t *testing.T) {
	k := even(shop, 6, 0)
	ring := bell(60e-9, 0.1, 0.03)
	means := tester{shop, Moving}.means(k, ring)
	set := make([]float64, len(means))
	for i, v := range means {
		set[i] = v/1e-3 + 7 // a zero of its own
	}
	r := Given(k, Sheet{}, set)
	f := exact(shop, ring)
	off, change, noise := Misfit(r, f)
	for i := range off {
		if d := off[i] - off[0]; math.Abs(d) > 0.2e-6 {
			t.Errorf("zone %d is off by %v from zone 1", i+1, d)
		}
		sum := 0.0
		for j := range off {
			sum += noise.At(i, j)
		}
		if math.Abs(sum) > 1e-9*noise.At(i, i) {
			t.Errorf("a common shift has a share in the doubt of zone %d", i+1)
		}
	}
	// Moving one height moves the misfit against the change.
	const step = 1e-11 // near the centre a nanometre bends the reading already
	for _, j := range []int{0, 40, 200, 256} {
		e := f.Heights()
		e[j] += step
		moved, _, _ := Misfit(r, figure.New(shop, e, nil))
		for i := range off {
			if got, want := (moved[i]-off[i])/step, -change.At(i, j); math.Abs(got-want) > 1e-3*math.Abs(want)+0.1 {
				t.Errorf("zone %d, height %d: misfit changes by %v, want %v", i+1, j, got, want)
			}
		}
	}
}
