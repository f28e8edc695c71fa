package input_test

import (
	"io/fs"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/input"
	. "lapwright/stdlib/unit"
)

// begin stands a recipe up with inputs given from outside, and returns where
// those it declares are noted.
func begin(t *testing.T, folder fs.FS, given map[string]string) *[]document.Input {
	before := *host.Current() // examples run without an engine
	t.Cleanup(func() { host.Begin(before) })
	var declared []document.Input
	host.Begin(host.Run{
		Folder:  folder,
		Inputs:  given,
		Declare: func(in document.Input) { declared = append(declared, in) },
		Emit:    func(document.Block) {},
	})
	return &declared
}

// stopped returns how f stops the recipe, or "" where it does not.
func stopped(f func()) (said string) {
	defer func() {
		if r := recover(); r != nil {
			stop := r.(*host.Stop)
			said = stop.Error()
			if stop.Hint != "" {
				said += " " + stop.Hint
			}
		}
	}()
	f()
	return ""
}

func TestInputsHaveTheirDefaultsAndAreDeclared(t *testing.T) {
	declared := begin(t, nil, nil)
	if got := input.Length("ring", 118*MM, "radius of the high ring", 60*MM, 140*MM); got != 118*MM {
		t.Errorf("ring is %v", got)
	}
	input.Count("spells", 3, "spells at most", 1, 8)
	input.Choice("source", "moving", "what the light does", "moving", "fixed")
	input.YesNo("gentle", true, "work half of the way")
	input.Number("share", 0.1234567, "share of the work")
	input.Time("time", 20*Minute, "on the machine")
	input.Force("load", 20*Newton, "weight on the lap")
	input.Pressure("limit", 3*KPa, "where laps mark")
	input.Rate("table", 6*RPM, "of the table")
	input.Angle("tilt", 0, "of the slit")
	input.Preston("wear", 5.1234567e-13, "wear of this pitch")
	input.Length("thin", Inch/3, "a thickness")
	want := []document.Input{
		{Name: "ring", Kind: "length", About: "radius of the high ring", Value: "118 mm", Default: "118 mm", Low: "60 mm", High: "140 mm"},
		{Name: "spells", Kind: "count", About: "spells at most", Value: "3", Default: "3", Low: "1", High: "8"},
		{Name: "source", Kind: "choice", About: "what the light does", Value: "moving", Default: "moving", Choices: []string{"moving", "fixed"}},
		{Name: "gentle", Kind: "yes or no", About: "work half of the way", Value: "yes", Default: "yes", Choices: []string{"yes", "no"}},
		{Name: "share", Kind: "number", About: "share of the work", Value: "0.1234567", Default: "0.1234567"},
		{Name: "time", Kind: "time", About: "on the machine", Value: "20 min", Default: "20 min"},
		{Name: "load", Kind: "force", About: "weight on the lap", Value: "20 N", Default: "20 N"},
		{Name: "limit", Kind: "pressure", About: "where laps mark", Value: "3 kPa", Default: "3 kPa"},
		{Name: "table", Kind: "rate of turning", About: "of the table", Value: "6 rpm", Default: "6 rpm"},
		{Name: "tilt", Kind: "angle", About: "of the slit", Value: "0 deg", Default: "0 deg"},
		{Name: "wear", Kind: "wear coefficient", About: "wear of this pitch", Value: "5.1234567e-13 m²/N", Default: "5.1234567e-13 m²/N"},
		{Name: "thin", Kind: "length", About: "a thickness", Value: "8.466666666667 mm", Default: "8.466666666667 mm"},
	}
	if diff := cmp.Diff(want, *declared); diff != "" {
		t.Error(diff)
	}
}

func TestValuesGivenAreReadWithTheirUnits(t *testing.T) {
	declared := begin(t, nil, map[string]string{
		"ring": " 4 3/4 in", "spells": "5", "source": "Fixed", "gentle": "NO", "share": "-1e-3", "time": "1.5 h", "table": "1 rad/s",
	})
	if got := input.Length("ring", 118*MM, "radius of the high ring", 60*MM, 140*MM); math.Abs(float64(got-4.75*Inch)) > 1e-15 {
		t.Errorf("ring is %v", got)
	}
	if got := input.Count("spells", 3, "spells at most", 1, 8); got != 5 {
		t.Errorf("spells is %v", got)
	}
	if got := input.Choice("source", "moving", "what the light does", "moving", "fixed"); got != "fixed" {
		t.Errorf("source is %v", got)
	}
	if input.YesNo("gentle", true, "work half of the way") {
		t.Error("gentle is yes")
	}
	if got := input.Number("share", 0.5, "share of the work"); got != -1e-3 {
		t.Errorf("share is %v", got)
	}
	if got := input.Time("time", 20*Minute, "on the machine"); got != 5400*Second {
		t.Errorf("time is %v", got)
	}
	if got := input.Rate("table", 6*RPM, "of the table"); got != 1 {
		t.Errorf("table is %v", got)
	}
	for _, in := range *declared {
		if !in.Given {
			t.Errorf("%s is not marked as given", in.Name)
		}
	}
	if got := (*declared)[0].Value; got != "4 3/4 in" {
		t.Errorf("ring is shown as %q", got)
	}
}

