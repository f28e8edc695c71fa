package show_test

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// readingsOf reads a sheet with the text given.
func readingsOf(k *zone.Mask, text string, s zone.Sheet) *zone.Readings {
	defer host.Begin(*host.Current()) // examples run without an engine
	host.Begin(host.Run{Folder: fstest.MapFS{"readings.csv": {Data: []byte(text)}}})
	return zone.Read(k, "readings.csv", s)
}

// table returns the table with that title.
func table(t *testing.T, blocks document.Blocks, title string) document.Table {
	t.Helper()
	for _, b := range blocks {
		if b, ok := b.(document.Table); ok && b.Title == title {
			return b
		}
	}
	t.Fatalf("no table %q", title)
	return document.Table{}
}

func TestWhatWasNotedWithTheSetsIsShown(t *testing.T) {
	k := zone.EqualAreas(blank(MM), 4)
	text := "set,angle,date,temperature,zone 1,zone 2,zone 3,zone 4\na,0,2026-11-25,19.5,0,1,2,3\nb,90,-,-,0,1,-,3\n"
	r := readingsOf(k, text, zone.Sheet{})
	blocks := shown(func() { show.Readings(r) })
	sets := table(t, blocks, "The sets")
	var rows []string
	for _, row := range sets.Rows {
		var cells []string
		for _, c := range row {
			cells = append(cells, c.Text)
		}
		rows = append(rows, strings.Join(cells, " | "))
	}
	if got, want := strings.Join(rows, "\n"), "a | 0 | 2026-11-25 | 19.5 | 4 | 0\nb | 90 |  | – | 3 | 1"; got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	if note := table(t, blocks, "The readings").Notes[0]; !strings.Contains(note, "read with both openings at once; 1 reading of 8 missing.") {
		t.Errorf("%q", note)
	}
	plain := zone.Given(k, zone.Sheet{}, []float64{0, 1, 2, 3})
	for _, b := range shown(func() { show.Readings(plain) }) {
		if b, ok := b.(document.Table); ok && b.Title == "The sets" {
			t.Error("sets of which nothing was noted are listed")
		}
	}
}

func TestAMirrorThatIsNoFigureOfRevolutionIsToldOf(t *testing.T) {
	k := zone.EqualAreas(blank(MM), 4)
	r := readingsOf(k, "angle,zone 1,zone 2,zone 3,zone 4\n0,0,1,2,3\n0,0,1.01,2,3\n90,0,1,2,3.5\n90,0,1,2.01,3.51\n", zone.Sheet{})
	said := ""
	for _, b := range shown(func() { show.Readings(r) }) {
		if b, ok := b.(document.Text); ok {
			said += b.Text
		}
	}
	if !strings.Contains(said, "The readings differ between the mirror at 0° and at 90° beyond their scatter, most in zone 4: by 0.") {
		t.Errorf("%q", said)
	}
}

func TestTheChangeOfRadiusIsShown(t *testing.T) {
	for _, shop := range []struct {
		unit Length
		want []string
	}{{MM, []string{"1", "5.00", "2.50"}}, {Inch, []string{"1", "0.197", "0.098"}}} {
		m := mirror.New(mirror.Spec{Diameter: 200 * MM, FocalLength: 1200 * MM})
		k := zone.EqualAreas(m, 5)
		var row []float64
		for _, v := range zone.Ideal(k, zone.Fixed) {
			row = append(row, (v + 5*MM).In(shop.unit))
		}
		r := zone.Given(k, zone.Sheet{Source: zone.Fixed, Unit: shop.unit}, row)
		got := table(t, shown(func() { show.Offsets(r, zone.Reduce(r)) }), "What is common to all readings of a set")
		for i, want := range shop.want {
			if got.Rows[0][i].Text != want {
				t.Errorf("%v: %+v", shop.unit, got.Rows[0])
			}
		}
		if c := got.Rows[0][2].Number; math.Abs(*c-(2.5*MM).In(shop.unit)) > 5e-3 {
			t.Errorf("change %v", *c)
		}
	}
}

func TestReadingsInInchesAreDrawnInThousandths(t *testing.T) {
	k := zone.EqualAreas(blank(Inch), 4)
	for unit, want := range map[Length]string{MM: "µm", Inch: "thou", Thou: "thou"} {
		p := shown(func() { show.Readings(zone.Given(k, zone.Sheet{Unit: unit}, []float64{0, 1, 2, 3})) })[0].(document.Plot)
		off := zone.Given(k, zone.Sheet{Unit: unit}, []float64{0, 1, 2, 3}).Means()[3].Off
		drawn := off.In(UM)
		if want == "thou" {
			drawn /= 25.4
		}
		if p.Y.Unit != want || math.Abs(p.Curves[0].Y[3]-drawn) > 1e-4*math.Abs(drawn) || !strings.Contains(p.Alt, " "+want+", give or take") {
			t.Errorf("%v: %g %s, want %g %s: %s", unit, p.Curves[0].Y[3], p.Y.Unit, drawn, want, p.Alt)
		}
	}
}
