package zone

import (
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

func TestHighAndLowZonesAreListed(t *testing.T) {
	f := exact(shop, sum(bell(40e-9, 0.118, 0.02), bell(-25e-9, 0.06, 0.03)))
	list := List(shopMask, f)
	ring := slices.IndexFunc(list, func(r Ring) bool { return r.High && math.Abs(float64(r.At)-0.118) < 0.002 })
	hollow := slices.IndexFunc(list, func(r Ring) bool { return !r.High && math.Abs(float64(r.At)-0.06) < 0.002 })
	if ring < 0 || hollow < 0 || hollow > ring {
		t.Fatalf("list:\n%v", list)
	}
	r := list[ring]
	if r.First != 4 || r.Last != 6 && r.Last != 5 || math.Abs(float64(r.Height-f.At(r.At))) > 1e-12 || r.Doubt != 0 {
		t.Errorf("ring %+v", r)
	}
	if width := r.To - r.From; width < 14*MM || width > 22*MM {
		t.Errorf("ring is %v wide", width)
	}
	for i, r := range list {
		if r.High != (r.Height > 0) {
			t.Errorf("%v", r)
		}
		if i > 0 && r.From < list[i-1].At {
			t.Errorf("%v begins before the top of %v", r, list[i-1])
		}
	}
}

func TestListSaysPlaceSizeAndDoubt(t *testing.T) {
	cov := func(sigma float64) *mat.SymDense {
		c := mat.NewSymDense(figure.GridSize, nil)
		for i := range figure.GridSize {
			c.SetSym(i, i, sigma*sigma)
		}
		return c
	}
	inch := mirror.New(mirror.Spec{Diameter: 12 * Inch, FocalLength: 60 * Inch, Shop: Inch})
	half := NewMask(inch, 0, 3*Inch, 6*Inch)
	for _, c := range []struct {
		k     *Mask
		s     surface
		sigma float64
		want  []string
	}{
		{shopMask, quartic(100e-9, 0.15), 1e-9, []string{"high at the centre (0 to ", "low at 106 mm", "high at the rim", "± 1.0 nm, sure"}},
		{half, quartic(100e-9, 6*0.0254), 12e-9, []string{"low at 4.24 in", "high at the rim", "in, zone 2): 17 nm ± 12 nm, likely, not sure"}},
		{shopMask, bell(40e-9, 0.118, 0.02), 22e-9, []string{"likely, not sure"}},
		{shopMask, bell(10e-9, 0.118, 0.02), 50e-9, []string{"no zone stands out from the doubt of the readings"}},
	} {
		f := exact(c.k.m, c.s)
		text := List(c.k, figure.New(c.k.m, f.Heights(), cov(c.sigma))).String()
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("%q is not in\n%s", want, text)
			}
		}
	}
	if got := (Ring{Height: 3 * NM, Doubt: 4 * NM}).Told(); got != "the doubt is larger than the height" {
		t.Errorf("told %q", got)
	}
	other := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1500 * MM})
	if got := stop(func() { List(shopMask, exact(other, perfect)) }); got == nil || !strings.Contains(got.Message, "different mirrors") {
		t.Errorf("another mirror: %v", got)
	}
	if list := List(shopMask, exact(shop, perfect)); len(list) != 0 {
		t.Errorf("a perfect mirror has %v", list)
	}
}

func TestReductionHasTheSameBitsOnAnyNumberOfCores(t *testing.T) {
	rows := [][]float64{{0, 0.5, 0.9, 1.6, 1.9, 2.6, 3.2}, {0.1, 0.62, 1.05, 1.7, 2.03, 2.68, 3.3}}
	r := Given(shopMask, Sheet{}, rows...)
	before := runtime.GOMAXPROCS(1)
	one := Reduce(r)
	runtime.GOMAXPROCS(4)
	four := Reduce(r)
	runtime.GOMAXPROCS(before)
	for i, v := range one.Heights() {
		if v != four.Heights()[i] || one.Sigma()[i] != four.Sigma()[i] {
			t.Fatalf("height %d: %v and %v", i, v, four.Heights()[i])
		}
	}
	if one.Quality() != four.Quality() {
		t.Error("quality differs")
	}
}
