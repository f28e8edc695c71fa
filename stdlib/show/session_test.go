package show_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/session"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

// told is a story of two tests with a spell between, whose wear was so many times
// what a rate of 5e-13 gives, and a spell since.
func told(t *testing.T, times float64) (s *session.Story, w session.Work) {
	t.Helper()
	m := blank(MM)
	k := zone.NewMask(m, 0, 50*MM, 85*MM, 110*MM, 130*MM, 150*MM)
	l, st := lap.Round(lap.Spec{Diameter: 90 * MM, Load: 15 * Newton}), stroke.Tangential(20*MM, 3.3, 6*RPM)
	e := make([]float64, figure.GridSize)
	test := func() string {
		text := "zone 1,zone 2,zone 3,zone 4,zone 5\n"
		for set := range 4 {
			var row []string
			for z, x := range zone.Expect(k, figure.New(m, e, nil), zone.Moving, 0) {
				row = append(row, fmt.Sprintf("%.3f", x.Reading.In(MM)+0.01*float64((set+z)%3)))
			}
			text += strings.Join(row, ",") + "\n"
		}
		return text
	}
	one := test()
	h := wear.New(m, wear.Setting{Lap: l, Stroke: st, At: 90 * MM}).PerTurn()
	for i := range e {
		e[i] -= 200 * times * 5e-13 * h[i]
	}
	files := fstest.MapFS{
		"one.csv": {Data: []byte(one)}, "two.csv": {Data: []byte(test())},
		"bench.log": {Data: []byte("2026-03-14 10:00 test one.csv\n2026-03-14 11:00 spell 90 mm lap; at 90 mm; 200 turns\n" +
			"2026-03-14 20:00 test two.csv\n2026-03-15 08:00 spell 90 mm lap; at 40 mm; 60 turns\n2026-03-15 09:00 te")},
	}
	defer host.Begin(*host.Current()) // examples run without an engine
	host.Begin(host.Run{Folder: files, Declare: func(document.Input) {}, Emit: func(document.Block) {}})
	s = session.Read("bench.log", session.Bench{Laps: []*lap.Lap{l}, Strokes: []*stroke.Stroke{st}}).Story(k, zone.Sheet{})
	return s, s.Works()[0]
}

func TestStoryIsATableAndADrawing(t *testing.T) {
	s, _ := told(t, 1)
	blocks := shown(func() { show.Story(s) })
	table := only[document.Table](t, blocks)
	if len(table.Rows) != 2 {
		t.Fatalf("%d rows", len(table.Rows))
	}
	second := table.Rows[1]
	for i, want := range map[int]string{1: "2026-03-14 20:00", 5: "1", 6: "10", 7: "43"} {
		if second[i].Text != want {
			t.Errorf("%s of the second test is %q, want %q", table.Columns[i].Name, second[i].Text, want)
		}
	}
	if *second[4].Number <= 1 || !second[4].Warn {
		t.Errorf("a figure that got worse reads %+v", second[4])
	}
	p := only[document.Plot](t, blocks)
	if c := p.Curves[0]; len(c.X) != 2 || c.X[0] != 0 || c.X[1] != 33.33 || len(p.Marks) != 2 {
		t.Errorf("the drawing has tests at %v min, marks %v", p.Curves[0].X, p.Marks)
	}
	text := fmt.Sprint(blocks)
	for _, want := range []string{"1 spell was worked since the last test", `left out: "2026-03-15 09:00 te"`} {
		if !strings.Contains(text, want) {
			t.Errorf("no word of %q", want)
		}
	}
}

func TestMissedForecastIsSaidPlainly(t *testing.T) {
	rate := wear.Rate{K: 5e-13, Factor: 1.2}
	_, w := told(t, 1)
	went := shown(func() { show.Outcome(session.Compare(rate, w), w) })
	if text := only[document.Text](t, went).Text; !strings.HasPrefix(text, "The work went as foreseen") {
		t.Error(text)
	}
	_, w = told(t, 4)
	missed := shown(func() { show.Outcome(session.Compare(rate, w), w) })
	if text := only[document.Text](t, missed).Text; !strings.HasPrefix(text, "The forecast was missed") {
		t.Error(text)
	}
	tables := 0
	for _, b := range missed {
		if table, ok := b.(document.Table); ok {
			if tables++; tables == 2 && !strings.HasPrefix(table.Rows[0][0].Text, "All laps wore ") {
				t.Errorf("the first cause is %q", table.Rows[0][0].Text)
			}
		}
	}
	if tables != 2 {
		t.Errorf("%d tables", tables)
	}
}

func TestLearnedRatesStandBesideThoseBefore(t *testing.T) {
	_, w := told(t, 2)
	table := only[document.Table](t, shown(func() { show.Learned(session.Learn(wear.Rate{K: 5e-13, Factor: 2}, w)) }))
	if len(table.Rows) != 2 || table.Rows[1][0].Text != "90 mm lap" || table.Rows[1][4].Text != "not yet" {
		t.Fatalf("%+v", table.Rows)
	}
	if ratio := *table.Rows[1][3].Number; ratio < 1.6 || ratio > 2.4 {
		t.Errorf("learned %v times the rate; it was 2", ratio)
	}
}

func TestLinesForTheLogAreShown(t *testing.T) {
	m := blank(MM)
	p := plan.New(figure.New(m, make([]float64, figure.GridSize), nil), wear.Rate{K: 5e-13, Factor: 1},
		plan.Spell{Lap: lap.Round(lap.Spec{Diameter: 90 * MM, Load: 15 * Newton}), Stroke: stroke.Tangential(20*MM, 3.3, 6*RPM), At: 90 * MM, Turns: 12})
	got := only[document.Printed](t, shown(func() { show.LogLines(p) })).Text
	want := "lapwright log RECIPE spell \"90 mm lap; tangential, 20 mm, 3.3 double strokes a turn; table 6 rpm; at 90 mm; 12 turns\"\nlapwright log RECIPE test FILE\n"
	if got != want {
		t.Errorf("got %q", got)
	}
}
