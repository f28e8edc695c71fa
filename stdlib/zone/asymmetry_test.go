package zone

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// turnedSheet writes sets of a mirror whose error depends on the angle it is turned
// to, each with a zero that scatters by loose mm.
func turnedSheet(rng *rand.Rand, k *Mask, angles []int, loose, scatter float64, at func(angle int) surface) string {
	var b strings.Builder
	b.WriteString("angle")
	for i := range k.Zones() {
		fmt.Fprintf(&b, ",zone %d", i+1)
	}
	for _, a := range angles {
		fmt.Fprintf(&b, "\n%d", a)
		zero := loose * rng.NormFloat64()
		for _, v := range (tester{k.m, Moving}).means(k, at(a)) {
			fmt.Fprintf(&b, ",%.5f", v*1e3+zero+scatter*rng.NormFloat64())
		}
	}
	return b.String() + "\n"
}

func TestASoundMirrorRarelyLooksAsymmetric(t *testing.T) {
	// Each of the tests is set so that one sheet in a hundred fails it by chance.
	rng := rand.New(rand.NewPCG(11, 3))
	const sheets = 200
	found := map[string]int{}
	for range sheets {
		text := turnedSheet(rng, shopMask, []int{0, 0, 0, 90, 90, 90, 45}, 0.03, 0.02, func(int) surface { return bell(30e-9, 0.1, 0.04) })
		for _, a := range read(shopMask, text, Sheet{}).Asymmetries() {
			if a.Zone == 0 {
				found["zero"]++
			} else {
				found["zones"]++
			}
		}
		text = sidesSheet(rng, shopMask, 3, 0.02, 0.05, make([]float64, 7))
		found["sides"] += len(read(shopMask, text, Sheet{}).Asymmetries())
	}
	for what, n := range found {
		if n > 9 { // 2 expected; more than 9 has a chance below 1e-4
			t.Errorf("%s: %d of %d sheets", what, n, sheets)
		}
	}
}

func TestAMirrorThatReadsOtherwiseWhenTurnedIsToldOf(t *testing.T) {
	// E = A(r/a)⁴·cos 2φ along the level diameter: turned by 90° the surface differs by
	// 2A(r/a)⁴, at best focus 2A/(6√5) rms (primary spherical aberration [D, V]).
	const A = 200e-9
	rng := rand.New(rand.NewPCG(11, 4))
	text := turnedSheet(rng, shopMask, []int{0, 90, -180, 270, 0, 90, 45, 45}, 3, 0.01, func(angle int) surface {
		return quartic(A*math.Cos(2*float64(angle)*math.Pi/180), 0.15)
	})
	r := read(shopMask, text, Sheet{})
	list := r.Asymmetries()
	if len(list) != 1 || list[0].Zone == 0 || !strings.HasPrefix(list[0].Between, "the mirror at 0° and at ") {
		t.Fatalf("%+v", list)
	}
	a := list[0]
	near(t, "height, nm", a.Height.In(NM), 2*A*1e9/(6*math.Sqrt(5)), 15)
	if a.Chance > 1e-3 || math.Abs(float64(a.Reading)) < 2*float64(a.Doubt) {
		t.Errorf("%+v", a)
	}
	if s := a.String(); !strings.Contains(s, "The readings differ between the mirror at 0° and at ") || !strings.Contains(s, " nm rms: the mirror may not be a figure of revolution, or its support bends it.") {
		t.Errorf("%q", s)
	}
	// Without the angles there is nothing to compare.
	blind := strings.NewReplacer("\n0,", "\n-,", "\n90,", "\n-,", "\n-180,", "\n-,", "\n270,", "\n-,", "\n45,", "\n-,").Replace(text)
	if got := read(shopMask, blind, Sheet{}).Asymmetries(); got != nil {
		t.Errorf("without angles: %v", got)
	}
}

func TestAMirrorTurnedEndForEndReadsTheSame(t *testing.T) {
	// A figure of revolution has no ends: the same sets under other angles give the
	// same figure, and no asymmetry.
	rng := rand.New(rand.NewPCG(11, 5))
	at := func(int) surface { return sum(bell(40e-9, 0.1, 0.04), quartic(50e-9, 0.15)) }
	text := turnedSheet(rng, shopMask, []int{0, 0, 0, 0}, 1, 0.02, at)
	turned := strings.Replace(text, "\n0,", "\n180,", 2)
	a, b := read(shopMask, text, Sheet{}), read(shopMask, turned, Sheet{})
	if got := b.Asymmetries(); got != nil {
		t.Errorf("%v", got)
	}
	x, y := Reduce(a).Heights(), Reduce(b).Heights()
	for i := range x {
		if x[i] != y[i] {
			t.Fatalf("height %d differs: %v, %v", i, x[i], y[i])
		}
	}
}

