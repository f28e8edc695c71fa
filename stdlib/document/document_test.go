package document

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestBlocksReadBackFromTheirJSON(t *testing.T) {
	n := 1.5
	blocks := Blocks{
		Text{"words"}, Printed{"line\n"},
		Table{Title: "t", Columns: []Column{{"a", "mm", false}}, Rows: [][]Cell{{{"1.5", &n, true}}}, Notes: []string{"n"}},
		Plot{Title: "p", Curves: []Curve{{Name: "c", Role: Before, X: []float64{1}, Y: []float64{2}}}, Marks: []Mark{{1, "m"}}, Below: []Span{{"s", 0, 1}}},
		View{Title: "v", Alt: "a", Unit: "mm", Radius: 9, Clear: 8, Hole: 1, Laps: []Laid{{"1", "lap", 1, 2, 3, []float64{2}, []float64{1, 2}, []float64{3, 4}}}},
		Image{Title: "i", Panels: []Panel{{"p", "a", 2, 1, []byte{0, 255}}}, Notes: []string{"n"}},
		Drawing{Title: "d", Alt: "a", Width: 9, Height: 8, Outlines: []Outline{{CutLine, 1, 2, []Step{{X: 3, Y: 4, Radius: -5}}}}, Labels: []Label{{1, 2, "l"}}},
		Card{Title: "c", Facts: []Fact{{"a", "b"}}, Steps: []string{"s"}, Cautions: []string{"c"}},
		Result{Name: "r", Unit: "m", Value: 0.1, Text: "t"},
		Expect{Name: "e", Got: 1, Want: 2, Text: "t"},
	}
	if len(blocks) != len(Kinds()) {
		t.Errorf("%d kinds here, %d in Kinds", len(blocks), len(Kinds()))
	}
	data, err := json.Marshal(blocks)
	if err != nil {
		t.Fatal(err)
	}
	var back Blocks
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(blocks, back); diff != "" {
		t.Error(diff)
	}
}

func TestJSONThatIsNoBlockIsRefused(t *testing.T) {
	for _, bad := range []string{`[{"script":{}}]`, `[{}]`, `[{"text":{},"printed":{}}]`, `[1]`, `{}`, `[{"text":3}]`} {
		var bs Blocks
		if err := json.Unmarshal([]byte(bad), &bs); err == nil {
			t.Errorf("%s is read as %v", bad, bs)
		}
	}
}

func TestEveryKindHasPlainText(t *testing.T) {
	for kind, b := range Kinds() {
		if texts[kind] == nil {
			t.Errorf("no plain text for %s", kind)
		}
		if text := BlockText(b, 80); text != "" && !strings.HasSuffix(text, "\n") {
			t.Errorf("the text of an empty %s does not end its line: %q", kind, text)
		}
	}
}

func TestVisible(t *testing.T) {
	tests := []struct{ in, want string }{
		{"plain, λ √ − Δ ″ µ ± ≤ → 漢字 é", "plain, λ √ − Δ ″ µ ± ≤ → 漢字 é"},
		{"tab\tand\nline", "tab\tand\nline"},
		{"a\r\nb\rc", "a\nb␍c"},
		{"\x1b[31mred\x07", "␛[31mred␇"},
		{"\x00\x7f", "␀␡"},
		{"\u009b31m", "�31m"},
		{"\u202eright to left\u2066", "�right to left�"},
		{"zero\u200bwidth, \ufeffmark", "zero�width, �mark"},
		{"\xff\xfe", "��"},
		{"line\u2028end", "line�end"},
		{"e\u0301 👩\u200d🔬", "e\u0301 👩\u200d🔬"},
	}
	for _, test := range tests {
		if got := Visible(test.in); got != test.want {
			t.Errorf("Visible(%q) = %q, want %q", test.in, got, test.want)
		}
		if again := Visible(test.want); again != test.want {
			t.Errorf("Visible(%q) = %q: it changes what it gave", test.want, again)
		}
	}
	if got := Line("a\tb\n\nc\x1b"); got != "a b c␛" {
		t.Errorf("Line gives %q", got)
	}
}

