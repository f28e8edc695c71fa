package document

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestArcsRunAsTheirStepsSay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string) float64 { return rapid.Float64Range(0, 500).Draw(t, name) }
		x, y, s := at("x"), at("y"), Step{X: at("X"), Y: at("Y")}
		chord := math.Hypot(s.X-x, s.Y-y)
		if chord < 1e-3 {
			t.Skip("no way")
		}
		r := chord / 2 * rapid.Float64Range(1, 20).Draw(t, "radius over half the chord")
		clockwise := rapid.Bool().Draw(t, "clockwise")
		if s.Radius = r; !clockwise {
			s.Radius = -r
		}
		cx, cy, from, to := s.Arc(x, y)
		for _, end := range []struct{ angle, x, y float64 }{{from, x, y}, {to, s.X, s.Y}} {
			if off := math.Hypot(cx+r*math.Cos(end.angle)-end.x, cy+r*math.Sin(end.angle)-end.y); off > 1e-9*r {
				t.Fatalf("an end is missed by %v mm", off)
			}
		}
		if turn := to - from; (turn > 0) != clockwise || math.Abs(turn) > math.Pi+1e-6 {
			t.Fatalf("turns by %v", turn)
		}
	})
	// From the left end of a circle's width clockwise to the right one goes over the
	// top, which has the smaller y on paper.
	cx, cy, from, to := Step{X: 2, Y: 1, Radius: 1}.Arc(0, 1)
	if top := cy + math.Sin((from+to)/2); math.Abs(top) > 1e-12 || math.Abs(cx-1) > 1e-12 {
		t.Errorf("the top is at %v", top)
	}
}

func TestSheetsShowAllOfADrawingAndFitTheirPaper(t *testing.T) {
	// A4 is 210 by 297 mm (ISO 216), Letter 215.9 by 279.4 mm (ANSI/ASME Y14.1) [from
	// memory]; printers leave some 5 mm.
	if SheetWidth > 210-2*15 || SheetHeight > 279.4-2*15 {
		t.Error("a sheet does not fit")
	}
	rapid.Check(t, func(t *rapid.T) {
		d := Drawing{Title: "t", Width: rapid.Float64Range(1, MaxDrawing).Draw(t, "width"), Height: rapid.Float64Range(1, MaxDrawing).Draw(t, "height")}
		sheets := d.Sheets()
		for i, s := range sheets {
			if s.X < 0 || s.Y < 0 || s.X+s.Width > d.Width+1e-9 || s.Y+s.Height > d.Height+1e-9 {
				t.Fatalf("sheet %d goes beyond the drawing: %+v", i, s)
			}
			if s.Width > SheetWidth || s.Height > SheetHeight {
				t.Fatalf("sheet %d is larger than its paper", i)
			}
			for _, o := range s.Outlines {
				for _, p := range append(o.Steps, Step{X: o.X, Y: o.Y}) {
					if p.X < -1e-9 || p.X > SheetWidth || p.Y < -1e-9 || p.Y > SheetHeight {
						t.Fatalf("sheet %d: %+v lies beside the paper", i, p)
					}
				}
			}
		}
		// Any place is on a sheet, and one within the lap of its edge on the next as well.
		x, y := rapid.Float64Range(0, 1).Draw(t, "x")*d.Width, rapid.Float64Range(0, 1).Draw(t, "y")*d.Height
		found := 0
		for _, s := range sheets {
			if x >= s.X-1e-9 && x <= s.X+s.Width+1e-9 && y >= s.Y-1e-9 && y <= s.Y+s.Height+1e-9 {
				found++
			}
		}
		if found == 0 {
			t.Fatalf("%v, %v is on no sheet of %d", x, y, len(sheets))
		}
	})
}

func TestMarksOfNeighbouringSheetsFallTogether(t *testing.T) {
	// In the drawing's own places each lap line of a sheet but those of the outer
	// edges is drawn by the neighbour too, and so are its crosses.
	d := Drawing{Width: 324, Height: 324}
	sheets := d.Sheets()
	if len(sheets) != 4 {
		t.Fatalf("%d sheets", len(sheets))
	}
	type place struct{ x, y float64 }
	seen := make(map[place]int) // middles of crosses
	for _, s := range sheets {
		for i, o := range s.Outlines {
			if o.Line == FineLine && o.Y < s.Height && o.Y == o.Steps[0].Y { // the level arm of a cross
				if up := s.Outlines[i+1]; up.X != o.X+3 {
					t.Errorf("a cross with one arm: %+v", o)
				}
				seen[place{math.Round((s.X + o.X + 3) * 1e6), math.Round((s.Y + o.Y) * 1e6)}]++
			}
		}
	}
	if len(seen) == 0 {
		t.Error("no crosses")
	}
	for p, n := range seen {
		if n != 2 {
			t.Errorf("the cross at %v is on %d sheets", p, n)
		}
	}
}

func TestEverySheetHasABarOfAHundredMillimetres(t *testing.T) {
	for _, s := range (Drawing{Title: "A mask", Width: 40, Height: 700}).Sheets() {
		bars := 0
		for _, o := range s.Outlines {
			if o.Y > s.Height && o.Steps[0].X-o.X == 100 && o.Steps[0].Y == o.Y {
				bars++
			}
		}
		if bars != 1 {
			t.Errorf("%d bars", bars)
		}
		words := ""
		for _, l := range s.Labels {
			words += l.Text + "\n"
		}
		if !strings.Contains(words, "This bar is 100 mm long") || !strings.Contains(words, "A mask, sheet ") {
			t.Errorf("words %q", words)
		}
	}
}
