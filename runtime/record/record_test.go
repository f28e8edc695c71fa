package record

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lapwright/runtime/child"
	"lapwright/stdlib/document"
)

// The addresses and their words are examples of the paper that fingerprint names
// (from memory).
func TestBytesAreSpokenAsTheProposalHasIt(t *testing.T) {
	for words, b := range map[string][]byte{
		"lusab-babad": {127, 0, 0, 1},
		"gutih-tugad": {63, 84, 220, 193},
		"zabab":       {0xf0, 0},
	} {
		if got := spoken(b); got != words {
			t.Errorf("%v is spoken %s, want %s", b, got, words)
		}
	}
}

// sums are any that a file can have.
var sums = rapid.Map(rapid.SliceOfN(rapid.Byte(), 32, 32), func(b []byte) string { return SHA256(b) })

// records are any that a run could give.
func records(t *rapid.T) *Record {
	r := &Record{Engine: rapid.IntRange(1, 9).Draw(t, "engine"), Numbers: rapid.IntRange(1, 9).Draw(t, "numbers"), Processor: "amd64"}
	r.Recipe = Sum{"recipe.go", sums.Draw(t, "recipe")}
	for i := range rapid.IntRange(0, 3).Draw(t, "files") {
		r.Files = append(r.Files, Sum{strings.Repeat("f", i+1), sums.Draw(t, "sum")})
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "inputs") {
		r.Inputs = append(r.Inputs, Input{strings.Repeat("i", i+1), rapid.String().Draw(t, "value"), rapid.Bool().Draw(t, "given")})
	}
	texts := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"#", "# x", "## y", "\"", `\"`, `\`, "a\tb", "a\nb", " ", "\u202e", "\xff"}))
	finite := rapid.Float64().Filter(func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) })
	section, block := texts.Draw(t, "section"), texts.Draw(t, "block")
	for range rapid.IntRange(0, 8).Draw(t, "results") {
		if rapid.Bool().Draw(t, "next section") {
			section = texts.Draw(t, "section")
		}
		if rapid.Bool().Draw(t, "next block") {
			block = texts.Draw(t, "block")
		}
		e := Entry{Section: section, Block: block, Name: texts.Draw(t, "name"), Text: texts.Draw(t, "text")}
		e.Numbers = rapid.SliceOfN(finite, 0, 4).Draw(t, "numbers")
		if len(e.Numbers) == 0 {
			e.Numbers = nil
			if rapid.Bool().Draw(t, "a sum") {
				e.Sum = sums.Draw(t, "sum of")
			}
		}
		r.Results = append(r.Results, e)
	}
	return r
}

func TestRecordsReadBackAsTheyWere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		was := records(t)
		is, err := Read(was.Text())
		if err != nil {
			t.Fatalf("%v\n%s", err, was.Text())
		}
		if diff := cmp.Diff(was, is); diff != "" {
			t.Fatalf("%s\n%s", diff, was.Text())
		}
		if c := Compare(was, is); c.Like != Bits || len(c.Changed) > 0 {
			t.Fatalf("compared with itself: %+v", c)
		}
	})
}

func TestRecordsThatAreNoneAreRefused(t *testing.T) {
	whole := string(sample().Text())
	if _, err := Read([]byte(strings.ReplaceAll(whole, "\n", "\r\n"))); err != nil {
		t.Errorf("with the line ends of another system: %v", err)
	}
	for _, c := range []struct{ old, new, want string }{
		{Format, "lapwright record 0", "its first line is not"},
		{"14.25", "14.26", "it was changed after it was made"},
		{"6 rpm", "7 rpm", "it was changed after it was made"},
		{"engine\t1\n", "", "does not say of which"},
		{"engine\t1", "engine\t0", "line 5: \"0\" is not a revision"},
		{"numbers\t1", "numbers\t1\t2", "2 columns after \"numbers\", not 1"},
		{"14.25", "NaN", "\"NaN\" is not a number"},
		{"readings.csv", "../readings.csv", "is not a file"},
		{"# One", "# \\q", "not written as a record writes it"},
		{"processor", "owner", "no line of \"owner\""},
		{"rms\t14.3 nm\t14.25", "rms", "a value has at least two columns"},
	} {
		bad := strings.Replace(whole, c.old, c.new, 1)
		if bad == whole {
			t.Fatalf("%q is not in\n%s", c.old, whole)
		}
		if _, err := Read([]byte(bad)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q for %q: %v, which lacks %q", c.new, c.old, err, c.want)
		}
	}
}

// sample is a small record.
func sample() *Record {
	return &Record{
		Engine: 1, Numbers: 1, Processor: "amd64",
		Recipe: Sum{"recipe.go", SHA256([]byte("r"))},
		Files:  []Sum{{"readings.csv", SHA256([]byte("d"))}},
		Inputs: []Input{{"table", "6 rpm", false}},
		Results: []Entry{
			{Section: "One", Block: "result", Name: "rms", Text: "14.3 nm", Numbers: []float64{14.25}},
			{Section: "One", Block: "plot: p", Name: "c #1", Numbers: []float64{0, 1e-9}},
			{Section: "One", Block: "plot: p", Name: "c #2", Numbers: []float64{1, 100}},
			{Section: "Two", Block: "image: i", Name: "greys", Sum: SHA256(nil)},
		},
	}
}

func TestRunsAreAsAlikeAsWhatIsSeen(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Record)
		like   Likeness
		first  string
	}{
		{"nothing", func(*Record) {}, Bits, ""},
		{"the last bit", func(r *Record) { r.Results[0].Numbers[0] = math.Nextafter(14.25, 15) }, Digits, "apart by 1.8e-15, 1.2e-16 of the value, 1 unit in the last place"},
		{"the sign of zero", func(r *Record) { r.Results[1].Numbers[0] = math.Copysign(0, -1) }, Digits, "now   -0"},
		{"a printed digit", func(r *Record) { r.Results[0].Text = "14.2 nm" }, Different, "then  14.3 nm\n  now   14.2 nm"},
		{"less than a hair", func(r *Record) { r.Results[1].Numbers[1] = 0.0999 }, Digits, "One / plot: p / c #1\n  then  1e-09\n  now   0.0999\n  apart by 0.1"},
		{"more than a hair", func(r *Record) { r.Results[1].Numbers[1] = 0.11 }, Different, "apart by 0.11"},
		{"a grey", func(r *Record) { r.Results[3].Sum = SHA256([]byte{1}) }, Digits, "not the same to the last grey"},
		{"one gone", func(r *Record) { r.Results = r.Results[1:] }, Different, "One / result / rms\n  is not there any more"},
		{"one new", func(r *Record) {
			r.Results = append(r.Results, Entry{Section: "Two", Block: "text", Name: "line #1", Text: "x"})
		}, Different, "Two / text / line #1\n  was not there then"},
		{"a number more", func(r *Record) { r.Results[0].Numbers = []float64{14.25, 3} }, Different, "held 1 numbers then, 2 now"},
		{"seen before unseen", func(r *Record) {
			r.Results[0].Numbers[0] = 14.250001
			r.Results[2].Numbers[1] = 120
		}, Different, "One / plot: p / c #2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			is := sample()
			c.change(is)
			found := Compare(sample(), is)
			if found.Like != c.like {
				t.Errorf("alike %d, want %d", found.Like, c.like)
			}
			first := ""
			if len(found.Differ) > 0 {
				first = found.Differ[0].String()
			}
			if !strings.Contains(first, c.first) || (first == "") != (c.first == "") {
				t.Errorf("first difference\n%s\nlacks\n%s", first, c.first)
			}
		})
	}
}

func TestWhatWentInAndChangedIsSaid(t *testing.T) {
	is := sample()
	is.Engine, is.Numbers = 2, 3
	is.Recipe.SHA256 = SHA256(nil)
	is.Files = []Sum{{"after.csv", SHA256(nil)}}
	is.Inputs = []Input{{"table", "7 rpm", true}, {"time", "1 h", false}}
	want := []string{
		"the engine: revision 1 then, 2 now",
		"the numbers of the primitives: revision 1 then, 3 now",
		"the recipe recipe.go",
		"the file after.csv, which was not read then",
		"the file readings.csv, which is not read now",
		"the input table: 6 rpm then, 7 rpm now",
		"the input time, which is new",
	}
	if diff := cmp.Diff(want, Compare(sample(), is).Changed); diff != "" {
		t.Error(diff)
	}
	if sample().Ingredients() == is.Ingredients() || sample().Fingerprint() != is.Fingerprint() {
		t.Error("the fingerprints do not tell what went in from what came out")
	}
}

func TestPlacesCountTheNumbersBetween(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want uint64
	}{
		{1, 1, 0},
		{1, math.Nextafter(1, 2), 1},
		{2, math.Nextafter(2, 0), 1},
		{0, math.Copysign(0, -1), 0},
		{5e-324, -5e-324, 2},
		{-1, math.Nextafter(-1, -2), 1},
		{1, 2, 1 << 52},
	} {
		if got := Places(c.a, c.b); got != c.want || Places(c.b, c.a) != c.want {
			t.Errorf("between %v and %v: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func TestEveryKindOfBlockIsRecorded(t *testing.T) {
	number := 1.25
	table := document.Table{Title: "T", Columns: []document.Column{{Name: "what", Text: true}, {Name: "height", Unit: "nm"}},
		Rows: [][]document.Cell{{{Text: "ring"}, {Text: "1.3", Number: &number}}}, Notes: []string{"n"}}
	blocks := document.Blocks{
		document.Text{Text: "one\n\ntwo"},
		document.Printed{Text: "p\n"},
		table,
		document.Plot{Title: "P", Alt: "a", X: document.Axis{Label: "radius", Unit: "mm"}, Y: document.Axis{Label: "height", Unit: "nm"},
			Curves: []document.Curve{{Name: "c", Role: document.After, X: []float64{0, 1}, Y: []float64{2, 3}, Low: []float64{1, 2}, High: []float64{3, 4}, Band: "b"}},
			Marks:  []document.Mark{{At: 5, Name: "m"}}, Below: []document.Span{{Name: "1", From: 0, To: 2}}, Notes: []string{"n"}},
		document.Image{Title: "I", Panels: []document.Panel{{Name: "left", Alt: "dark", Width: 2, Height: 1, Grey: []byte{3, 5}}}},
		document.Card{Title: "C", Facts: []document.Fact{{Name: "f", Text: "t"}}, Spells: table, Steps: []string{"s"}, Warnings: []string{"w"}, Cautions: []string{"c"}},
		document.Result{Name: "rms", Unit: "m", Value: 2, Text: "rms is 2 m."},
		document.Expect{Name: "edge", Got: 1, Want: 2, Tolerance: 3, Text: "met"},
	}
	seen := make(map[string]bool)
	for _, b := range blocks {
		seen[document.Kind(b)] = true
	}
	for kind, empty := range document.Kinds() {
		if !seen[kind] {
			blocks = append(blocks, empty) // recorded by its JSON
		}
	}
	d := &document.Document{Recipe: "recipe.go", Sections: []document.Section{{Title: "S", State: document.Done, Blocks: blocks}}}
	r, err := Of(&child.Result{Document: d, Source: []byte("x")})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"## text\nline #1\tone\nline #3\ttwo\n",
		"## printed\nline #1\tp\n",
		"## table: T\nring, height, nm\t1.3\t1.25\nnote #1\tn\n",
		"## plot: P\nalt\ta\nx\tradius, mm\t0\t0\ny\theight, nm\t0\t0\nc\tafter, b\nc #1\t\t0\t2\t1\t3\nc #2\t\t1\t3\t2\t4\nmark m\t\t5\nspan 1\t\t0\t2\nnote #1\tn\n",
		"## image: I\nleft\tdark\nleft, greys\t\tsha256:" + SHA256([]byte{3, 5}) + "\n",
		"## card: C\nf\tt\nring, height, nm\t1.3\t1.25\nnote #1\tn\nstep #1\ts\nwarning #1\tw\ncaution #1\tc\n",
		"## result\nrms\trms is 2 m.\t2\n",
		"## expect\nedge\tmet\t1\t2\t3\n",
	} {
		if !strings.Contains(r.results(), want) {
			t.Errorf("the record\n%s\nlacks\n%s", r.results(), want)
		}
	}
	d.Faults = []document.Fault{{Kind: document.Panicked}}
	if _, err := Of(&child.Result{Document: d}); err == nil {
		t.Error("a run that stopped is recorded")
	}
}

func FuzzWhatIsReadIsWrittenTheSame(f *testing.F) {
	f.Add(sample().Text())
	f.Add([]byte(Format))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Read(data)
		if err != nil {
			return
		}
		text := r.Text()
		again, err := Read(text)
		if err != nil {
			t.Fatalf("%v\n%q", err, text)
		}
		if !bytes.Equal(again.Text(), text) {
			t.Errorf("%q is written %q", text, again.Text())
		}
	})
}