func TestNoBlockActsOnATerminal(t *testing.T) {
	word := rapid.StringOf(rapid.SampledFrom([]rune("ab \t\n\r\x1b\x00\x7f\u009b\u202e漢é|")))
	rapid.Check(t, func(t *rapid.T) {
		w := func() string { return word.Draw(t, "word") }
		cells := []Cell{{Text: w()}, {Text: w(), Warn: true}}
		table := Table{Title: w(), Columns: []Column{{w(), w(), true}, {w(), w(), false}}, Rows: [][]Cell{cells, cells[:1]}, Notes: []string{w()}}
		blocks := []Block{
			Text{w()}, Printed{w()}, table,
			Plot{Title: w(), Alt: w(), X: Axis{Label: w(), Unit: w()}, Curves: []Curve{{Name: w(), Band: w(), X: []float64{0, 1}, Y: []float64{1, 0}, Low: []float64{0, 0}, High: []float64{2, 2}}},
				Marks: []Mark{{0.5, w()}}, Below: []Span{{w(), 0, 1}}, Above: []Span{{w(), -1, 2}}, Notes: []string{w()}},
			View{Title: w(), Alt: w(), Unit: w(), Laps: []Laid{{Name: w(), Text: w()}}, Notes: []string{w()}},
			Image{Title: w(), Panels: []Panel{{w(), w(), 1, 1, []byte{7}}}, Notes: []string{w()}},
			Card{Title: w(), Facts: []Fact{{w(), w()}}, Spells: table, Steps: []string{w()}, Warnings: []string{w()}, Cautions: []string{w()}},
			Result{Text: w()},
			Expect{Text: w()},
		}
		for _, b := range blocks {
			if text := BlockText(b, 60); text != Visible(text) {
				t.Fatalf("the text of a %s acts: %q", Kind(b), text)
			}
		}
	})
}

func TestTableStandsInColumns(t *testing.T) {
	cell := rapid.StringOfN(rapid.SampledFrom([]rune("ab1.漢é")), 1, 8, -1)
	rapid.Check(t, func(t *rapid.T) {
		columns := rapid.IntRange(1, 5).Draw(t, "columns")
		table := Table{}
		for range columns {
			table.Columns = append(table.Columns, Column{Name: cell.Draw(t, "name"), Unit: cell.Draw(t, "unit"), Text: rapid.Bool().Draw(t, "words")})
		}
		for range rapid.IntRange(0, 6).Draw(t, "rows") {
			var row []Cell
			for range columns {
				row = append(row, Cell{Text: cell.Draw(t, "cell")})
			}
			table.Rows = append(table.Rows, row)
		}
		lines := strings.Split(strings.TrimSuffix(BlockText(table, 100), "\n"), "\n")
		if len(lines) != 3+len(table.Rows) {
			t.Fatalf("%d lines for %d rows:\n%s", len(lines), len(table.Rows), strings.Join(lines, "\n"))
		}
		rule := lines[2]
		for _, line := range lines {
			if Width(line) > Width(rule) {
				t.Fatalf("a line leaves the table:\n%s", strings.Join(lines, "\n"))
			}
		}
		// A column of numbers ends where its rule does, one of words begins there.
		end := 0
		for i, part := range strings.Split(rule, "  ") {
			start := end
			if i > 0 {
				start += 2
			}
			end = start + Width(part)
			for r, row := range table.Rows {
				text := row[i].Text
				at := end - Width(text)
				if table.Columns[i].Text {
					at = start
				}
				if got := cutColumns(lines[3+r], at, at+Width(text)); got != text {
					t.Fatalf("%q stands where %q should in\n%s", got, text, strings.Join(lines, "\n"))
				}
			}
		}
	})
}

// cutColumns returns what a line has from one column of the terminal to another.
func cutColumns(line string, from, to int) string {
	at := 0
	var out strings.Builder
	for _, c := range line {
		if at >= from && at < to {
			out.WriteRune(c)
		}
		at += Width(string(c))
	}
	return out.String()
}

func TestWideTableBreaksItsWords(t *testing.T) {
	long := strings.Repeat("word ", 40)
	table := Table{Columns: []Column{{"n", "", false}, {"what", "", true}}, Rows: [][]Cell{{{Text: "1"}, {Text: long}}}}
	text := BlockText(table, 60)
	for line := range strings.Lines(text) {
		if Width(strings.TrimSuffix(line, "\n")) > 60 {
			t.Errorf("%q is wider than 60", line)
		}
	}
	if got := strings.Count(text, "word"); got != 40 {
		t.Errorf("%d words of 40 are left", got)
	}
}

func TestTableTooWideIsTurned(t *testing.T) {
	table := Table{Columns: []Column{{Name: "spell"}, {Name: "lap", Text: true}}, Rows: [][]Cell{{{Text: "1"}, {Text: "large"}}, {{Text: "2"}, {Text: "small", Warn: true}}}}
	for i := range 12 {
		table.Columns = append(table.Columns, Column{Name: "quantity" + strconv.Itoa(i), Unit: "mm"})
		for r := range table.Rows {
			table.Rows[r] = append(table.Rows[r], Cell{Text: strconv.Itoa(100*r + i)})
		}
	}
	text := BlockText(table, 80)
	lines := strings.Split(text, "\n")
	for _, want := range []string{"spell               1       2", "lap             large  small!", "quantity11, mm     11    111"} {
		if !strings.Contains(strings.Join(lines, "\n"), want) {
			t.Errorf("nothing reads %q in\n%s", want, text)
		}
	}
	if diff := cmp.Diff(table.Turned().Turned().Rows[1][3:], table.Rows[1][3:]); diff != "" {
		t.Error(diff)
	}
	if wide := BlockText(table, 300); strings.Contains(wide, ", mm") {
		t.Errorf("turned where there is room:\n%s", wide)
	}
}

