package picture

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// All mirrors are invented.
var (
	sphere     = mirror.New(mirror.Spec{Diameter: 240 * MM, Radius: 2400 * MM, Shape: mirror.Sphere})
	paraboloid = mirror.New(mirror.Spec{Diameter: 240 * MM, Radius: 2400 * MM})
	annular    = mirror.New(mirror.Spec{Diameter: 240 * MM, Radius: 2400 * MM, Hole: 60 * MM})
)

// place is where a grey of a picture of m lies on the glass, to the right of the middle
// and above it, in millimetres.
func spot(m *mirror.Mirror, column, row int) (x, y float64) {
	pixel := 2 * m.Clear().In(MM) / (side - 4)
	return (float64(column) - 95.5) * pixel, (95.5 - float64(row)) * pixel
}

// inside calls f for every place of the glass that is not within two greys of an edge.
func inside(p *Picture, m *mirror.Mirror, f func(x, y float64, grey int)) {
	pixel := 2 * m.Clear().In(MM) / (side - 4)
	for row := range side {
		for column := range side {
			x, y := spot(m, column, row)
			if r := math.Hypot(x, y); r < m.Clear().In(MM)-2*pixel && (m.Hole() == 0 || r > m.Hole().In(MM)+2*pixel) {
				f(x, y, p.At(column, row))
			}
		}
	}
}

func TestPerfectSphereGoesGreyEvenly(t *testing.T) {
	for _, source := range []zone.Source{zone.Moving, zone.Fixed} {
		p := Shadow(figure.Perfect(sphere), Knife{Source: source})
		inside(p, sphere, func(x, y float64, grey int) {
			if grey != 127 {
				t.Fatalf("%v: grey %d at %.1f, %.1f", source, grey, x, y)
			}
		})
		if !strings.HasSuffix(p.Words(), "through the middle the glass is grey all over.") {
			t.Errorf("%v: %s", source, p.Words())
		}
		if p.At(0, 0) != 0 || p.At(-1, 0) != 0 || p.At(0, side) != 0 {
			t.Error("there is light beside the glass")
		}
	}
}

func TestShadowOfASphereCrossesEvenly(t *testing.T) {
	// Closed form: every ray of a sphere meets the axis at R. A knife d short of it cuts the
	// ray from x at x·d/(R-d): half the slit's image plus that passes. Knife and source moved
	// together by d part the images by twice as much.
	const short, slit = 0.05, 0.02
	for _, c := range []struct {
		source zone.Source
		twice  float64
	}{{zone.Fixed, 1}, {zone.Moving, 2}} {
		p := Shadow(figure.Perfect(sphere), Knife{Beyond: -short * MM, Slit: slit * MM, Source: c.source})
		inside(p, sphere, func(x, y float64, grey int) {
			want := 254 * math.Min(math.Max(0.5+c.twice*x*short/2400/slit, 0), 1)
			if math.Abs(float64(grey)-want) > 0.7 {
				t.Fatalf("%v: grey %d at %.1f, %.1f, want %.1f", c.source, grey, x, y, want)
			}
		})
	}
	// A knife short of the centre takes the side it comes from, one beyond it the other.
	for _, c := range []struct {
		k    Knife
		want string
	}{
		{Knife{Beyond: -1 * MM}, "the glass is dark to 2 mm left of the middle, grey to 2 mm right of the middle, bright to the edge."},
		{Knife{Beyond: 1 * MM}, "the glass is bright to 2 mm left of the middle, grey to 2 mm right of the middle, dark to the edge."},
		{Knife{Beyond: -1 * MM, Right: true}, "the glass is bright to 2 mm left of the middle, grey to 2 mm right of the middle, dark to the edge."},
		{Knife{Cut: 1 * MM}, "the glass is dark all over."},
		{Knife{Cut: -1 * MM}, "the glass is bright all over."},
	} {
		if p := Shadow(figure.Perfect(sphere), c.k); !strings.HasSuffix(p.Words(), c.want) {
			t.Errorf("%+v: %s", c.k, p.Words())
		}
	}
	if got, want := Shadow(figure.Perfect(sphere), Knife{Beyond: -1 * MM, Right: true}).Name(), "knife from the right, 1.00 mm short of where the middle greys"; got != want {
		t.Errorf("%q", got)
	}
}

