package draw

import (
	"math"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"lapwright/stdlib/document"
)

// waves is a plot of curves that run apart and cross.
func waves(offsets ...float64) document.Plot {
	p := document.Plot{X: document.Axis{Label: "radius", Unit: "mm", Low: 0, High: 100}, Y: document.Axis{Label: "height", Unit: "nm"}}
	for i, o := range offsets {
		c := document.Curve{Name: string(rune('A'+i)) + " curve", Role: document.Other}
		for x := 0.0; x <= 100; x += 2 {
			c.X, c.Y = append(c.X, x), append(c.Y, o+math.Sin(x/15+float64(i)))
		}
		p.Curves = append(p.Curves, c)
	}
	return p
}

// wordsOf are the words of a drawing, with where they stand.
func wordsOf(c Canvas) map[string]Mark {
	all := make(map[string]Mark)
	for _, m := range c.Marks {
		if m.Words != "" {
			all[m.Words] = m
		}
	}
	return all
}

func TestNamesStandBesideTheirCurvesClearOfEveryCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := waves(rapid.SliceOfN(rapid.Float64Range(-6, 6), 2, 4).Draw(t, "offsets")...)
		c, named := plotted(p, rapid.SampledFrom([]Size{Wide, Narrow, Paper}).Draw(t, "size"), true)
		if !named {
			return
		}
		words := wordsOf(c)
		for _, curve := range p.Curves {
			name, ok := words[curve.Name]
			if !ok {
				t.Fatalf("%s is not named", curve.Name)
			}
			// The paper the name takes, by the curves as they are drawn.
			left, right := name.At.X, name.At.X+vg.Length(textWidth(name.Words))
			for _, m := range c.Marks {
				if m.Words != "" || len(m.Path) < 12 {
					continue // only curves have so many points
				}
				for i := 1; i < len(m.Path); i++ {
					a, b := m.Path[i-1].Pos, m.Path[i].Pos
					if m.Path[i].Type != vg.LineComp || max(a.X, b.X) < left || min(a.X, b.X) > right {
						continue
					}
					for _, q := range []vg.Point{cutAt(a, b, left), cutAt(a, b, right)} {
						if q.Y > name.At.Y-2 && q.Y < name.At.Y+FontSize*capitals+2 {
							t.Fatalf("%s is crossed at %v", curve.Name, q)
						}
					}
				}
			}
		}
	})
}

func TestCurvesWithoutRoomForNamesHaveAKey(t *testing.T) {
	if _, named := plotted(waves(0, 3), Wide, true); !named {
		t.Error("two curves far apart are not named beside them")
	}
	close := waves(0, 0)
	close.Curves[1].Y = close.Curves[0].Y
	if _, named := plotted(close, Wide, true); named {
		t.Error("one of two curves in one place has a name of its own")
	}
	words := wordsOf(Plot(close, Wide))
	if words["A curve"].At.Y != words["B curve"].At.Y || words["A curve"].At.Y == 0 {
		t.Error("they have no key")
	}
	if _, named := plotted(waves(0), Wide, true); named {
		t.Error("a single curve is named beside it")
	}
}

func TestBandIsExplainedOnce(t *testing.T) {
	p := waves(0, 8)
	for i := range p.Curves {
		c := &p.Curves[i]
		c.Band = "68 % band"
		for _, y := range c.Y {
			c.Low, c.High = append(c.Low, y-0.2), append(c.High, y+0.2)
		}
	}
	n := 0
	for _, m := range Plot(p, Wide).Marks {
		if m.Words == "68 % band" {
			n++
		}
	}
	if n != 1 {
		t.Errorf("the band is explained %d times", n)
	}
}

func TestSpanTooNarrowHasItsNameBeforeIt(t *testing.T) {
	p := waves(0, 3)
	p.Above = []document.Span{{Name: "a lap of a long name", From: 60, To: 64}}
	name, ok := wordsOf(Plot(p, Narrow))["a lap of a long name"]
	if !ok || name.Align != Right {
		t.Errorf("the name stands %+v", name)
	}
}