func TestTicksAreRoundAndWithinTheAxis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1e6, 1e6).Draw(t, "low")
		high := low + rapid.Float64Range(1e-3, 1e6).Draw(t, "length")
		n := rapid.IntRange(2, 10).Draw(t, "n")
		at, labels := Ticks(low, high, n)
		if len(at) < 1 || len(at) > 3*n+1 || len(labels) != len(at) {
			t.Fatalf("%d ticks for %d wanted", len(at), n)
		}
		slack := (high - low) * 1e-6
		for i, v := range at {
			if v < low-slack || v > high+slack {
				t.Fatalf("%v is outside %v to %v", v, low, high)
			}
			if i > 0 {
				step := at[i] - at[i-1]
				mantissa := step / math.Pow(10, math.Floor(math.Log10(step)+1e-6))
				if r := math.Round(mantissa); math.Abs(mantissa-r) > 1e-4 || r != 1 && r != 2 && r != 5 && r != 10 {
					t.Fatalf("a step of %v", step)
				}
			}
			read, err := strconv.ParseFloat(strings.Replace(labels[i], "−", "-", 1), 64)
			if err != nil || math.Abs(read-v) > 1e-6*max(1, math.Abs(v)) {
				t.Fatalf("%v is labelled %s", v, labels[i])
			}
		}
	})
}

func TestAnyPlotCanBeDrawn(t *testing.T) {
	value := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-10, 10), rapid.SampledFrom([]float64{0, 1, -1, math.MaxFloat64, -math.MaxFloat64, 5e-324, math.NaN(), math.Inf(1)}))
	rapid.Check(t, func(t *rapid.T) {
		p := Plot{X: Axis{Low: value.Draw(t, "low"), High: value.Draw(t, "high")}}
		if !finite(p.X.Low, p.X.High) {
			p.X = Axis{}
		}
		for range rapid.IntRange(0, 3).Draw(t, "curves") {
			n := rapid.IntRange(0, 5).Draw(t, "points")
			values := func() []float64 { return rapid.SliceOfN(value, n, n).Draw(t, "values") }
			c := Curve{Role: rapid.SampledFrom([]Role{Before, After, Measured, "?"}).Draw(t, "role"), X: values(), Y: values()}
			if rapid.Bool().Draw(t, "band") {
				c.Low, c.High = values(), values()
			}
			p.Curves = append(p.Curves, c)
		}
		p.Marks = []Mark{{value.Draw(t, "mark"), "m"}}
		p.Below = []Span{{"s", value.Draw(t, "from"), value.Draw(t, "to")}}
		xLow, xHigh, yLow, yHigh := p.Bounds()
		if !(xLow < xHigh) || !(yLow < yHigh) || math.IsInf(xHigh-xLow, 0) || math.IsInf(yHigh-yLow, 0) {
			t.Fatalf("x from %v to %v, y from %v to %v", xLow, xHigh, yLow, yHigh)
		}
		if lines := strings.Count(BlockText(p, 80), "\n"); lines < plotRows {
			t.Fatalf("%d lines", lines)
		}
	})
}

func TestLanesKeepSpansApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var spans []Span
		for range rapid.IntRange(0, 12).Draw(t, "spans") {
			from := rapid.IntRange(0, 20).Draw(t, "from")
			spans = append(spans, Span{From: float64(from), To: float64(from + rapid.IntRange(0, 9).Draw(t, "length"))})
		}
		total := 0
		for _, lane := range Lanes(spans, 0) {
			for i, s := range lane {
				total++
				if i > 0 && lane[i-1].To > s.From {
					t.Fatalf("%v and %v overlap", lane[i-1], s)
				}
			}
		}
		if total != len(spans) {
			t.Fatalf("%d spans of %d", total, len(spans))
		}
	})
}

