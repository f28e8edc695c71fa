package zone

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

func TestCentresOfCurvatureLieOnTheEvolute(t *testing.T) {
	// For a paraboloid and a moving source exactly 3r²/2R along and r³/R² from the axis
	// on either side [D].
	m := mirror.New(mirror.Spec{Diameter: 400 * MM, FocalLength: 1200 * MM})
	k := even(m, 8, 0)
	for i, c := range Caustic(k, Moving) {
		r := k.Radius(i).In(MM)
		near(t, "along, mm", c.Along.In(MM), 1.5*r*r/2400, 1e-9)
		near(t, "across, mm", c.Across.In(MM), 2*r*r*r/(2400*2400), 1e-9)
	}
	// A sphere's is a point.
	ball := mirror.New(mirror.Spec{Diameter: 400 * MM, FocalLength: 1200 * MM, Shape: mirror.Sphere})
	for _, source := range []Source{Moving, Fixed} {
		for _, c := range Caustic(even(ball, 8, 0), source) {
			near(t, "along, mm", c.Along.In(MM), 0, 1e-9)
			near(t, "across, mm", c.Across.In(MM), 0, 1e-9)
		}
	}
	if got := stop(func() { Caustic(k, FixedAt(Metre)) }); got == nil || got.Call != "zone.Caustic" {
		t.Errorf("source out of reach: %v", got)
	}
}

func TestNeighbouringRaysCrossInTheCentre(t *testing.T) {
	// A second way: the rays of two radii close together, each drawn through its zone
	// and the place on the axis that the knife reads there.
	for _, shape := range []float64{-2, -1, -0.7, 0.5} {
		m := mirror.New(mirror.Spec{Diameter: 400 * MM, FocalLength: 1200 * MM, Shape: mirror.Conic(shape)})
		for _, source := range []Source{Moving, Fixed, FixedAt(-50 * MM)} {
			x := tester{m, source}
			ray := func(r float64) (place, tan float64) {
				z, dz := x.target(r)
				place = x.reading(r, z, dz) + 2.4
				return place, r / (place - z)
			}
			for _, r := range []float64{0.05, 0.12, 0.19} {
				const h = 1e-4
				p1, t1 := ray(r - h)
				p2, t2 := ray(r + h)
				// (p1 - X)·t1 = (p2 - X)·t2, heights over the axis at X.
				at := (p1*t1 - p2*t2) / (t1 - t2)
				along, across := x.centre(r)
				near(t, fmt.Sprintf("K %v, %v, r %v: along", shape, source, r), along, at-2.4, 2e-7)
				near(t, fmt.Sprintf("K %v, %v, r %v: across", shape, source, r), across, -2*(p1-at)*t1, 2e-7)
			}
		}
	}
}

// sheetOf writes the centres of mirror m as sets that scatter: along the axis as the
// tester chose to stand, across it as the ray runs there and he reads it.
func sheetOf(rng *rand.Rand, k *Mask, m *mirror.Mirror, source Source, sets int, along, across float64) string {
	var b strings.Builder
	for i := range k.Zones() {
		fmt.Fprintf(&b, "zone %d,zone %d across,", i+1, i+1)
	}
	text := strings.TrimSuffix(b.String(), ",") + "\n"
	x := tester{m, source}
	for range sets {
		b.Reset()
		zero := 20 * rng.Float64()
		for i := range k.Zones() {
			r := float64(k.Radius(i))
			z, dz := x.target(r)
			a, c := x.centre(r)
			move := along * rng.NormFloat64()
			tan := r / (x.reading(r, z, dz) + float64(m.Radius()) - z)
			fmt.Fprintf(&b, "%.5f,%.5f,", a*1e3+zero+move, c*1e3+2*tan*move+across*rng.NormFloat64())
		}
		text += strings.TrimSuffix(b.String(), ",") + "\n"
	}
	return text
}

func TestCentresOfCurvatureGiveTheFigure(t *testing.T) {
	// Centres of an ellipsoid, read where a paraboloid was wanted: the figure is the
	// difference of the surfaces. D = 200, R = 2400, K = -0.8: best-focus PV 90.4 nm of
	// wave [D, V]. The places along the axis scatter by half a millimetre, which
	// does not matter; those across by five micrometres.
	rng := rand.New(rand.NewPCG(6, 6))
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	spec := m.Spec()
	spec.Shape = mirror.Conic(-0.8)
	real := mirror.New(spec)
	k := EqualAreas(m, 6)
	for _, source := range []Source{Moving, Fixed} {
		exactly := bare(Reduce(read(k, sheetOf(rng, k, real, source, 3, 0, 0), Sheet{Source: source}))).Quality()
		near(t, "PV of exact centres, nm", exactly.PVWave.Value*550, 90.4, 2)
		r := read(k, sheetOf(rng, k, real, source, 8, 0.3, 0.005), Sheet{Source: source})
		q := Reduce(r).Quality()
		near(t, "PV, nm", q.PVWave.Value*550, 90.4, 30)
		if q.PVWave.High-q.PVWave.Low < 5.0/550 {
			t.Errorf("%v: no doubt is left: %+v", source, q.PVWave)
		}
		scatter, _ := r.Scatter()
		near(t, "scatter of a place across, mm", scatter.In(MM), 0.005, 0.002)
		means := r.Means()
		// Derived: a place across moves the reading by R/2r of itself.
		near(t, "scatter of zone 1 over that of zone 6", float64(means[0].Scatter/means[5].Scatter), float64(k.Radius(5)/k.Radius(0)), 2)
	}
}

func TestACentreOnItsRayReadsAsTheKnifeWould(t *testing.T) {
	// Any point of the ray stands for the same reading: move the places along the axis
	// and across it together, along the zones' normals.
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 600 * MM}) // f/3
	k := EqualAreas(m, 5)
	x := tester{m, Moving}
	rng := rand.New(rand.NewPCG(7, 7))
	ideal := Ideal(k.Read(RMSRadius), Moving)
	for range 20 {
		along, across := make([]float64, 5), make([]float64, 5)
		shift := 0.0
		for i := range along {
			r := float64(k.Radius(i))
			a, c := x.centre(r)
			move := 1e-3 * rng.NormFloat64()
			if i == 4 {
				move = -shift // their mean is the scale's zero
			}
			shift += move
			along[i], across[i] = a+move, c+2*m.Slope(Length(r))*move
		}
		k.alongAxis(Moving, along, across)
		for i, v := range along {
			near(t, "reading, mm", v*1e3, ideal[i].In(MM), 1e-9)
		}
	}
}
