package paper

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"lapwright/runtime/render/draw"
	"lapwright/stdlib/document"
)

// TestSheetsHaveTheirSizes holds the sheets against ISO 216 (A4: 210 mm by 297 mm)
// and ANSI/ASME Y14.1 (A: 8.5 in by 11 in); both from memory.
func TestSheetsHaveTheirSizes(t *testing.T) {
	for _, c := range []struct {
		sheet         Sheet
		width, height float64 // in mm
	}{{A4, 210, 297}, {Letter, 215.9, 279.4}} {
		if math.Abs(c.sheet.Width/MM-c.width) > 1e-9 || math.Abs(c.sheet.Height/MM-c.height) > 1e-9 {
			t.Errorf("%s is %v mm by %v mm", c.sheet.Name, c.sheet.Width/MM, c.sheet.Height/MM)
		}
	}
}

// The signs that the words and tables of figuring need are in every face, or at
// least in the one for signs.
func TestSignsOfTheTradeAreAllThere(t *testing.T) {
	for face := range Face(faces) {
		missing := make(map[rune]bool)
		for _, s := range (Font{Face: face, Size: 10}).stretches("λ√−Δ″′µμ±≤≥→←·×÷²³⁻¹°≈∞πσρθ☐✓▲■●⌀…–—“”’", missing) {
			if w := (Font{Face: s.face, Size: 10}).width(s.text); !(w > 0) {
				t.Errorf("%q has no width", s.text)
			}
		}
		if len(missing) > 0 {
			t.Errorf("face %s lacks %v", founts[face].name, missing)
		}
	}
}

// TestWidthsAreThoseOfTheFount holds widths against those of the metric twin of
// Liberation Sans: the widths of Helvetica's A, space, 0 and W, in thousandths, in
// the metrics that Adobe gives out for the standard founts (AFM; from memory).
func TestWidthsAreThoseOfTheFount(t *testing.T) {
	for s, want := range map[string]float64{"A": 667, " ": 278, "0": 556, "W": 944, "AW": 1611} {
		if got := (Font{Face: Sans, Size: 1000}).width(s); math.Abs(got-want) > 1 {
			t.Errorf("%q is %.1f wide, not %v", s, got, want)
		}
	}
}

var someText = rapid.StringOfN(rapid.SampledFrom([]rune("abcé mn op. λ√ 漢字\u00a0\n\t☐ Wörter")), 0, 160, -1)

// randomFlow draws a flow of everything there is.
func randomFlow(t *rapid.T) *Flow {
	f := New(rapid.SampledFrom([]Sheet{A4, Letter}).Draw(t, "sheet"))
	font := Font{Serif, 10, Ink}
	var things func(depth int)
	things = func(depth int) {
		for range rapid.IntRange(0, 5).Draw(t, "things") {
			s := Span{Text: someText.Draw(t, "text"), Font: font}
			s.Size = rapid.Float64Range(5, 30).Draw(t, "size")
			f.Space(rapid.Float64Range(0, 40).Draw(t, "space"))
			switch kind := rapid.IntRange(0, 12).Draw(t, "kind"); {
			case kind == 0:
				f.Table(randomTable(t))
			case kind == 1:
				f.WideTable(randomTable(t))
			case kind == 2:
				var lines [][]Span
				for line := range strings.SplitSeq(strings.Repeat(s.Text+"\n", 4), "\n") {
					lines = append(lines, []Span{{Text: line, Font: Font{Mono, s.Size, Ink}}})
				}
				f.Code(lines, rapid.Bool().Draw(t, "ground"))
			case kind == 3:
				f.Drawing(draw.Canvas{Size: draw.Size{Width: 100, Height: rapid.Float64Range(10, 1000).Draw(t, "tall")}})
			case kind == 4 && depth < 4:
				f.Indent(rapid.Float64Range(0, 80).Draw(t, "in"), func() { things(depth + 1) })
			case kind == 5 && depth < 4:
				f.Barred(Accent, func() { things(depth + 1) })
			case kind == 6 && depth < 2:
				f.Beside(10, func() { things(depth + 2) }, func() { things(depth + 2) })
			case kind == 7 && depth == 0:
				text := s.Text
				f.Alone(func() { f.Text(Span{Text: strings.Repeat(text, 20), Font: font}); f.Table(document.Table{}) })
			case kind == 11:
				f.Anchor("x", "X", 0)
				f.PageOf("x", s)
			case kind == 8:
				n := rapid.IntRange(1, 300).Draw(t, "dots")
				f.Grey(make([]byte, n*1000), n, 1000)
			case kind == 9 && depth > 0:
				f.Scale(Ink, Soft)
				f.Openings(Accent, [2]float64{0, 0.5}, [2]float64{0.7, 1})
			case kind == 9:
				f.Item(Span{Text: "•", Font: font}, 14, s)
			case kind == 10 && depth < 4:
				f.Keep(func() { things(depth + 1) })
			default:
				f.Text(s, Span{Text: "bold", Font: Font{SerifBold, 12, Ink}, Link: "https://example.org"})
			}
		}
	}
	things(0)
	return f
}