func TestValuesThatAreNotAllowedStopTheRecipe(t *testing.T) {
	ring := func() { input.Length("ring", 118*MM, "radius of the high ring", 60*MM, 140*MM) }
	spells := func() { input.Count("spells", 3, "spells at most", 1, 8) }
	source := func() { input.Choice("source", "moving", "what the light does", "moving", "fixed") }
	for _, c := range []struct {
		given string
		call  func()
		want  string
	}{
		{"200mm", ring, "input.Length: input ring is 200mm, above the greatest allowed; it must be from 60 mm to 140 mm, and the nearest is 140 mm"},
		{"1 in", ring, "input.Length: input ring is 1 in, below the least allowed; it must be from 60 mm to 140 mm, and the nearest is 60 mm"},
		{"118", ring, `input.Length: input ring: "118" has no unit`},
		{"wide", ring, `input.Length: input ring: "wide" is not a length`},
		{"118 kg", ring, "the units are nm, µm, mm"},
		{"NaN mm", ring, `"NaN mm" is not a length`},
		{strings.Repeat("9", 5000) + " mm", ring, "is too long; allowed is from 60 mm to 140 mm"},
		{"2.5", spells, `input.Count: input spells: "2.5" is not a whole number; allowed is from 1 to 8; the recipe has 3`},
		{"9", spells, "the nearest is 8"},
		{"3 mm", spells, `"3 mm" is not a number; write it without a unit`},
		{"mooving", source, `input.Choice: input source is "mooving"; it must be one of: moving, fixed The nearest is moving.`},
		{"maybe", func() { input.YesNo("gentle", true, "work half") }, "it must be one of: yes, no"},
	} {
		begin(t, nil, map[string]string{"ring": c.given, "spells": c.given, "source": c.given, "gentle": c.given})
		if got := stopped(c.call); !strings.Contains(got, c.want) {
			t.Errorf("given %.20q it said\n\t%s\nwhich lacks\n\t%s", c.given, got, c.want)
		}
	}
}

func TestDeclarationsThatCannotBeStopTheRecipe(t *testing.T) {
	for _, c := range []struct {
		call func()
		want string
	}{
		{func() { input.Length("", 1, "x") }, `name is ""; it must be a letter`},
		{func() { input.Length("a b", 1, "x") }, `name is "a b"`},
		{func() { input.Length("2a", 1, "x") }, `name is "2a"`},
		{func() { input.Length("a", 1, " ") }, "does not say what it is about"},
		{func() { input.Length("a", 1, "x", 2) }, "has 1 limits; give none, or the least and the greatest"},
		{func() { input.Length("a", 1, "x", 2, 0) }, "the first must not be above the second"},
		{func() { input.Length("a", 1, "x", 0, Length(math.Inf(1))) }, "the first must not be above the second"},
		{func() { input.Length("a", 5*MM, "x", 0, 1*MM) }, "input a is 5 mm in the recipe, outside its own limits, from 0 mm to 1 mm"},
		{func() { input.Number("a", math.NaN(), "x") }, "must be a finite number"},
		{func() { input.Choice("a", "one", "x", "one") }, "has 1 choices; give at least two"},
		{func() { input.Choice("a", "one", "x", "one", "One") }, `has the choice "One" twice`},
		{func() { input.Choice("a", "three", "x", "one", "two") }, "must be one of: one, two"},
		{func() { input.Length("a", 1*MM, "x"); input.Length("a", 2*MM, "x") }, `input a is declared twice, first as a length, 1 mm ("x"), and then as a length, 2 mm ("x")`},
		{func() { input.Count("a", 1, "x"); input.Number("a", 1, "x") }, "declared twice"},
	} {
		begin(t, nil, nil)
		if got := stopped(c.call); !strings.Contains(got, c.want) {
			t.Errorf("it said\n\t%s\nwhich lacks\n\t%s", got, c.want)
		}
	}
}

