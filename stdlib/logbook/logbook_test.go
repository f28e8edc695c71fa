package logbook

import (
	"bytes"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	. "lapwright/stdlib/unit"
)

const sample = `# The log of a mirror: one line an event, the oldest first. Lines are only ever added.
2026-03-14 10:20 test readings-1.csv

2026-03-14 11:05 spell 60 mm lap; tangential, 20 mm, 3.3 double strokes a turn; table 6 rpm; at 118 mm; 120 turns
2026-03-14 11:30 spell 90 mm lap; 80 turns; at 3.5 in; load 8 N
2026-03-14 11:31 note der Läpper quietscht
2026-03-15 09:00 test read (broken off)
  2026-03-15 09:01   test readings-2.csv
`

func TestLogReadsAsItIsWritten(t *testing.T) {
	l, err := Parse([]byte(sample))
	if err != nil || l.Broken != "" {
		t.Fatal(err, l.Broken)
	}
	want := []Event{
		{When: "2026-03-14 10:20", Kind: "test", Text: "readings-1.csv", Line: 2},
		{When: "2026-03-14 11:05", Kind: "spell", Text: "60 mm lap; tangential, 20 mm, 3.3 double strokes a turn; table 6 rpm; at 118 mm; 120 turns", Line: 4,
			Spell: Spell{Lap: "60 mm lap", Stroke: "tangential, 20 mm, 3.3 double strokes a turn", Table: 6 * RPM, At: 118 * MM, Turns: 120}},
		{When: "2026-03-14 11:30", Kind: "spell", Text: "90 mm lap; 80 turns; at 3.5 in; load 8 N", Line: 5,
			Spell: Spell{Lap: "90 mm lap", At: 3.5 * Inch, Turns: 80, Load: 8 * Newton}},
		{When: "2026-03-14 11:31", Kind: "note", Text: "der Läpper quietscht", Line: 6},
		{When: "2026-03-15 09:01", Kind: "test", Text: "readings-2.csv", Line: 8},
	}
	if !reflect.DeepEqual(l.Events, want) {
		t.Errorf("got %+v\nwant %+v", l.Events, want)
	}
}

func TestLogIsSafeUnderACrashAtAnyByte(t *testing.T) {
	next, err := New("2026-03-16 08:00", "spell", "60 mm lap; at 118 mm; 40 turns")
	if err != nil {
		t.Fatal(err)
	}
	whole, _ := Parse([]byte(sample))
	for cut := range len(sample) + 1 {
		torn := []byte(sample[:cut])
		l, err := Parse(torn)
		if err != nil {
			t.Fatalf("cut at %d: %v", cut, err)
		}
		if !reflect.DeepEqual(l.Events, whole.Events[:len(l.Events)]) && len(l.Events) > 0 {
			t.Fatalf("cut at %d: %+v", cut, l.Events)
		}
		lines, there := strings.Count(sample[:cut], "\n"), 0
		for _, e := range whole.Events {
			if e.Line <= lines {
				there++
			}
		}
		if len(l.Events) != there {
			t.Fatalf("cut at %d: %d events within %d whole lines", cut, len(l.Events), lines)
		}
		// What is added then is there, and what is broken off in the adding is not.
		added := Addition(torn, next)
		for some := range len(added) + 1 {
			again := append(bytes.Clone(torn), added[:some]...)
			m, err := Parse(again)
			if err != nil {
				t.Fatalf("cut at %d, %d bytes added: %v", cut, some, err)
			}
			n := len(l.Events)
			if some == len(added) {
				n++
			}
			if len(m.Events) != n || n > len(l.Events) && m.Events[n-1].String() != next.String() {
				t.Fatalf("cut at %d, %d of %d bytes added: %d events, not %d", cut, some, len(added), len(m.Events), n)
			}
			if some%7 == 0 { // and once more
				m, err := Parse(append(again, Addition(again, next)...))
				if err != nil || len(m.Events) != n+1 || m.Broken != "" {
					t.Fatalf("cut at %d, broken off again at %d: %d events, %v", cut, some, len(m.Events), err)
				}
			}
		}
	}
}