func randomTable(t *rapid.T) document.Table {
	table := document.Table{Title: someText.Draw(t, "title"), Notes: []string{someText.Draw(t, "note")}}
	n := rapid.IntRange(0, 14).Draw(t, "columns")
	for range n {
		table.Columns = append(table.Columns, document.Column{Name: rapid.StringMatching(`[a-z ]{0,12}`).Draw(t, "name"), Unit: "mm", Text: rapid.Bool().Draw(t, "words")})
	}
	for range rapid.IntRange(0, 6).Draw(t, "rows") {
		row := make([]document.Cell, n)
		for i := range row {
			row[i] = document.Cell{Text: someText.Draw(t, "cell"), Warn: rapid.Bool().Draw(t, "warn")}
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

func TestNothingLeavesThePageNorLiesOverAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := randomFlow(t)
		width, full := f.sheet.text()
		const eps = 0.01
		placedRows := 0
		for n, page := range f.pages() {
			y := 0.0
			for i, r := range page {
				if r.y < y-eps {
					t.Fatalf("page %d: row %d begins at %v, above the end of the one before at %v", n, i, r.y, y)
				}
				if y = r.y + r.height; y > full+eps {
					t.Fatalf("page %d: row %d ends at %v of %v", n, i, y, full)
				}
				if r.fresh && i > 0 {
					t.Fatalf("page %d: row %d should begin a page", n, i)
				}
				placedRows++
				for _, m := range r.marks {
					b := m.box()
					if b.x < -eps || b.x+b.width > width+eps || b.y < -eps || b.y+b.height > r.height+eps {
						t.Fatalf("page %d: %T covers %+v of a row %v high in text %v wide", n, m, b, r.height, width)
					}
				}
				for _, s := range r.sides {
					if s.x < -eps || s.x+s.width > width+eps {
						t.Fatalf("a strip lies at %v", s.x)
					}
				}
			}
		}
		if placedRows < len(f.rows) {
			t.Fatalf("%d rows are on pages, of %d", placedRows, len(f.rows))
		}
	})
}

func TestWordsOfALineDoNotOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := randomFlow(t)
		for _, r := range f.rows {
			var texts []box
			for _, m := range r.marks {
				if s, ok := m.(text); ok {
					texts = append(texts, s.box())
				}
			}
			for i, a := range texts {
				for _, b := range texts[:i] {
					// Side by side or one above the other.
					across := min(a.x+a.width, b.x+b.width) - max(a.x, b.x)
					down := min(a.y+a.height, b.y+b.height) - max(a.y, b.y)
					if across > 0.01 && down > 0.01 {
						t.Fatalf("words at %+v and %+v", a, b)
					}
				}
			}
		}
	})
}

func TestRowsKeptTogetherAreOnOnePage(t *testing.T) {
	f := New(A4)
	_, full := f.sheet.text()
	for range 20 {
		f.KeepNext(func() { f.add(row{height: full / 7}) })
		f.add(row{height: full / 4})
	}
	for n, page := range f.pages() {
		if len(page)%2 != 0 {
			t.Errorf("page %d ends between a heading and its text: %d rows", n, len(page))
		}
	}
}

