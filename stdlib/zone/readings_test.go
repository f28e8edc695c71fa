package zone

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	. "lapwright/stdlib/unit"
)

// shop is the mirror of the shipped scenario and a mask for it.
var (
	shop     = mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM, Thickness: 40 * MM})
	shopMask = NewMask(shop, 0, 55*MM, 80*MM, 98*MM, 111*MM, 125*MM, 138*MM, 150*MM)
)

// noisy returns sets of readings in mm about the means, in metres, with a zero
// each and normal scatter.
func noisy(rng *rand.Rand, means []float64, sets int, scatter float64) [][]float64 {
	list := make([][]float64, sets)
	for s := range list {
		zero := rng.NormFloat64() * 1e-3
		for _, v := range means {
			list[s] = append(list[s], (v+zero+scatter*rng.NormFloat64())*1e3)
		}
	}
	return list
}

// read reads a sheet with the text given.
func read(k *Mask, text string, s Sheet) *Readings {
	host.Begin(host.Run{Folder: fstest.MapFS{"readings.csv": {Data: []byte(text)}}})
	return Read(k, "readings.csv", s)
}

const good = `# invented
set,zone 1,zone 2,zone 3
first, 0.00, 1.00, 2.00
second,0.10, 1.12, 2.08
,      5.02, 5.98, -
`

func TestSheetIsReadAsWritten(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	k := NewMask(m, 0, 50*MM, 80*MM, 100*MM)
	r := read(k, good, Sheet{Source: Fixed})
	if r.Sets() != 3 || r.Set(0).Name != "first" || r.Set(2).Name != "3" || r.Unit() != MM || r.Source() != Fixed || r.Mask() != k {
		t.Errorf("%d sets, %q, %q", r.Sets(), r.Set(0).Name, r.Set(2).Name)
	}
	if v, taken := r.Value(1, 2); !taken || math.Abs(float64(v-2.08*MM)) > 1e-18 {
		t.Errorf("value %v, %v", v, taken)
	}
	if _, taken := r.Value(2, 2); taken {
		t.Error("a hyphen is a reading")
	}
	if means := r.Means(); means[2].Taken != 2 || means[0].Taken != 3 || means[0].Reading != 0 {
		t.Errorf("means %+v", means)
	}
	// Columns in any order and spelling, thousandths of an inch.
	r = read(k, "Zone 3,ZONE_1,zone 2\n20,-10 1/2,0\n", Sheet{Unit: Thou})
	if v, _ := r.Value(0, 0); math.Abs(float64(v+10.5*Thou)) > 1e-18 {
		t.Errorf("value %v", v)
	}
	if got := stop(func() { r.Value(1, 0) }); got == nil || !strings.Contains(got.Message, "s is 1; it must be from 0 to 0") {
		t.Errorf("no such set: %v", got)
	}
	if got := stop(func() { r.Value(0, 3) }); got == nil || !strings.Contains(got.Message, "i is 3; it must be from 0 to 2") {
		t.Errorf("no such zone: %v", got)
	}
}

