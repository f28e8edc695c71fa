package figure

import (
	"math"
	"strings"
	"testing"

	. "lapwright/stdlib/unit"
)

func TestZernikeTermsAreThoseOfBothOrderings(t *testing.T) {
	// Index, degree and polynomial: J. Eur. Opt. Soc. 2025, 20240062, table A.1 [S].
	polynomials := []func(rho float64) float64{
		func(rho float64) float64 { return math.Sqrt(3) * (2*rho*rho - 1) },
		func(rho float64) float64 { return math.Sqrt(5) * (6*math.Pow(rho, 4) - 6*rho*rho + 1) },
		func(rho float64) float64 {
			return math.Sqrt(7) * (20*math.Pow(rho, 6) - 30*math.Pow(rho, 4) + 12*rho*rho - 1)
		},
	}
	for i, want := range polynomials {
		noll := ZernikeSurface(f5, Noll, Term{[]int{4, 11, 22}[i], 10 * NM})
		osa := ZernikeWave(f5, OSA, Term{[]int{4, 12, 24}[i], 20 * NM})
		for k, r := range Grid(f5) {
			w := 10e-9 * want(r/0.15)
			near(t, "Noll", noll.e[k], w, 1e-20)
			near(t, "OSA, half the wave", osa.e[k], w, 1e-20)
		}
	}
	// Tertiary spherical aberration is 37 and 40.
	if a, b := ZernikeSurface(f5, Noll, Term{37, NM}), ZernikeSurface(f5, OSA, Term{40, NM}); a.e[100] != b.e[100] {
		t.Error("37 and 40 differ")
	}
	q := ZernikeWave(f5, Noll, Term{11, 20 * NM}).Quality()
	near(t, "rms of the wave, nm", q.RMSWave.Value*550, 20, 1e-4)
	// W = Aρ⁴ has a11 = 0.0745356 A, and W = Aρ⁶ a11 = 0.1118034 A, a22 = 0.0188982 A (V).
	f := of(f5, func(rho float64) float64 { return 100e-9 * math.Pow(rho, 6) }).Refocused()
	j := newJudge(f)
	near(t, "a11", j.dot(f.e, ZernikeSurface(f5, Noll, Term{11, 1e-9 * Metre}).e)*1e17, 1.118034, 1e-4)
	near(t, "a22", j.dot(f.e, ZernikeSurface(f5, Noll, Term{22, 1e-9 * Metre}).e)*1e17, 0.188982, 1e-4)

	for want, f := range map[string]func(){
		"term 8 is not one of revolution; in Noll's ordering those are [1 4 11 22 37 56 79] and so on": func() { ZernikeWave(f5, Noll, Term{8, NM}) },
		"term 11 is not one of revolution; in the OSA ordering those are [0 4 12 24 40 60 84]":         func() { ZernikeWave(f5, OSA, Term{11, NM}) },
		"Ordering is 5; it must be Noll or OSA":                                                        func() { ZernikeWave(f5, 5, Term{4, NM}) },
		"the RMS of term 4 is NaN":                                                                     func() { ZernikeWave(f5, Noll, Term{4, Length(math.NaN())}) },
	} {
		if got := stop(t, f); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestTableOfHeightsIsFollowed(t *testing.T) {
	radii := []Length{0, 40 * MM, 80 * MM, 110 * MM, 120 * MM, 135 * MM, 150 * MM}
	heights := []Length{0, 2 * NM, -3 * NM, 20 * NM, 25 * NM, 0, -8 * NM}
	f := FromHeights(f5, radii, heights)
	for i, r := range radii {
		near(t, "height, nm", f.At(r).In(NM), heights[i].In(NM), 0.05)
	}
	for _, h := range f.Heights() {
		if h > 25e-9 || h < -8e-9 {
			t.Errorf("overshoots to %v", h)
		}
	}
	for want, c := range map[string]struct{ r, h []Length }{
		"there are 2 radii and 3 heights": {radii[:2], heights[:3]},
		"and at least 3":                  {radii[:2], heights[:2]},
		"radius 2 is 0.00 mm; it must be more than the one before": {[]Length{0, 0, 150 * MM}, heights[:3]},
		"height 2 is NaN": {[]Length{0, 1 * MM, 150 * MM}, []Length{0, Length(math.NaN()), 0}},
		"they must reach from 0.00 mm to 150.00 mm": {radii[:4], heights[:4]},
	} {
		if got := stop(t, func() { FromHeights(f5, c.r, c.h) }); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