func TestSameInputTwiceIsOneInput(t *testing.T) {
	declared := begin(t, nil, map[string]string{"ring": "100 mm"})
	for range 3 {
		if got := input.Length("ring", 118*MM, "radius of the high ring"); got != 100*MM {
			t.Errorf("ring is %v", got)
		}
	}
	if len(*declared) != 1 {
		t.Errorf("declared %d times", len(*declared))
	}
}

func TestTableIsReadByColumns(t *testing.T) {
	begin(t, fstest.MapFS{"heights.csv": {Data: []byte("# made up\nradius (mm), depth (nm) ,count,load,zone\n0,1.5,2,2 N,inner\n12.5,-3,4,1 kgf,outer\n")}}, nil)
	d := input.Table("heights.csv")
	if got, want := d.String(), "heights.csv: 2 rows of radius (mm), depth (nm), count, load, zone"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if d.Rows() != 2 {
		t.Errorf("%d rows", d.Rows())
	}
	if diff := cmp.Diff([]string{"radius", "depth", "count", "load", "zone"}, d.Columns()); diff != "" {
		t.Error(diff)
	}
	if got := d.Lengths("Radius"); got[1] != 12.5*MM {
		t.Errorf("radius %v", got)
	}
	if got := d.Lengths("depth"); math.Abs(float64(got[1]+3*NM)) > 1e-24 {
		t.Errorf("depth %v", got)
	}
	if diff := cmp.Diff([]float64{2, 4}, d.Numbers("count")); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]Force{2 * Newton, KGF}, d.Forces("load")); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"inner", "outer"}, d.Words("zone")); diff != "" {
		t.Error(diff)
	}
}

func TestTablesThatAreWrongStopTheRecipeAtTheCell(t *testing.T) {
	for _, c := range []struct {
		file string
		call func(d *input.Data)
		want string
	}{
		{"radius (mm)\n1\ntwo\n", func(d *input.Data) { d.Lengths("radius") }, `heights.csv:3:1: "two" is not a number`},
		{"a,b\n1,\n", func(d *input.Data) { d.Numbers("b") }, "heights.csv:2:3: there is no number here"},
		{"radius (kg)\n1\n", func(d *input.Data) { d.Lengths("radius") }, "heights.csv:1:1: the unit of the column:"},
		{"radius (mm)\n1\n", func(d *input.Data) { d.Numbers("radius") }, "has a unit, mm"},
		{"radius\n1\n", func(d *input.Data) { d.Lengths("radius") }, "heights.csv:2:1: \"1\" has no unit"},
		{"radius\n1\n", func(d *input.Data) { d.Numbers("radios") }, `heights.csv has no column "radios"; its columns are: radius The nearest is radius.`},
		{"radius (mm,a\n1,2\n", func(d *input.Data) {}, `heights.csv:1:1: the column "radius (mm" must be a name`},
		{"a,radius [mm]\n1,2\n", func(d *input.Data) {}, `heights.csv:1:3: the column "radius [mm]" must have its unit in round brackets: radius (mm)`},
		{"a (mm),A (nm)\n1,2\n", func(d *input.Data) {}, `heights.csv:1:8: the column "A" is there twice, first as "a (mm)"`},
		{"a,b\n1\n", func(d *input.Data) {}, "heights.csv:2:1: the row ends after column 1"},
	} {
		begin(t, fstest.MapFS{"heights.csv": {Data: []byte(c.file)}}, nil)
		got := stopped(func() {
			d := input.Table("heights.csv")
			c.call(d)
		})
		if !strings.Contains(got, c.want) {
			t.Errorf("%q: it said\n\t%s\nwhich lacks\n\t%s", c.file, got, c.want)
		}
	}
}

func FuzzLength(f *testing.F) {
	for _, s := range []string{"118 mm", "8 in", "8 1/2\"", "", "-", "1e400 mm", "\x00", "mm 8"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, given string) {
		begin(t, nil, map[string]string{"ring": given})
		said := stopped(func() {
			if v := input.Length("ring", 118*MM, "radius of the high ring", 60*MM, 140*MM); !(v >= 60*MM && v <= 140*MM) {
				t.Errorf("%q is taken for %v", given, v)
			}
		})
		if len(said) > 2000 {
			t.Errorf("said %d bytes", len(said))
		}
	})
}
