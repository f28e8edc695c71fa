package draw

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"lapwright/stdlib/document"
)

func sampleView() document.View {
	return document.View{
		Title: "laps", Unit: "mm", Radius: 150, Clear: 148, Hole: 20,
		Laps: []document.Laid{
			{Name: "1", Text: "ring lap <1>, over the rim", X: 0, Y: 130, Radius: 35, Inner: []float64{20}, PathX: []float64{0, 10, 0, -10, 0}, PathY: []float64{130, 130, 130, 130, 130}},
			{Name: "2", Text: "held", X: 0, Y: -60, Radius: 22},
		},
	}
}

func TestViewIsWellFormedAndEveryClassHasARule(t *testing.T) {
	style := Style()
	for _, size := range []Size{Wide, Narrow, Paper} {
		svg := View(sampleView(), size).SVG("x")
		if err := wellFormed(svg); err != nil {
			t.Errorf("%v\n%s", err, svg)
		}
		for _, words := range []string{">1<", ">2<", "&lt;1&gt;", ">100 mm<"} {
			if !strings.Contains(svg, words) {
				t.Errorf("nothing says %q", words)
			}
		}
		for _, m := range classes.FindAllStringSubmatch(svg, -1) {
			for _, class := range strings.Fields(m[1]) {
				if class != "pl" && class != "x" && !regexp.MustCompile(`\.`+class+`\b`).MatchString(style) {
					t.Errorf("the style sheet has no rule for %q", class)
				}
			}
		}
	}
}

// Lengths keep their ratio: the lap's circle over the mirror's.
func TestViewIsToScale(t *testing.T) {
	radii := make(map[string]float64)
	for _, m := range View(sampleView(), Wide).Marks {
		if len(m.Path) > 1 && m.Path[1].Type == vg.ArcComp {
			radii[m.Ink] = float64(m.Path[1].Radius)
		}
	}
	for what, want := range map[ink]float64{inkFace: 22, inkAxis: 148, inkHole: 20, inkSwing: 35} {
		if got := radii[string(what)] / radii[string(inkGlass)] * 150; math.Abs(got-want) > 1e-9 {
			t.Errorf("%s has a radius of %v, not %v", what, got, want)
		}
	}
}

// TestOverhangHasTheAreaThatLiesOutside holds the path about what hangs over the
// rim against the lap's area less that of the lens where two circles meet (Weisstein,
// MathWorld, "Circle-Circle Intersection", eq. 14; from memory).
func TestOverhangHasTheAreaThatLiesOutside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const rim = 100.0
		r := rapid.Float64Range(1, 90).Draw(t, "radius")
		d := rapid.Float64Range(rim-r+1e-3, rim+r-1e-3).Draw(t, "at")
		toward := rapid.Float64Range(-4, 4).Draw(t, "toward")
		l := document.Laid{X: d * math.Cos(toward), Y: d * math.Sin(toward), Radius: r}
		lens := r*r*math.Acos((d*d+r*r-rim*rim)/(2*d*r)) + rim*rim*math.Acos((d*d+rim*rim-r*r)/(2*d*rim)) -
			0.5*math.Sqrt((-d+r+rim)*(d+r-rim)*(d-r+rim)*(d+r+rim))
		want := math.Pi*r*r - lens
		if got := pathArea(bench{scale: 1}.overhang(l, rim)); math.Abs(got-want) > 1e-3*r*r {
			t.Fatalf("%v lies outside, not %v", got, want)
		}
	})
}

// pathArea is the area within a path, by its edge.
func pathArea(p vg.Path) float64 {
	var points []vg.Point
	for _, c := range p {
		switch c.Type {
		case vg.MoveComp, vg.LineComp:
			points = append(points, c.Pos)
		case vg.ArcComp:
			for i := range 1001 {
				s, cs := math.Sincos(c.Start + c.Angle*float64(i)/1000)
				points = append(points, c.Pos.Add(vg.Point{X: c.Radius * vg.Length(cs), Y: c.Radius * vg.Length(s)}))
			}
		}
	}
	sum := 0.0
	for i, a := range points {
		b := points[(i+1)%len(points)]
		sum += float64(a.X*b.Y - a.Y*b.X)
	}
	return sum / 2
}

func TestAnyViewIsDrawn(t *testing.T) {
	value := rapid.OneOf(rapid.Float64Range(0, 10), rapid.SampledFrom([]float64{0, 1, math.MaxFloat64, 5e-324}))
	rapid.Check(t, func(t *rapid.T) {
		v := document.View{Radius: value.Draw(t, "radius")}
		v.Clear = v.Radius
		for range rapid.IntRange(0, 4).Draw(t, "laps") {
			l := document.Laid{Name: "n", Text: strings.Repeat("word ", rapid.IntRange(0, 30).Draw(t, "words")), X: value.Draw(t, "x"), Y: value.Draw(t, "y"), Radius: value.Draw(t, "r")}
			if rapid.Bool().Draw(t, "moves") {
				l.PathX, l.PathY = []float64{l.X, value.Draw(t, "px")}, []float64{l.Y, value.Draw(t, "py")}
			}
			v.Laps = append(v.Laps, l)
		}
		svg := View(v, rapid.SampledFrom([]Size{Wide, Narrow, Paper}).Draw(t, "size")).SVG("")
		if err := wellFormed(svg); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") || regexp.MustCompile(`\d{6}`).MatchString(pathsOf(svg)) {
			t.Fatalf("a place far from the drawing: %s", svg)
		}
	})
}
