package session

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
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

var onBench = Bench{Laps: []*lap.Lap{large, small}, Strokes: []*stroke.Stroke{chords, stroke.Radial(15*MM, 2.7, 6*RPM)}}

// folder is the recipe's folder, with files of that content.
func folder(files ...string) {
	f := fstest.MapFS{}
	for i := 0; i < len(files); i += 2 {
		f[files[i]] = &fstest.MapFile{Data: []byte(files[i+1])}
	}
	host.Begin(host.Run{Folder: f, Declare: func(document.Input) {}, Emit: func(document.Block) {}})
}

// sheetOf is a sheet of readings of the mask, as text.
func sheetOf(r *zone.Readings) string {
	var b strings.Builder
	b.WriteString("set")
	for z := range r.Mask().Zones() {
		fmt.Fprintf(&b, ",zone %d", z+1)
	}
	for s := range r.Sets() {
		fmt.Fprintf(&b, "\n%d", s+1)
		for z := range r.Mask().Zones() {
			v, _ := r.Value(s, z)
			fmt.Fprintf(&b, ",%.4f", v.In(MM))
		}
	}
	return b.String() + "\n"
}

func TestStoryIsTestsAndTheWorkBetween(t *testing.T) {
	b := newBench(2, map[*lap.Lap]float64{large: 6e-13, small: 6e-13})
	one := sheetOf(b.test(0.02))
	b.work(two()...)
	two := sheetOf(b.test(0.02))
	folder("bench.log", `# by hand
2026-03-14 10:20 test one.csv
2026-03-14 11:00 spell 110 mm lap; at 60 mm; 150 turns
2026-03-14 11:30 note fresh slurry
2026-03-14 12:00 spell 60 mm lap; tangential, 20 mm, 3.3 double strokes a turn, wandering 3 mm in and out; table 6 rpm; 200 turns; at 115 mm; load 6 N
2026-03-14 20:00 test two.csv
2026-03-15 09:00 spell 60 mm lap; radial, 15 mm, 2.7 double strokes a turn; at 90 mm; 10 turns
2026-03-15 09:10 spell 60 mm lap; at 9`, "one.csv", one, "two.csv", two)
	l := Read("bench.log", onBench)
	if got := l.Broken(); got != "2026-03-15 09:10 spell 60 mm lap; at 9" {
		t.Errorf("broken off is %q", got)
	}
	if e := l.Events(); len(e) != 6 || e[2].Kind != "note" || e[2].String() != "2026-03-14 11:30 note fresh slurry" {
		t.Errorf("events: %v", e)
	}
	s := l.Story(mask, zone.Sheet{})
	works := s.Works()
	if len(s.Tests) != 2 || len(works) != 1 || len(works[0].Spells) != 2 {
		t.Fatalf("%d tests, %d works", len(s.Tests), len(works))
	}
	want := []Spell{
		{Lap: large, Stroke: chords, At: 60 * MM, Turns: 150},
		{Lap: small, Stroke: chords, At: 115 * MM, Turns: 200, Load: 6 * Newton},
	}
	for i, got := range works[0].Spells {
		if got != want[i] {
			t.Errorf("spell %d is %+v, want %+v", i+1, got, want[i])
		}
	}
	if works[0].Before != s.Tests[0].Figure || works[0].After != s.Tests[1].Readings || s.Latest() != s.Tests[1].Figure {
		t.Error("the work is not between its two tests")
	}
	if got := s.Tests[0].Time().In(Minute); got < 58.3 || got > 58.4 { // 350 turns at 6 a minute
		t.Errorf("the work took %v min", got)
	}
	if since := s.Since(); len(since) != 1 || since[0].Stroke != onBench.Strokes[1] {
		t.Errorf("since the last test: %v", since)
	}
	Learn(wear.Rate{K: 5e-13, Factor: 2}, works...)
}

func TestLineOfASpellIsReadBackAsTheSpell(t *testing.T) {
	glass := figure.New(shop, newBench(1, nil).e, nil)
	p := plan.New(glass, wear.Rate{K: 5e-13, Factor: 1},
		plan.Spell{Lap: small, Stroke: onBench.Strokes[1], At: 100.0 / 3 * MM, Turns: 1},
		plan.Spell{Lap: large, Stroke: chords, At: 0, Turns: 300})
	text := ""
	for _, line := range Lines(p) {
		text += "2026-03-14 11:00 spell " + line + "\n"
	}
	folder("bench.log", text)
	l := Read("bench.log", onBench)
	for i, want := range As(p) {
		got := l.spells[i]
		if d := got.At - want.At; d > 5.1*UM || d < -5.1*UM {
			t.Errorf("spell %d is at %v, was at %v", i+1, got.At, want.At)
		}
		got.At = want.At
		if got != want {
			t.Errorf("spell %d is %v, was %v", i+1, got, want)
		}
	}
	odd := lap.Round(lap.Spec{Name: "a; b", Diameter: 60 * MM, Load: Newton})
	if got := stopped(func() { Spell{Lap: odd, Stroke: chords, Turns: 1}.Line() }); !strings.Contains(got, "has a semicolon in it") {
		t.Errorf("got %q", got)
	}
}

func TestLogThatIsWrongStopsTheRecipe(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"2026-03-14 11:00 spell 60 mm lap; at 118 mm", "bench.log:2: \"60 mm lap; at 118 mm\" does not say how many turns"},
		{"2026-03-14 11:00 spell 60mm lap; at 118 mm; 12 turns", `bench.log:2: there is no "60mm lap" on the bench; did you mean "60 mm lap"?`},
		{"2026-03-14 11:00 spell the big one; at 118 mm; 12 turns", `(there: 110 mm lap | 60 mm lap)`},
		{"2026-03-14 11:00 spell 60 mm lap; tangential, 20 mm; at 118 mm; 12 turns", `there is no stroke "tangential, 20 mm" on the bench`},
		{"2026-03-14 11:00 spell 60 mm lap; at 118 mm; 12 turns; table 7 rpm", `there is no stroke "table 7 rpm" on the bench`},
		{"2026-03-14 11:00 spell 60 mm lap; at 118 mm; 12 turns", "bench.log:2: a spell was worked before the first test"},
		{"2026-03-14 11:00 note x", "there is no test in bench.log"},
		{"2026-03-14 11:00 test two.csv", "there is no file two.csv"},
	} {
		folder("bench.log", "# by hand\n"+c.line+"\n")
		if got := stopped(func() { Read("bench.log", onBench).Story(mask, zone.Sheet{}) }); !strings.Contains(got, c.want) {
			t.Errorf("%s\ngot  %q\nwant %q", c.line, got, c.want)
		}
	}
	if got := stopped(func() { Read("bench.lgo", onBench) }); !strings.Contains(got, "session.Read: there is no file bench.lgo in the recipe's folder") {
		t.Errorf("got %q", got)
	}
	if got := stopped(func() { Read("bench.log", Bench{Laps: []*lap.Lap{nil}}) }); !strings.Contains(got, "on the bench is nil") {
		t.Errorf("got %q", got)
	}
}
