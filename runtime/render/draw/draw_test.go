package draw

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"lapwright/stdlib/document"
)

func samplePlot() document.Plot {
	p := document.Plot{
		X: document.Axis{Label: "radius", Unit: "mm", Low: 0, High: 100}, Y: document.Axis{Label: "height", Unit: "nm"},
		Marks: []document.Mark{{At: 80, Name: "ring <1>"}},
		Below: []document.Span{{Name: "1", From: 0, To: 50}, {Name: "2", From: 50, To: 100}},
		Above: []document.Span{{Name: "lap", From: 60, To: 120}},
	}
	for i, role := range []document.Role{document.Before, document.After, document.Work, document.Work, document.Measured, document.Target, document.Other} {
		c := document.Curve{Name: fmt.Sprint("curve ", i), Role: role}
		for x := 0.0; x <= 100; x += 5 {
			y := float64(i) + math.Sin(x/20)
			c.X, c.Y, c.Low, c.High = append(c.X, x), append(c.Y, y), append(c.Low, y-1), append(c.High, y+1)
		}
		p.Curves = append(p.Curves, c)
	}
	return p
}

func TestDrawingIsWellFormedAndTheSameEveryTime(t *testing.T) {
	for _, size := range []Size{Wide, Narrow} {
		svg := Plot(samplePlot(), size).SVG("x")
		if err := wellFormed(svg); err != nil {
			t.Errorf("%v\n%s", err, svg)
		}
		if again := Plot(samplePlot(), size).SVG("x"); again != svg {
			t.Error("two drawings of one plot differ")
		}
		for _, text := range []string{"curve 0", "ring &lt;1&gt;", "radius, mm", "height, nm", ">lap<"} {
			if !strings.Contains(svg, text) {
				t.Errorf("nothing says %q", text)
			}
		}
	}
}

func wellFormed(svg string) error {
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := d.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

var classes = regexp.MustCompile(`class="([^"]*)"`)

func TestEveryClassHasARule(t *testing.T) {
	style := Style()
	for _, m := range classes.FindAllStringSubmatch(Plot(samplePlot(), Wide).SVG(""), -1) {
		for _, class := range strings.Fields(m[1]) {
			if class != "pl" && !regexp.MustCompile(`\.`+class+`\b`).MatchString(style) {
				t.Errorf("the style sheet has no rule for %q", class)
			}
		}
	}
}

// Curves must be told apart in grey print: no two of a plot may agree in dash,
// width and sign.
func TestNoTwoCurvesLookAlikeWithoutColour(t *testing.T) {
	var curves []document.Curve
	for _, r := range looks {
		for range 4 {
			curves = append(curves, document.Curve{Role: r.role})
		}
	}
	seen := make(map[string]document.Role)
	for i, s := range stylesOf(curves) {
		var l look
		for _, r := range looks {
			if r.role == curves[i].Role {
				l = r.look
			}
		}
		if curves[i].Role == document.Measured {
			continue // signs alone, with bars
		}
		grey := fmt.Sprint(l.width, l.dashes[s.variant%len(l.dashes)], s.sign)
		if other, ok := seen[grey]; ok {
			t.Errorf("curves of %s and %s look alike: %s", other, curves[i].Role, grey)
		}
		seen[grey] = curves[i].Role
	}
}

func TestAnyPlotIsDrawn(t *testing.T) {
	value := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-10, 10), rapid.SampledFrom([]float64{0, 1, -1, math.MaxFloat64, 5e-324, math.NaN(), math.Inf(1)}))
	rapid.Check(t, func(t *rapid.T) {
		var p document.Plot
		for range rapid.IntRange(0, 3).Draw(t, "curves") {
			n := rapid.IntRange(0, 5).Draw(t, "points")
			values := func() []float64 { return rapid.SliceOfN(value, n, n).Draw(t, "values") }
			c := document.Curve{Role: rapid.SampledFrom([]document.Role{document.Before, document.Measured, "?"}).Draw(t, "role"), X: values(), Y: values()}
			if rapid.Bool().Draw(t, "band") {
				c.Low, c.High = values(), values()
			}
			p.Curves = append(p.Curves, c)
		}
		p.Marks = []document.Mark{{At: value.Draw(t, "mark"), Name: "m"}}
		p.Above = []document.Span{{Name: "s", From: value.Draw(t, "from"), To: value.Draw(t, "to")}}
		svg := Plot(p, Narrow).SVG("")
		if err := wellFormed(svg); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") || regexp.MustCompile(`\d{6}`).MatchString(pathsOf(svg)) {
			t.Fatalf("a place far from the drawing: %s", svg)
		}
	})
}

func pathsOf(svg string) string {
	return strings.Join(regexp.MustCompile(` d="[^"]*"`).FindAllString(svg, -1), "")
}

func TestSimplifyStaysWithinItsTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var points []vg.Point
		for i := range rapid.IntRange(3, 60).Draw(t, "n") {
			points = append(points, vg.Point{X: vg.Length(i), Y: vg.Length(rapid.Float64Range(-2, 2).Draw(t, "y"))})
		}
		kept := simplify(points)
		if kept[0] != points[0] || kept[len(kept)-1] != points[len(points)-1] {
			t.Fatal("an end is lost")
		}
		for _, p := range points {
			near := vg.Length(math.Inf(1))
			for i := 1; i < len(kept); i++ {
				near = min(near, distance(p, kept[i-1], kept[i]))
			}
			if near > 0.201 {
				t.Fatalf("%v lies %v from the line", p, near)
			}
		}
	})
}

func TestPenWritesShortNumbers(t *testing.T) {
	for v, want := range map[int]string{0: "0", 5: ".5", -5: "-.5", 10: "1", 123: "12.3", -120: "-12"} {
		var d pen
		d.value(v)
		if got := d.out.String(); got != want {
			t.Errorf("%d tenths are written %q, not %q", v, got, want)
		}
	}
}

func TestPenPartsNumbersOnlyWhereItMust(t *testing.T) {
	var d pen
	for _, v := range []int{10, 5, 5, -5, 0, 3, 12, 20, 4} {
		d.value(v)
	}
	if got, want := d.out.String(), "1 .5.5-.5 0 .3 1.2 2 .4"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func BenchmarkPlot(b *testing.B) {
	p := samplePlot()
	for b.Loop() {
		Plot(p, Wide).SVG("wide")
	}
}