func TestCheckRefusesWhatIsNotAsPromised(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	one := []float64{1}
	bad := []Block{
		nil,
		Table{Columns: []Column{{}}, Rows: [][]Cell{{}}},
		Table{Columns: []Column{{}}, Rows: [][]Cell{{{Number: &nan}}}},
		Card{Spells: Table{Rows: [][]Cell{{{}}}}},
		Plot{Curves: []Curve{{X: one}}},
		Plot{Curves: []Curve{{X: one, Y: one, Low: one}}},
		Plot{Curves: []Curve{{X: one, Y: []float64{nan}}}},
		Plot{Curves: []Curve{{X: one, Y: one, Low: []float64{inf}, High: one}}},
		Plot{X: Axis{High: inf}},
		Plot{Marks: []Mark{{At: nan}}},
		Plot{Above: []Span{{From: 2, To: 1}}},
		View{Radius: nan},
		View{Radius: 2, Clear: 3},
		View{Radius: 2, Clear: 2, Hole: 3},
		View{Laps: []Laid{{X: inf}}},
		View{Laps: []Laid{{Radius: -1}}},
		View{Laps: []Laid{{Radius: 1, Inner: []float64{2}}}},
		View{Laps: []Laid{{PathX: one}}},
		View{Laps: []Laid{{PathX: make([]float64, mostSteps+1), PathY: make([]float64, mostSteps+1)}}},
		Image{Panels: []Panel{{Width: 2, Height: 1, Grey: []byte{0}}}},
		Image{Panels: []Panel{{}}},
		Image{Panels: []Panel{{Width: -1, Height: -1, Grey: []byte{0}}}},
		Image{Panels: []Panel{{Width: 1, Height: PanelSide + 1, Grey: make([]byte, PanelSide+1)}}},
		Result{Value: nan},
		Drawing{Width: nan},
		Drawing{Width: -1},
		Drawing{Width: 9, Height: MaxDrawing + 1},
		Drawing{Width: 9, Height: 9, Outlines: []Outline{{Line: "wavy"}}},
		Drawing{Width: 9, Height: 9, Outlines: []Outline{{Line: CutLine, X: 10}}},
		Drawing{Width: 9, Height: 9, Outlines: []Outline{{CutLine, 0, 0, []Step{{X: 9, Y: nan}}}}},
		Drawing{Width: 9, Height: 9, Outlines: []Outline{{CutLine, 0, 0, []Step{{X: 9, Radius: inf}}}}},
		Drawing{Width: 9, Height: 9, Labels: []Label{{Y: -1}}},
		Expect{Got: nan},
	}
	for _, b := range bad {
		if err := Check(b); err == nil || !strings.HasPrefix(err.Error(), "document: ") {
			t.Errorf("%+v: %v", b, err)
		}
	}
	for _, b := range Kinds() {
		if err := Check(b); err != nil {
			t.Errorf("%+v: %v", b, err)
		}
	}
}

func TestLapSwingsBetweenThePlacesFurthestApart(t *testing.T) {
	l := Laid{X: 0, Y: 5, Radius: 2, PathX: []float64{0, 3, 0, -3, 0}, PathY: []float64{5, 5.5, 6, 5.5, 5}}
	if x1, y1, x2, y2 := l.Ends(); x1 != 3 || y1 != 5.5 || x2 != -3 || y2 != 5.5 {
		t.Errorf("from %v, %v to %v, %v", x1, y1, x2, y2)
	}
	held := Laid{X: 1, Y: 2}
	if x1, y1, x2, y2 := held.Ends(); x1 != 1 || y1 != 2 || x2 != 1 || y2 != 2 {
		t.Error("a lap held in place swings")
	}
	v := View{Radius: 6, Laps: []Laid{l, held}}
	if got, want := v.Reach(), math.Hypot(3, 5.5)+2; math.Abs(got-want) > 1e-12 {
		t.Errorf("the drawing reaches %v, not %v", got, want)
	}
}

func TestTableWiderThanTheScreenIsCutInParts(t *testing.T) {
	table := Table{Title: "Zones", Columns: []Column{{Name: "zone", Text: true}}, Notes: []string{"all of them"}}
	for i := range 12 {
		table.Columns = append(table.Columns, Column{Name: fmt.Sprint("column-", i)})
	}
	for i := range 14 {
		row := []Cell{{Text: fmt.Sprint("z", i)}}
		for j := range 12 {
			row = append(row, Cell{Text: fmt.Sprint(100*i + j)})
		}
		table.Rows = append(table.Rows, row[:13-i%2])
	}
	text := BlockText(table, 40)
	for line := range strings.Lines(text) {
		if Width(strings.TrimSuffix(line, "\n")) > 40 {
			t.Errorf("a line is wider than 40 columns: %s", line)
		}
	}
	for i := range 14 {
		for j := range 12 - i%2 {
			if n := strings.Count(text, fmt.Sprintf(" %d\n", 100*i+j)) + strings.Count(text, fmt.Sprintf(" %d ", 100*i+j)); n != 1 {
				t.Errorf("the number %d stands in it %d times", 100*i+j, n)
			}
		}
	}
	if strings.Count(text, "Zones") != 1 || !strings.HasSuffix(text, "all of them\n") || strings.Count(text, "z13 ") < 3 {
		t.Errorf("title, first column and note:\n%s", text)
	}
}