func TestLineThatIsNoneIsTold(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"2026-03-14 25:20 test a.csv", `"2026-03-14 25:20" is no day and time like`},
		{"2026-3-14 10:20 test a.csv", "is no day and time"},
		{"hello", "is no day and time"},
		{"2026-03-14 10:20 tset a.csv", `"tset" is no kind of event; it must be test, spell or note`},
		{"2026-03-14 10:20 test", `there is nothing after "test"`},
		{"2026-03-14 10:20 note a\x1b[31m", "one line of plain text"},
		{"2026-03-14 10:20 note \xff", "one line of plain text"},
		{"2026-03-14 10:20 note " + strings.Repeat("x", 1001), "1001 bytes long"},
		{"2026-03-14 10:20 spell 60 mm lap; 120 turns", "at which radius"},
		{"2026-03-14 10:20 spell 60 mm lap; at 118 mm", "how many turns"},
		{"2026-03-14 10:20 spell 60 mm lap; at 118; 120 turns", `the radius in "at 118" cannot be read`},
		{"2026-03-14 10:20 spell 60 mm lap; at -1 mm; 120 turns", "no radius on a mirror"},
		{"2026-03-14 10:20 spell 60 mm lap; at 118 mm; 0 turns", "no whole number from 1 to 100000"},
		{"2026-03-14 10:20 spell 60 mm lap; at 118 mm; 1.5 turns", "no whole number"},
		{"2026-03-14 10:20 spell 60 mm lap; at 118 mm; 12 turns; 13 turns", "the number of turns is there twice"},
		{"2026-03-14 10:20 spell 60 mm lap; at 118 mm; 12 turns; load -3 N", "the load in"},
		{"2026-03-14 10:20 spell 60 mm lap; at 118 mm; 12 turns; table 0 rpm", "the table's rate in"},
		{"2026-03-14 10:20 spell 60 mm lap;; at 118 mm; 12 turns", "nothing between two semicolons"},
		{"2026-03-14 10:20 spell 60 mm lap; held; radial; at 118 mm; 12 turns", "the stroke is there twice"},
	} {
		_, err := Parse([]byte("# one\n" + c.line + "\n"))
		var f *Fault
		if !errors.As(err, &f) || f.Line != 2 || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %q", c.line, err, c.want)
		}
	}
	if _, err := New("2026-03-14 10:20", "note", "so it was (broken off)"); err == nil {
		t.Error("a text that says it is broken off is taken")
	}
}

func TestWhatIsAddedIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var data []byte
		var want []string
		for range rapid.IntRange(1, 5).Draw(t, "events") {
			e, err := New("2026-03-14 10:20", "note", rapid.StringMatching(`[ -~äµ″]{1,40}`).Draw(t, "text"))
			if err != nil {
				continue
			}
			want = append(want, e.String())
			data = append(data, Addition(data, e)...)
		}
		l, err := Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, e := range l.Events {
			got = append(got, e.String())
		}
		if !slices.Equal(got, want) {
			t.Fatalf("got %q, want %q", got, want)
		}
	})
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(sample))
	f.Add([]byte("2026-03-14 10:20 spell a; at 1 mm; 1 turn\r\nx"))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := Parse(data)
		if err != nil {
			return
		}
		var again []byte
		for _, e := range l.Events {
			again = append(again, Addition(again, e)...)
		}
		m, err := Parse(again)
		if err != nil || len(m.Events) != len(l.Events) {
			t.Fatalf("written again: %v, %d events of %d", err, len(m.Events), len(l.Events))
		}
		for i, e := range m.Events {
			if e.String() != l.Events[i].String() {
				t.Fatalf("written again: %q is %q", l.Events[i], e)
			}
		}
	})
}