func TestMalformedSheetsOfReadingsNameTheCell(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	k := NewMask(m, 0, 50*MM, 80*MM, 100*MM)
	for _, c := range []struct{ name, text, want string }{
		{"word", "set,zone 1,zone 2,zone 3\na,0,1.O,2\n", `readings.csv:2:5: "1.O" is not a number`},
		{"empty cell", "set,zone 1,zone 2,zone 3\na,0,,2\n", "readings.csv:2:5: there is no reading here; write a hyphen where none was taken"},
		{"zone missing from a set", "set,zone 1,zone 2,zone 3\na,0,1,2\nb,0,1\n", `readings.csv:3:5: the row ends after column 3 where the head has 4; "zone 3" is the first that is missing`},
		{"zone missing from the head", "set,zone 1,zone 3\na,0,1\n", "readings.csv:1:12: there is no column zone 2: the mask has 3 zones"},
		{"zone the mask has not", "zone 1,zone 2,zone 3,zone 4\n0,1,2,3\n", "readings.csv:1:22: there is no zone 4: the mask has zones 1 to 3"},
		{"zone 0", "zone 0,zone 1,zone 2,zone 3\n0,1,2,3\n", "readings.csv:1:1: there is no zone 0"},
		{"zone twice", "zone 1,zone 01,zone 2,zone 3\n0,1,2,3\n", "readings.csv:1:8: zone 1 has a column already"},
		{"misspelt zone", "set,zone 1,zoen 2,zone 3\na,0,1,2\n", `readings.csv:1:12: "zoen 2" is no column of a sheet of readings; did you mean "zone 2"?`},
		{"no head", "0,1,2\n0,1,2\n", `readings.csv:1:1: "0" is no column of a sheet of readings: its first row holds no readings, it names the columns. The columns are`},
		{"other column", "set,zone 1,zone 2,zone 3,mood\na,0,1,2,3\n", `readings.csv:1:26: "mood" is no column of a sheet of readings. The columns are set, angle, date and temperature, which may be left out, and zone 1 to zone 3`},
		{"plus sign", "zone +1,zone 2,zone 3\n0,1,2\n", `"zone +1" is no column`},
		{"NaN", "zone 1,zone 2,zone 3\n0,NaN,2\n", `readings.csv:2:3: "NaN" is no reading; write a number, or a hyphen where none was taken`},
		{"infinity", "zone 1,zone 2,zone 3\n0,+Inf,2\n", `readings.csv:2:3: "+Inf" is no reading`},
		{"absurd", "zone 1,zone 2,zone 3\n0,1,2400\n", "readings.csv:2:5: the reading is 2.4 m; it must be less than the focal length, 1.2 m: is the unit right? The sheet is read in mm"},
		{"a point left out", "zone 1,zone 2,zone 3\n0,0.52,130\n0,0.5,131\n", "zone 3 reads 100.1 mm from where it should, the other zones taken together; the most is 28.2 mm: is a point left out, or the unit wrong? The readings are taken as mm"},
		{"semicolons", "set;zone 1;zone 2;zone 3\na;0,1;1,1;2,2\n", "readings.csv:1:1: the columns are separated by semicolons"},
		{"lonely reading", "zone 1,zone 2,zone 3\n0,1,2\n-,-,1\n", "set 2 (readings.csv:3:1) has too few readings, 1; a set must have at least 2"},
		{"zone never read", "zone 1,zone 2,zone 3\n0,1,-\n1,2,-\n", "zone 3 has no reading in any set"},
		{"head with a unit", "zone 1 (mm),zone 2,zone 3\n0,1,2\n", `readings.csv:1:1: "zone 1 (mm)" names a unit; write the head as "zone 1" and give the unit of readings in the recipe, as Sheet.Unit`},
		{"head with a unit in other brackets", "zone 1,zone 2 [in],zone 3\n0,1,2\n", `readings.csv:1:8: "zone 2 [in]" names a unit; write the head as "zone 2"`},
		{"angle in words", "angle,zone 1,zone 2,zone 3\nquarter,0,1,2\n", `readings.csv:2:1: "quarter" is not a number`},
		{"angle beyond a turn", "angle,zone 1,zone 2,zone 3\n400,0,1,2\n", "readings.csv:2:1: the angle must be from -360 to 360 degrees; 400 stands here"},
		{"no angle", "angle,zone 1,zone 2,zone 3\n,0,1,2\n", "readings.csv:2:1: there is nothing here; write a hyphen where it was not noted"},
		{"date of another order", "zone 1,zone 2,zone 3,date\n0,1,2,25.11.2026\n", `readings.csv:2:7: "25.11.2026" is no date; write it as 2026-11-25`},
		{"day that is none", "zone 1,zone 2,zone 3,date\n0,1,2,2026-02-30\n", `readings.csv:2:7: "2026-02-30" is no date`},
		{"temperature in °F", "temperature,zone 1,zone 2,zone 3\n68,0,1,2\n", "readings.csv:2:1: the temperature must be from -60 to 60 °C; write temperature F at the head for °F; 68 stands here"},
		{"two temperatures", "temperature,temperature F,zone 1,zone 2,zone 3\n20,68,0,1,2\n", "readings.csv:1:13: there is such a column already, column 1"},
		{"two angles", "angle,zone 1,zone 2,zone 3,angle (°)\n0,0,1,2,90\n", "readings.csv:1:28: there is such a column already, column 1"},
		{"left without right", "zone 1 left,zone 1 right,zone 2 left,zone 2 right,zone 3 left\n0,0,1,1,2\n", "readings.csv:1:51: there is no column zone 3 right: the mask has 3 zones, and each must have its columns"},
		{"some apart, some together", "zone 1,zone 2 left,zone 2 right,zone 3\n0,1,1,2\n", "readings.csv:1:1: other zones of this sheet have the columns zone N left and zone N right; all must be read in one way"},
		{"left twice", "zone 1 left,zone 01 left,zone 1 right\n0,1,1\n", "readings.csv:1:13: zone 1 left has a column already"},
		{"across without along", "zone 1,zone 1 across,zone 2,zone 2 across,zone 3 across\n0,0,1,0,0\n", "there is no column zone 3: the mask has 3 zones, and each must have its columns"},
		{"left and across", "zone 1 left,zone 1 across,zone 2,zone 2 across,zone 3,zone 3 across\n0,0,1,0,0,0\n", "readings.csv:1:1: other zones of this sheet have the columns zone N and zone N across"},
		{"upper opening", "zone 1 upper,zone 2,zone 3\n0,1,2\n", `"zone 1 upper" is no column of a sheet of readings`},
		{"empty right opening", "zone 1 left,zone 1 right,zone 2 left,zone 2 right,zone 3 left,zone 3 right\n0,0,1,,2,2\n", "readings.csv:2:7: there is no reading here"},
		{"centres far apart", "zone 1,zone 1 across,zone 2,zone 2 across,zone 3,zone 3 across\n0,0,1,0.1,2,95\n", "readings.csv:2:13: the centres lie 95 mm apart; they must be less than the zone's radius, 90.55"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := stop(func() { read(k, c.text, Sheet{}) })
			if got == nil {
				t.Fatal("accepted")
			}
			if got.Call != "zone.Read" || !strings.Contains(got.Message, c.want) || strings.Contains(got.Message, "\n") {
				t.Errorf("got  %q\nwant %q", got.Message, c.want)
			}
			if strings.HasPrefix(c.want, "readings.csv:") && (len(got.Notes) != 1 || got.Notes[0].Excerpt == "") {
				t.Errorf("notes %+v", got.Notes)
			}
		})
	}
	many := "zone 1,zone 2,zone 3\n" + strings.Repeat("0,1,2\n", MaxSets+1)
	if got := stop(func() { read(k, many, Sheet{}) }); got == nil || !strings.Contains(got.Message, "there are 1001 sets of readings; there must be 1 to 1000") {
		t.Errorf("too many sets: %v", got)
	}
}