func TestPlainAstigmatismShowsInTheZeros(t *testing.T) {
	// E = A(r/a)²·cos 2φ is a change of the radius of curvature along the level diameter:
	// turned by 90° the surface differs by 2A at the rim and nothing but the zero of a
	// set changes.
	const A = 150e-9
	for _, unit := range []Length{MM, Inch} {
		rng := rand.New(rand.NewPCG(11, 6))
		text := turnedSheet(rng, shopMask, []int{0, 90, 0, 90, 0, 90}, 0.01, 0.01, func(angle int) surface {
			h := A * math.Cos(2*float64(angle)*math.Pi/180)
			return func(r float64) (float64, float64) { return h * r * r / (0.15 * 0.15), 2 * h * r / (0.15 * 0.15) }
		})
		r := read(shopMask, text, Sheet{})
		r.sheet.Unit = unit
		list := r.Asymmetries()
		if len(list) != 1 || list[0].Zone != 0 {
			t.Fatalf("%+v", list)
		}
		near(t, "height at the rim, nm", list[0].Height.In(NM), 300, 40)
		if s := list[0].String(); !strings.HasPrefix(s, "All readings differ alike between the mirror at 0° and at 90° beyond their scatter, by ") || !strings.Contains(s, " "+unit.Symbol()+". If neither scale nor mirror was moved") {
			t.Errorf("%q", s)
		}
	}
}

// sidesSheet writes sets read left and right, the knife beside the axis by so much
// in each, in mm, with a difference of each zone besides.
func sidesSheet(rng *rand.Rand, k *Mask, sets int, scatter, beside float64, differ []float64) string {
	var b strings.Builder
	for i := range k.Zones() {
		fmt.Fprintf(&b, "zone %d left,zone %d right,", i+1, i+1)
	}
	text := strings.TrimSuffix(b.String(), ",") + "\n"
	means := tester{k.m, Moving}.means(k, perfect)
	for range sets {
		b.Reset()
		d := beside * rng.NormFloat64()
		for i, v := range means {
			half := d*float64(k.m.Radius()/k.Radius(i)) + differ[i]/2
			fmt.Fprintf(&b, "%.5f,%.5f,", v*1e3+half+scatter*rng.NormFloat64(), v*1e3-half+scatter*rng.NormFloat64())
		}
		text += strings.TrimSuffix(b.String(), ",") + "\n"
	}
	return text
}

func TestLeftAndRightThatDifferAreToldOf(t *testing.T) {
	// A knife beside the axis reads the one longer and the other shorter by d·R/r; what
	// differs otherwise is the mirror. See the rays: a knife that stands d beside the
	// axis meets the ray from -r where it is d off the axis, d·R/r further on.
	rng := rand.New(rand.NewPCG(11, 7))
	differ := []float64{0, 0, 0, 0, 0, 0, 0.15}
	r := read(shopMask, sidesSheet(rng, shopMask, 4, 0.01, 0.05, differ), Sheet{})
	list := r.Asymmetries()
	if len(list) != 1 || list[0].Zone != 7 || list[0].Between != "the left and the right opening" {
		t.Fatalf("%+v", list)
	}
	near(t, "reading, mm", list[0].Reading.In(MM), 0.13, 0.03) // part of it looks like a knife beside the axis
	if h := list[0].Height; h < 1*NM || h > 30*NM {
		t.Errorf("height %v", h)
	}
	// Their means are what they would be with the knife on the axis.
	for _, m := range r.Means() {
		near(t, "off, mm", m.Off.In(MM), 0, 0.015)
	}
	// With the mirror turned the angle is named.
	text := "angle," + strings.ReplaceAll(sidesSheet(rng, shopMask, 5, 0.01, 0.05, differ), "\n", "\n30,")
	text = strings.TrimSuffix(text, "30,")
	text = strings.Replace(text, "\n30,", "\n120,", 2)
	if list = read(shopMask, text, Sheet{}).Asymmetries(); len(list) == 0 || !strings.HasPrefix(list[len(list)-1].Between, "the left and the right opening, the mirror at ") {
		t.Errorf("%+v", list)
	}
}

func TestFewReadingsHideNoFault(t *testing.T) {
	// Zones that were not read at every angle are left out; with too few left nothing
	// is said, and nothing fails.
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	k := NewMask(m, 0, 50*MM, 80*MM, 100*MM)
	for _, text := range []string{
		"angle,zone 1,zone 2,zone 3\n0,0,1,-\n0,0,1,2\n90,-,1,2\n",
		"angle,zone 1,zone 2,zone 3\n0,0,1,-\n90,-,1,2\n",
		"angle,zone 1,zone 2,zone 3\n0,0,1,2\n90,0,1,2\n",
		"angle,zone 1,zone 2,zone 3\n0,0,1,2\n-,0,1,2\n",
		"zone 1 left,zone 1 right,zone 2 left,zone 2 right,zone 3 left,zone 3 right\n0,0,1,1,2,-\n0,0,-,1,2,2\n0,0,1,1,2,2\n",
	} {
		if got := read(k, text, Sheet{}).Asymmetries(); got != nil {
			t.Errorf("%q: %v", text, got)
		}
	}
}