func TestShadowOfAParaboloidGreysWhereItsReadingIs(t *testing.T) {
	// Closed form, source moving: rays from r meet the knife's plane at -2r(k - N(r))/R to
	// first order, N = R + r²/2R; at the zone that was nulled that is nothing.
	const null = 85.0
	p := Shadow(figure.Perfect(paraboloid), Knife{Null: null * MM, Slit: 0.2 * MM})
	inside(p, paraboloid, func(x, y float64, grey int) {
		r := math.Hypot(x, y)
		at := -2 * x * (null*null - r*r) / (2 * 2400) / 2400
		want := 254 * math.Min(math.Max(0.5+at/0.2, 0), 1)
		if math.Abs(float64(grey)-want) > 1.5 {
			t.Fatalf("grey %d at %.1f, %.1f, want %.1f", grey, x, y, want)
		}
	})
	// A fixed source: the same at twice the distance, r²/R.
	fixed := Shadow(figure.Perfect(paraboloid), Knife{Null: null * MM, Slit: 0.2 * MM, Source: zone.Fixed})
	inside(fixed, paraboloid, func(x, y float64, grey int) {
		r := math.Hypot(x, y)
		at := -x * (null*null - r*r) / 2400 / 2400
		want := 254 * math.Min(math.Max(0.5+at/0.2, 0), 1)
		if math.Abs(float64(grey)-want) > 1.5 {
			t.Fatalf("fixed: grey %d at %.1f, %.1f, want %.1f", grey, x, y, want)
		}
	})
}

func TestHighRingThrowsAShadow(t *testing.T) {
	// Relief is seen as though lit from the side away from the knife: with the knife from the
	// left the right slope of a raised ring is bright (common practice, no source; it follows
	// from the steeper glass, which meets the axis short of the knife).
	var radii, heights []Length
	for i := range 121 {
		radii = append(radii, Length(i)*MM)
		heights = append(heights, Length(60*math.Exp(-math.Pow((float64(i)-80)/8, 2)))*NM)
	}
	p := Shadow(figure.FromHeights(sphere, radii, heights), Knife{})
	column := func(x float64) int { return int(math.Round(x/(240.0/(side-4)) + 95.5)) }
	in, out := p.At(column(74), side/2), p.At(column(86), side/2)
	if out < in+60 {
		t.Errorf("within the ring %d, outside it %d", in, out)
	}
	if left := p.At(column(-86), side/2); left > out-60 {
		t.Errorf("left %d, right %d", left, out)
	}
}

func TestBandsOfASphereAreStraight(t *testing.T) {
	// Closed form: a grating d short of the centre of a sphere, lamp fixed there, shows
	// bands of x·d/(R-d) over the pitch: upright, all alike.
	const short, pitch = 8.0, 0.25
	p := Bands(figure.Perfect(sphere), Grating{Beyond: -short * MM, Pitch: pitch * MM, Slit: 0.001 * MM, Source: zone.Fixed})
	inside(p, sphere, func(x, y float64, grey int) {
		n := x * short / (2400 - short) / pitch
		off := math.Abs(n - math.Round(n)) // from the middle of a clear line
		pixel := 240.0 / (side - 4) * short / 2400 / pitch
		switch {
		case off < 0.25-pixel && grey < 253, off > 0.25+pixel && grey > 1:
			t.Fatalf("grey %d at %.1f, %.1f, %.2f off a clear line", grey, x, y, off)
		}
	})
	// 240 mm show 240·8/2392/0.25 = 3.2 lines: dark at ±0.5 and ±1.5.
	want := "From left to right through the middle of the glass there are 4 dark bands. The line seen 60 mm right of the middle runs straight up."
	if !strings.HasSuffix(p.Words(), want) {
		t.Error(p.Words())
	}
	moved := Bands(figure.Perfect(sphere), Grating{Beyond: -short * MM, Pitch: pitch * MM, Source: zone.Fixed, Shift: pitch / 2 * MM})
	if got := moved.At(side/2, side/2); got > 5 {
		t.Errorf("half a pitch aside the middle is %d", got)
	}
	even := Bands(figure.Perfect(sphere), Grating{})
	if !strings.Contains(even.Words(), "No dark band crosses") || !strings.Contains(even.Words(), "No line can be followed.") {
		t.Error(even.Words())
	}
}