func TestSheetsThatSayNonsenseAreRefused(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	k := NewMask(m, 0, 50*MM, 80*MM, 100*MM)
	for _, c := range []struct {
		s    Sheet
		want string
	}{
		{Sheet{Source: FixedAt(-300 * MM)}, "the place of the fixed source is -300 mm; it must be within 240 mm of the centre of curvature"},
		{Sheet{Source: FixedAt(Length(math.NaN()))}, "the place of the fixed source is NaN"},
		{Sheet{Unit: 3 * MM}, "Unit is 3 mm; it must be MM, CM, UM, Metre, Inch or Thou"},
		{Sheet{Unit: -MM}, "Unit is -1 mm"},
		{Sheet{Scatter: -1 * MM}, "Scatter is -1 mm; it must be 0.1 µm to 10 mm"},
		{Sheet{Scatter: Length(math.NaN())}, "Scatter is NaN"},
	} {
		got := stop(func() { Given(k, c.s, []float64{0, 1, 2}) })
		if got == nil || !strings.Contains(got.Message, c.want) {
			t.Errorf("%+v: %v, want %q", c.s, got, c.want)
		}
	}
	for want, sets := range map[string][][]float64{
		"there are 0 sets":                          nil,
		"set 1 has 2 numbers; the mask has 3 zones": {{0, 1}},
		"set 1, zone 2: the reading is +Inf m":      {{0, math.Inf(1), 2}},
		"the sets do not hang together":             {{0, 1, math.NaN(), math.NaN()}, {math.NaN(), math.NaN(), 1, 2}},
	} {
		mask := k
		if len(sets) > 1 {
			mask = NewMask(m, 0, 40*MM, 60*MM, 80*MM, 100*MM)
		}
		if got := stop(func() { Given(mask, Sheet{}, sets...) }); got == nil || !strings.Contains(got.Message, want) {
			t.Errorf("%v: %v, want %q", sets, got, want)
		}
	}
}