func TestLongTableHasItsHeadOnEveryPage(t *testing.T) {
	table := document.Table{Columns: []document.Column{{Name: "zone"}, {Name: "words", Text: true}}}
	for i := range 200 {
		table.Rows = append(table.Rows, []document.Cell{{Text: fmt.Sprint(i)}, {Text: "row"}})
	}
	f := New(Letter)
	f.Table(table)
	pages := f.pages()
	if len(pages) < 3 {
		t.Fatalf("%d pages", len(pages))
	}
	for n, page := range pages {
		first, ok := page[0].marks[0].(text)
		if !ok || first.text != "zone" {
			t.Errorf("page %d begins with %+v", n, page[0].marks[0])
		}
	}
}

func TestWhatStandsAloneIsMadeToFit(t *testing.T) {
	f := New(A4)
	line := Span{Text: "a line of a card", Font: Font{Sans, 10, Ink}}
	f.Text(line)
	f.Alone(func() {
		for range 62 {
			f.Text(line)
		}
	})
	f.Text(line)
	if pages := f.pages(); len(pages) != 3 || len(pages[1]) != 62 {
		t.Errorf("%d pages, the second with %d lines", len(pages), len(pages[1]))
	}
}

func TestPrintIsTheSameEveryTime(t *testing.T) {
	data := func() []byte {
		f := New(A4)
		f.Anchor("a", "A", 0)
		f.Text(Span{Text: "λ/8 √ − Δ ″ µ ± ≤ → ☐ 漢", Font: Font{Serif, 10, Ink}})
		f.PageOf("a", Span{Text: "A", Font: Font{Sans, 10, Ink}})
		var arc vg.Path
		arc.Move(vg.Point{X: 90, Y: 50})
		arc.Arc(vg.Point{X: 50, Y: 50}, 40, 0, 2*math.Pi)
		f.Drawing(draw.Canvas{Size: draw.Size{Width: 100, Height: 100}, Marks: []draw.Mark{{Ink: "be", Path: arc}, {Ink: "lb", Words: "x", Align: draw.Middle}}})
		for i := range 4 { // of one width
			f.Grey([]byte{byte(i), 100, 200, 255}, 2, 2)
		}
		out, err := f.PDF("T", "foot")
		if err != nil {
			t.Fatal(err)
		}
		if got := string(f.Missing()); got != "漢" {
			t.Errorf("missing are %q", got)
		}
		return out
	}
	first := data()
	for range 8 {
		if !bytes.Equal(first, data()) {
			t.Fatal("two prints differ")
		}
	}
	if len(first) > 60_000 {
		t.Errorf("a page of little takes %d bytes; founts should hold what is used alone", len(first))
	}
}

// An arc drawn as curves keeps to its circle, by the circle's own equation.
func TestArcKeepsToItsCircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start, angle := rapid.Float64Range(-7, 7).Draw(t, "start"), rapid.Float64Range(-2*math.Pi, 2*math.Pi).Draw(t, "angle")
		from := handle{math.Cos(start), math.Sin(start)}
		for _, b := range bezier(start, angle) {
			for i := range 21 {
				s := float64(i) / 20
				b0, b1, b2, b3 := math.Pow(1-s, 3), 3*s*math.Pow(1-s, 2), 3*s*s*(1-s), s*s*s
				r := math.Hypot(b0*from.X+b1*b[0].X+b2*b[1].X+b3*b[2].X, b0*from.Y+b1*b[0].Y+b2*b[1].Y+b3*b[2].Y)
				if math.Abs(r-1) > 3e-4 {
					t.Fatalf("at %v of a piece the radius is %v", s, r)
				}
			}
			from = b[2]
		}
		if d := math.Hypot(from.X-math.Cos(start+angle), from.Y-math.Sin(start+angle)); d > 1e-8 {
			t.Fatalf("the arc ends %v from where it should", d)
		}
	})
}