func TestBandsOfAParaboloidBend(t *testing.T) {
	// Closed form, source moving: at d short of the vertex's centre the ray from r is off by
	// 2r(d + r²/2R)/R, so that further up a line keeps x·(d + r²/2R): short of the centre it
	// runs in, beyond it out.
	for _, c := range []struct {
		beyond float64
		word   string
	}{{-6, "moved in by"}, {12, "moved out by"}} {
		p := Bands(figure.Perfect(paraboloid), Grating{Beyond: Length(c.beyond) * MM})
		if !strings.Contains(p.Words(), c.word) {
			t.Errorf("%v: %s", c.beyond, p.Words())
		}
		// How far, from the words and by solving x(d + (x²+84²)/2R) = 60(d + 60²/2R).
		d := -c.beyond
		x := 60.0
		for range 200 {
			x = 60 * (d + 60*60/4800.) / (d + (x*x+84*84)/4800)
		}
		want := across(figure.Perfect(paraboloid), Length(math.Abs(x-60))*MM)
		if !strings.Contains(p.Words(), c.word+" "+want) {
			t.Errorf("%v: %s; want %s", c.beyond, p.Words(), want)
		}
	}
}

func TestGratingIsClearHalfOfTheWay(t *testing.T) {
	for n := -3.0; n < 3; n += 0.01 {
		const h = 1e-6
		slope := (clearUpTo(n+h) - clearUpTo(n-h)) / (2 * h)
		if want := map[bool]float64{true: 1, false: 0}[clearAt(n)]; math.Abs(slope-want) > 1e-6 && math.Abs(math.Abs(n-math.Round(n))-0.25) > 1e-3 {
			t.Errorf("at %v the grating lets through %v", n, slope)
		}
	}
	if got := clearUpTo(7) - clearUpTo(-4); math.Abs(got-5.5) > 1e-12 {
		t.Errorf("of 11 pitches %v are clear", got)
	}
}

func TestPictureOfAStarHasAirysRings(t *testing.T) {
	// Zeros of Airy's pattern at 1.21967, 2.23313, 3.23832 λF (V; Born & Wolf 8.5.2 [M]); the
	// first ring has 1.750 % of the peak, shown by its square root.
	p := Star(figure.Perfect(paraboloid), 0)
	F := paraboloid.FocalRatio()
	unit := float64(paraboloid.Wavelength()) * F
	pixel := 2 * 5 * float64(paraboloid.Airy()) / side
	ring := func(z float64) (least, most int) { // greys near that distance to the right
		least = 255
		for c := side / 2; c < side; c++ {
			if r := pixel * math.Hypot(float64(c)-95.5, 0.5); math.Abs(r-z*unit) < pixel {
				least, most = min(least, p.At(c, side/2)), max(most, p.At(c, side/2))
			}
		}
		return least, most
	}
	for _, zero := range []float64{1.21967, 2.23313, 3.23832} {
		if least, _ := ring(zero); least > 10 {
			t.Errorf("at %v the grey is %d", zero, least)
		}
	}
	if _, most := ring(1.635); math.Abs(float64(most)-254*math.Sqrt(0.0175)) > 1.5 {
		t.Errorf("the first ring is %d", most)
	}
	if got := p.At(side/2, side/2); got < 250 {
		t.Errorf("the middle is %d", got)
	}
	if !strings.Contains(p.Words(), "The middle has 100 % of the brightness that a perfect mirror gives it, the brightest ring 1.7 % of the middle.") &&
		!strings.Contains(p.Words(), "the brightest ring 1.8 % of the middle.") {
		t.Error(p.Words())
	}
	// Energy: as the squares of the greys have it, 83.8 % of the light of the picture's width
	// lies within the first dark ring of 95 % within its circle (1 - J₀² - J₁²).
	within, all := 0.0, 0.0
	for row := range side {
		for column := range side {
			r := pixel * math.Hypot(float64(column)-95.5, float64(row)-95.5)
			light := math.Pow(float64(p.At(column, row)), 2)
			if r < 1.21967*unit {
				within += light
			}
			if r < 5*float64(paraboloid.Airy()) {
				all += light
			}
		}
	}
	v := math.Pi * 5 * float64(paraboloid.Airy()) / unit
	if want := 0.83778 / (1 - math.Pow(math.J0(v), 2) - math.Pow(math.J1(v), 2)); math.Abs(within/all-want) > 0.005 {
		t.Errorf("%v of the light is in the middle, want %v", within/all, want)
	}
}