func TestMeansAndScatterAreLeastSquares(t *testing.T) {
	// A complete sheet has closed forms: zone means less set means, scatter from
	// (sets-1)(zones-1) free readings. Two-way layout, any textbook of statistics.
	k := NewMask(mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM}), 0, 50*MM, 80*MM, 100*MM)
	r := Given(k, Sheet{Scatter: 0.05 * MM}, []float64{0, 1, 2}, []float64{0.3, 1.2, 2.4}, []float64{-1, 0.1, 0.9})
	// Residuals by hand, in mm.
	rows := [][]float64{{0, 1, 2}, {0.3, 1.2, 2.4}, {-1, 0.1, 0.9}}
	var zone, set [3]float64
	grand := 0.0
	for s := range 3 {
		for i := range 3 {
			zone[i] += rows[s][i] / 3
			set[s] += rows[s][i] / 3
			grand += rows[s][i] / 9
		}
	}
	square := 0.0
	for s := range 3 {
		for i := range 3 {
			d := rows[s][i] - zone[i] - set[s] + grand
			square += d * d
		}
	}
	scatter, measured := r.Scatter()
	near(t, "scatter, mm", scatter.In(MM), math.Sqrt((4*0.05*0.05+square)/(4+4)), 2e-4)
	if !measured {
		t.Error("three sets measure no scatter")
	}
	for i, m := range r.Means() {
		near(t, "mean, mm", m.Reading.In(MM), zone[i]-zone[0], 1e-9)
		// Each zone's scatter is drawn towards that of all.
		if m.Doubt <= 0 || m.Scatter < scatter/2 || m.Scatter > 2*scatter {
			t.Errorf("zone %d: %+v", i+1, m)
		}
	}
	one := Given(k, Sheet{}, []float64{0, 1, 2})
	if s, measured := one.Scatter(); measured || s != 0.02*MM {
		t.Errorf("one set has the scatter %v, measured %v", s, measured)
	}
	if s, _ := Given(k, Sheet{Source: Fixed}, []float64{0, 1, 2}).Scatter(); s != 0.04*MM {
		t.Errorf("a fixed source has the scatter %v", s)
	}
}

func TestMissingReadingsAreLeftOutOfTheFit(t *testing.T) {
	// A second way: the whole design matrix by QR, for equal weights.
	nan := math.NaN()
	rows := [][]float64{{0, 1, nan, 3}, {0.5, nan, 2.4, 3.6}, {-1, 0.1, 0.9, nan}, {nan, 4, 5.1, 6}}
	k := NewMask(mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM}), 0, 40*MM, 60*MM, 80*MM, 100*MM)
	r := Given(k, Sheet{Scatter: 10 * MM}, rows...) // so wide that all zones have the same
	var a, y []float64
	for s, row := range rows {
		for i, v := range row {
			if math.IsNaN(v) {
				continue
			}
			line := make([]float64, 7) // 4 zones, 3 more sets
			line[i] = 1
			if s > 0 {
				line[3+s] = 1
			}
			a, y = append(a, line...), append(y, v)
		}
	}
	var x mat.VecDense
	if err := x.SolveVec(mat.NewDense(len(y), 7, a), mat.NewVecDense(len(y), y)); err != nil {
		t.Fatal(err)
	}
	for i, m := range r.Means() {
		near(t, "mean, mm", m.Reading.In(MM), x.AtVec(i)-x.AtVec(0), 1e-6)
	}
}

func TestABadReadingIsNamedAndLeftOut(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	means := tester{shop, Moving}.means(shopMask, perfect)
	rows := noisy(rng, means, 6, 0.02e-3)
	clean := Given(shopMask, Sheet{}, rows...)
	if got := clean.Suspects(); len(got) != 0 {
		t.Errorf("suspects in clean readings: %+v", got)
	}
	rows[2][4] += 0.5
	r := Given(shopMask, Sheet{}, rows...)
	got := r.Suspects()
	if len(got) != 1 || got[0].Set != "3" || got[0].Zone != 5 || got[0].Counted {
		t.Fatalf("suspects %+v", got)
	}
	near(t, "off, mm", got[0].Off.In(MM), 0.5, 0.08)
	near(t, "moves, mm", got[0].Moves.In(MM), 0.5/6, 0.08/6)
	if m := r.Means()[4]; m.Taken != 5 {
		t.Errorf("it counts: %+v", m)
	}
	kept := Given(shopMask, Sheet{KeepAll: true}, rows...)
	if s := kept.Suspects(); len(s) != 1 || !s[0].Counted || kept.Means()[4].Taken != 6 {
		t.Errorf("kept: %+v", s)
	}
	near(t, "its pull, mm", (kept.Means()[4].Off - r.Means()[4].Off).In(MM), 0.5/6, 0.03)

	// The place in the file.
	var b strings.Builder
	b.WriteString("set")
	for i := range 7 {
		fmt.Fprintf(&b, ",zone %d", i+1)
	}
	for s, row := range rows {
		fmt.Fprintf(&b, "\nset %d", s+1)
		for _, v := range row {
			fmt.Fprintf(&b, ",%.3f", v)
		}
	}
	r = read(shopMask, b.String(), Sheet{})
	if got := r.Suspects(); len(got) != 1 || !strings.HasPrefix(got[0].Place, "readings.csv:4:") {
		t.Errorf("suspects %+v", got)
	}
}

func TestCleanReadingsAreRarelySuspected(t *testing.T) {
	// The test is set so that one clean sheet in a hundred names a reading.
	rng := rand.New(rand.NewPCG(5, 5))
	means := tester{shop, Moving}.means(shopMask, perfect)
	sheets := 0
	for range 600 {
		if len(Given(shopMask, Sheet{}, noisy(rng, means, 5, 0.02e-3)...).Suspects()) > 0 {
			sheets++
		}
	}
	if sheets > 18 { // 6 expected; more than 18 has a chance below 1e-4
		t.Errorf("%d of 600 clean sheets have a suspect", sheets)
	}
}

func TestOffsetsTellTheZeroOfEachSet(t *testing.T) {
	for _, source := range []Source{Moving, Fixed} {
		means := tester{shop, source}.means(shopMask, perfect)
		var rows [][]float64
		for _, zero := range []float64{0, 3.2, -1} {
			var row []float64
			for _, v := range means {
				row = append(row, v*1e3+zero)
			}
			rows = append(rows, row)
		}
		r := Given(shopMask, Sheet{Source: source}, rows...)
		for s, o := range Offsets(r, Reduce(r)) {
			want := []float64{0, 3.2, -1}[s]
			near(t, "zero, mm", o.Zero.In(MM), want, 1e-3)
			if source == Fixed {
				want /= 2
			}
			near(t, "change of radius, mm", o.Change.In(MM), want, 1e-3)
		}
	}
	// A mirror whose radius is 4 mm longer than stated, the scale and a fixed source
	// standing as for the stated one: its readings are those of the longer mirror, with
	// the source short of its centre of curvature.
	const more = 4 * MM
	longer := mirror.New(mirror.Spec{Diameter: 300 * MM, Radius: 3000*MM + more})
	k := NewMask(longer, 0, 55*MM, 80*MM, 98*MM, 111*MM, 125*MM, 138*MM, 150*MM)
	for _, beyond := range []Length{-30 * MM, 0, 12 * MM} {
		for stated, truly := range map[Source]Source{Moving: Moving, FixedAt(beyond): FixedAt(beyond - more)} {
			var row []float64
			for _, v := range (tester{longer, truly}).means(k, perfect) {
				row = append(row, (Length(v) + more).In(MM))
			}
			r := Given(shopMask, Sheet{Source: stated}, row)
			near(t, "change of radius, mm", Offsets(r, Reduce(r))[0].Change.In(MM), 4, 5e-3)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{good, "zone 1,zone 2,zone 3\n0,1,2\n0,1,-\n", "set;zone 1\n", "angle,date,temperature,zone 1 left,zone 1 right,zone 2 left,zone 2 right,zone 3 left,zone 3 right\n0,2026-01-02,20,0,0,1,1,2,2\n90,-,-,0,0,1,1,9,-9\n90°,-,-,0,0,1,1,2,2\n",
		"zone 1,zone 1 across,zone 2,zone 2 across,zone 3,zone 3 across\n0,0,1,.1,2,.2\n", "\xef\xbb\xbfset,zone 3,zone 2,zone 1\nx,1e-3,2 1/2,−3\n"} {
		f.Add(s)
	}
	k := NewMask(mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM}), 0, 50*MM, 80*MM, 100*MM)
	f.Fuzz(func(t *testing.T, text string) {
		var r *Readings
		got := stop(func() { r = read(k, text, Sheet{}) })
		if got != nil {
			if strings.ContainsAny(got.Message, "\n\r") || !utf8.ValidString(got.Message) {
				t.Errorf("message %q", got.Message)
			}
			return
		}
		for _, m := range r.Means() {
			if math.IsNaN(float64(m.Off)) || !(m.Doubt >= 0) || m.Taken < 1 {
				t.Errorf("%+v", m)
			}
		}
		for _, a := range r.Asymmetries() {
			if !(a.Chance >= 0 && a.Chance < surely) || math.IsNaN(float64(a.Reading)) || !(a.Doubt > 0) || !(a.Height >= 0) {
				t.Errorf("%+v", a)
			}
		}
	})
}