func TestStarOutOfFocusTellsTheSides(t *testing.T) {
	f := figure.Perfect(paraboloid)
	if a, b := Star(f, 1*MM), Star(f, -1*MM); !bytes.Equal(a.Grey(), b.Grey()) {
		t.Error("a perfect star differs on both sides of focus")
	}
	g := figure.Conic(paraboloid, -0.7)
	a, b := Star(g, 1*MM), Star(g, -1*MM)
	if bytes.Equal(a.Grey(), b.Grey()) {
		t.Error("an under-corrected star looks alike on both sides of focus")
	}
	if a.Words() == b.Words() || !strings.Contains(a.Words(), "1.00 mm outside focus, 9.1 waves at the edge") || b.Name() != "1.00 mm inside focus" {
		t.Errorf("%s\n%s", a.Words(), b.Words())
	}
	// A secondary makes a dark hole in the middle of the disc.
	if p := Star(f.Obstructed(80*MM), 2*MM); p.At(side/2+8, side/2) > 60 || !strings.Contains(p.Words(), "a dark middle") {
		t.Errorf("the shadow of the secondary is %d: %s", p.At(side/2+8, side/2), p.Words())
	}
}

func TestHoleIsDark(t *testing.T) {
	f := figure.Perfect(annular)
	for _, p := range []*Picture{Shadow(f, Knife{Beyond: -1 * MM}), Bands(f, Grating{Beyond: 5 * MM})} {
		if p.At(side/2, side/2) != 0 || p.At(side/2+20, side/2) != 0 {
			t.Errorf("%s: the hole is lit", p.Name())
		}
	}
	if w := Shadow(f, Knife{Beyond: -1 * MM}).Words(); !strings.Contains(w, "open to 30 mm right of the middle") {
		t.Error(w)
	}
}

func TestPicturesAreTheSameEveryTime(t *testing.T) {
	f := figure.Conic(paraboloid, -0.8)
	for _, draw := range []func() *Picture{
		func() *Picture { return Shadow(f, Knife{Null: 85 * MM}) },
		func() *Picture { return Bands(f, Grating{Beyond: 4 * MM}) },
		func() *Picture { return Star(f, 1*MM) },
	} {
		a, b := draw(), draw()
		if !bytes.Equal(a.Grey(), b.Grey()) || a.Words() != b.Words() || a.Side()*a.Side() != len(a.Grey()) {
			t.Errorf("%s differs", a.Name())
		}
		if a.Note() == "" || !strings.HasPrefix(a.Note(), "Idealised") {
			t.Errorf("%s has no caution", a.Name())
		}
	}
}

func TestBadSettingsStop(t *testing.T) {
	f := figure.Perfect(paraboloid)
	for want, draw := range map[string]func(){
		"picture.Shadow: Null is 121.00 mm; it must be 0.00 mm to 120.00 mm, within the clear aperture": func() { Shadow(f, Knife{Null: 121 * MM}) },
		"picture.Shadow: Beyond is NaN":                                     func() { Shadow(f, Knife{Beyond: Length(math.NaN())}) },
		"picture.Shadow: Slit is -1 mm; it must be more than 0":             func() { Shadow(f, Knife{Slit: -1 * MM}) },
		"picture.Shadow: Cut is 11 mm; it must be at most 10 mm":            func() { Shadow(f, Knife{Cut: 11 * MM}) },
		"picture.Bands: Beyond is 200 mm; it must be at most 120 mm":        func() { Bands(f, Grating{Beyond: 200 * MM}) },
		"picture.Bands: Pitch is 1":                                         func() { Bands(f, Grating{Pitch: 1 * NM}) },
		"picture.Bands: Shift is NaN":                                       func() { Bands(f, Grating{Shift: Length(math.NaN())}) },
		"picture.Bands: Null is 10.00 mm; it must be 30.00 mm to 120.00 mm": func() { Bands(figure.Perfect(annular), Grating{Null: 10 * MM}) },
		"picture.Star: defocus is 30 mm; it must be at most 2.2 mm either":  func() { Star(f, 30*MM) },
		"picture.Star: defocus is +Inf":                                     func() { Star(f, Length(math.Inf(1))) },
	} {
		func() {
			defer func() {
				s, _ := recover().(*host.Stop)
				if s == nil || !strings.HasPrefix(s.Error(), want) {
					t.Errorf("%v, want %q", s, want)
				}
			}()
			draw()
		}()
	}
}

func BenchmarkShadow(b *testing.B) {
	f := figure.Conic(paraboloid, -0.8)
	for b.Loop() {
		Shadow(f, Knife{Null: 85 * MM})
	}
}

func BenchmarkBands(b *testing.B) {
	f := figure.Conic(paraboloid, -0.8)
	for b.Loop() {
		Bands(f, Grating{Beyond: 4 * MM})
	}
}

func BenchmarkStar(b *testing.B) {
	f := figure.Conic(paraboloid, -0.8)
	for b.Loop() {
		Star(f, 1*MM)
	}
}