func TestWhatIsNotedWithASetIsKept(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	k := NewMask(m, 0, 50*MM, 80*MM, 100*MM)
	r := read(k, `set,angle (°),Date,Temperature [°F],zone 1,zone 2,zone 3
a,90°,2026-11-25 19:30,68,0,1,2
b,—,–,-,0,—,2
,-45,2026-11-26,-40,0,1,2
`, Sheet{})
	if s := r.Set(0); s.Name != "a" || s.Angle != 90*Degree || s.Date != "2026-11-25 19:30" || math.Abs(s.Temperature-20) > 1e-12 || s.Taken != 3 || s.Missing != 0 {
		t.Errorf("%+v", s)
	}
	if s := r.Set(1); s.Name != "b" || !math.IsNaN(float64(s.Angle)) || s.Date != "" || !math.IsNaN(s.Temperature) || s.Taken != 2 || s.Missing != 1 {
		t.Errorf("%+v", s)
	}
	// -40 °F is -40 °C.
	if s := r.Set(2); s.Name != "3" || s.Angle != -45*Degree || math.Abs(s.Temperature+40) > 1e-12 {
		t.Errorf("%+v", s)
	}
	if got := stop(func() { r.Set(3) }); got == nil || got.Call != "zone.Readings.Set" {
		t.Errorf("no such set: %v", got)
	}
	if s := Given(k, Sheet{}, []float64{0, 1, math.NaN()}, []float64{0, 1, 2}).Set(0); !math.IsNaN(float64(s.Angle)) || s.Missing != 1 {
		t.Errorf("%+v", s)
	}
}

func TestLeftAndRightOpeningsCountByTheirMean(t *testing.T) {
	m := mirror.New(mirror.Spec{Diameter: 200 * MM, Radius: 2400 * MM})
	k := NewMask(m, 0, 50*MM, 80*MM, 100*MM)
	r := read(k, `zone 1 left,zone 1 right,zone 2 right,zone 2 left,zone 3 left,zone 3 right
0.2,-0.2,1.3,0.7,2,2
0,0,-,1,2.5,2.1
`, Sheet{})
	whole := Given(k, Sheet{}, []float64{0, 1, 2}, []float64{0, math.NaN(), 2.3})
	for i, m := range r.Means() {
		if want := whole.Means()[i]; m != want {
			t.Errorf("zone %d: %+v, want %+v", i+1, m, want)
		}
	}
	if _, taken := r.Value(1, 1); taken || r.Set(1).Missing != 1 {
		t.Error("one opening alone counts")
	}
}
