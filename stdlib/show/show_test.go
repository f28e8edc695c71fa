package show_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/picture"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

// shown returns the blocks f shows.
func shown(f func()) document.Blocks {
	var blocks document.Blocks
	defer host.Begin(*host.Current()) // examples run without an engine
	host.Begin(host.Run{Declare: func(document.Input) {}, Emit: func(b document.Block) { blocks = append(blocks, b) }})
	f()
	return blocks
}

// stopped returns how f stops the recipe, or "" where it does not.
func stopped(f func()) (said string) {
	defer func() {
		if r := recover(); r != nil {
			said = r.(*host.Stop).Error()
		}
	}()
	shown(f)
	return ""
}

// only returns the one block of that kind.
func only[B document.Block](t *testing.T, blocks document.Blocks) B {
	t.Helper()
	var found []B
	for _, b := range blocks {
		if b, ok := b.(B); ok {
			found = append(found, b)
		}
	}
	if len(found) != 1 {
		t.Fatalf("%d blocks of type %T", len(found), *new(B))
	}
	return found[0]
}

// blank is a mirror printed in the given unit, all sizes invented.
func blank(in Length) *mirror.Mirror {
	return mirror.New(mirror.Spec{Name: "Test blank", Diameter: 300 * MM, FocalLength: 1500 * MM, Thickness: 40 * MM, Shop: in})
}

// tested has a ring standing high at 118 mm.
func tested(m *mirror.Mirror) *figure.Figure {
	bell := func(r, at, wide float64) float64 { return math.Exp(-math.Pow((r-at)/wide, 2)) }
	r := figure.Grid(m)
	e, c := make([]float64, len(r)), mat.NewSymDense(len(r), nil)
	for i := range r {
		e[i] = 40e-9*bell(r[i]*1e3, 118, 9) + 15e-9*bell(r[i]*1e3, 40, 25)
		for j := range i + 1 {
			c.SetSym(i, j, 9e-18*bell(r[i]*1e3, r[j]*1e3, 20))
		}
	}
	return figure.New(m, e, c)
}

var (
	large  = lap.Round(lap.Spec{Name: "large lap", Diameter: 100 * MM, Load: 14 * Newton})
	middle = lap.Round(lap.Spec{Name: "middle lap", Diameter: 70 * MM, Load: 7 * Newton})
	small  = lap.Round(lap.Spec{Name: "small lap", Diameter: 45 * MM, Load: 12 * Newton, Limit: 3 * KPa})
	chord  = stroke.Tangential(25*MM, 7.3, 6*RPM).Wander(3 * MM)
	rate   = wear.Rate{K: 4e-13, Factor: 1.4}
)

// readings are four sets through a mask of seven zones, invented.
func readings(m *mirror.Mirror) *zone.Readings {
	k := zone.NewMask(m, 0, 45*MM, 70*MM, 90*MM, 107*MM, 122*MM, 136*MM, 150*MM)
	var sets [][]float64
	for n := range 4 {
		var set []float64
		for i, z := range zone.Ideal(k, zone.Moving) {
			set = append(set, z.In(MM)+0.01*math.Sin(float64(3*n+7*i))+0.08*math.Exp(-math.Pow(float64(i)-4.5, 2)))
		}
		sets = append(sets, set)
	}
	return zone.Given(k, zone.Sheet{}, sets...)
}

// worked is a plan with a lap that presses too hard, the small one.
func worked(m *mirror.Mirror) *plan.Plan {
	return plan.New(tested(m), rate,
		plan.Spell{Lap: large, Stroke: chord, At: 40 * MM, Turns: 60},
		plan.Spell{Lap: small, Stroke: chord, At: 128 * MM, Turns: 90})
}

func TestEveryTableAndPlotIsComplete(t *testing.T) {
	for _, in := range []Length{MM, Inch} {
		m := blank(in)
		f := tested(m)
		shared := plan.Share(f, rate, plan.Sharing{Ring: 118 * MM, Width: 20 * MM, Time: Hour, Laps: []*lap.Lap{large, middle}, Stroke: chord})
		best := plan.Best(f, rate, plan.Shelf{Laps: []*lap.Lap{large, middle}, Strokes: []*stroke.Stroke{chord}, Step: 10 * MM}, plan.Limits{})
		r := readings(m)
		k := r.Mask()
		blocks := shown(func() {
			show.Mirror(m)
			show.Readings(r)
			show.Zones(zone.List(k, f), k)
			show.Figure("As tested", f, k)
			show.Forecast(best, k, zone.Moving, 0.02*MM)
			show.Quality("Quality", show.As("as tested", f))
			show.Form("Form", show.As("as tested", f), show.As("behind a secondary", f.Obstructed(70*MM)))
			show.Rays(f, k)
			show.Envelope(f, zone.Fixed, k)
			show.Share(shared)
			show.Plan(best)
			show.FromAbove(best)
			show.Choices([]plan.Choice{{Name: "best", Plan: best}, {Name: "ours", Plan: worked(m)}})
			show.Card(best)
		})
		for _, b := range blocks {
			switch b := b.(type) {
			case document.Table:
				checkTable(t, b)
			case document.View:
				if err := document.Check(b); err != nil || len(b.Laps) != len(best.Spells()) || b.Unit != in.Symbol() {
					t.Errorf("view %q of %d laps in %s: %v", b.Title, len(b.Laps), b.Unit, err)
				}
			case document.Card:
				checkTable(t, b.Spells)
			case document.Plot:
				if len(b.Alt) < 40 || b.X.Unit != in.Symbol() || b.Y.Unit == "" || b.Title == "" {
					t.Errorf("plot %q: alt %q, axes %+v %+v", b.Title, b.Alt, b.X, b.Y)
				}
				for _, c := range b.Curves {
					if len(c.X) < 7 || len(c.Y) != len(c.X) || c.Low != nil && (len(c.Low) != len(c.X) || len(c.High) != len(c.X)) {
						t.Errorf("plot %q: curve %q has %d, %d, %d and %d numbers", b.Title, c.Name, len(c.X), len(c.Y), len(c.Low), len(c.High))
					}
				}
			}
		}
	}
}

func checkTable(t *testing.T, b document.Table) {
	t.Helper()
	if len(b.Rows) == 0 {
		t.Errorf("table %q has no rows", b.Title)
	}
	for _, row := range b.Rows {
		if len(row) != len(b.Columns) {
			t.Fatalf("table %q has %d columns and a row of %d cells", b.Title, len(b.Columns), len(row))
		}
		for i, c := range row {
			if b.Columns[i].Text && c.Number != nil || !b.Columns[i].Text && c.Number == nil && c.Text != "–" {
				t.Errorf("table %q, column %q: cell %q is not of its kind", b.Title, b.Columns[i].Name, c.Text)
			}
		}
	}
}

func TestFigureIsDrawnWithPistonAndFocusOut(t *testing.T) {
	m := blank(MM)
	f := tested(m)
	p := only[document.Plot](t, shown(func() { show.Figure("As tested", f) }))
	c := p.Curves[0]
	g := f.Refocused()
	for i, x := range c.X {
		r := Length(x) * MM
		if got, want := c.Y[i], float64(g.At(r))*1e9; math.Abs(got-want) > 0.01 {
			t.Fatalf("at %v mm: %v nm, want %v", x, got, want)
		}
		if got, want := c.High[i]-c.Y[i], float64(g.SigmaAt(r))*1e9; math.Abs(got-want) > 0.02 {
			t.Fatalf("at %v mm: band %v nm, want %v", x, got, want)
		}
	}
	if !strings.Contains(p.Alt, "at 117") && !strings.Contains(p.Alt, "at 118") {
		t.Errorf("alt does not tell of the ring: %q", p.Alt)
	}
}

func TestForecastGivesTheReadingsOfTheNextTest(t *testing.T) {
	m := blank(MM)
	p, k := worked(m), readings(m).Mask()
	want := zone.Expect(k, p.Forecast(), zone.Moving, 0.02*MM)
	for _, b := range shown(func() { show.Forecast(p, k, zone.Moving, 0.02*MM) }) {
		table, ok := b.(document.Table)
		if !ok || !strings.Contains(table.Title, "next test") {
			continue
		}
		for i, e := range want {
			for j, l := range []Length{e.Reading, e.Low, e.High} {
				if got := *table.Rows[i][3+j].Number; math.Abs(got-l.In(MM)) > 1e-12 {
					t.Errorf("zone %d: %v, want %v", i+1, got, l)
				}
			}
		}
		return
	}
	t.Error("no table of readings")
}

func TestReadingsThatDoNotFitAreNamed(t *testing.T) {
	m := blank(MM)
	k := readings(m).Mask()
	var sets [][]float64
	for n := range 6 {
		var set []float64
		for i, z := range zone.Ideal(k, zone.Moving) {
			set = append(set, z.In(MM)+0.005*math.Sin(float64(3*n+7*i)))
		}
		sets = append(sets, set)
	}
	sets[2][3] += 0.5
	said := ""
	for _, b := range shown(func() { show.Readings(zone.Given(k, zone.Sheet{}, sets...)) }) {
		if b, ok := b.(document.Text); ok {
			said += b.Text
		}
	}
	if !strings.Contains(said, "zone 4 in set 3") || !strings.Contains(said, "It is left out") {
		t.Errorf("said %q", said)
	}
}

func TestLapsLieWhereTheirSpellsHaveThem(t *testing.T) {
	m := blank(MM)
	ring := lap.Ring(lap.Spec{Diameter: 80 * MM, Load: 10 * Newton}, 30*MM)
	p := plan.New(tested(m), rate,
		plan.Spell{Lap: large, Stroke: chord, At: 40 * MM, Turns: 60},
		plan.Spell{Lap: small, Stroke: chord, At: 128 * MM, Turns: 90},
		plan.Spell{Lap: ring, Stroke: stroke.Held(6 * RPM), At: 75 * MM, Turns: 30})
	v := only[document.View](t, shown(func() { show.FromAbove(p) }))
	if v.Radius != 150 || v.Clear != 150 || v.Hole != 0 {
		t.Errorf("a mirror of %v, %v, %v", v.Radius, v.Clear, v.Hole)
	}
	for i, want := range []struct{ x, y, radius float64 }{
		{0, 40, 50}, {128 * math.Sqrt(3) / 2, -64, 22.5}, {-75 * math.Sqrt(3) / 2, -37.5, 40},
	} {
		if l := v.Laps[i]; math.Hypot(l.X-want.x, l.Y-want.y) > 0.02 || l.Radius != want.radius {
			t.Errorf("lap %d of radius %v lies at %v, %v", i+1, l.Radius, l.X, l.Y)
		}
	}
	// A tangential stroke of 25 mm goes half of it each way.
	if x1, y1, x2, y2 := v.Laps[0].Ends(); math.Abs(math.Abs(x1-x2)-25) > 0.02 || math.Abs(y1-40) > 0.02 || math.Abs(y2-40) > 0.02 {
		t.Errorf("lap 1 swings from %v, %v to %v, %v", x1, y1, x2, y2)
	}
	// Over the rim: √((128 + 3)² + 12.5²) + 22.5 - 150.
	if want := "small lap, middle at 128.0 mm, comes 4.1 mm over the rim"; v.Laps[1].Text != want {
		t.Errorf("lap 2: %s", v.Laps[1].Text)
	}
	if l := v.Laps[2]; len(l.PathX) != 0 || len(l.Inner) != 1 || l.Inner[0] != 15 || !strings.HasSuffix(l.Text, "stays 35.0 mm inside the rim") {
		t.Errorf("lap 3: %+v", l)
	}
}

func TestCardHasAllThatTheBenchNeeds(t *testing.T) {
	m := blank(MM)
	p := worked(m)
	c := only[document.Card](t, shown(func() { show.Card(p) }))
	column := func(name string) []document.Cell {
		i := slices.IndexFunc(c.Spells.Columns, func(h document.Column) bool { return h.Name == name })
		if i < 0 {
			t.Fatalf("the card has no column %q", name)
		}
		var cells []document.Cell
		for _, row := range c.Spells.Rows {
			cells = append(cells, row[i])
		}
		return cells
	}
	for name, want := range map[string][2]string{
		"lap":        {"large lap", "small lap"},
		"middle at":  {"40.0", "128.0"},
		"edges":      {"-10 to 90", "106 to 150"},
		"at the rim": {"", "over"},
		"stroke":     {"tangential 25.0", "tangential 25.0"},
		"a turn":     {"7.3", "7.3"},
		"wander":     {"± 3.0", "± 3.0"},
		"table":      {"6.0", "6.0"},
		"load":       {"14.0", "12.0"},
		"pressure":   {"1.8", "too high"},
		"turns":      {"60", "90"},
		"time":       {"10.0", "15.0"},
	} {
		for i, cell := range column(name) {
			if !strings.Contains(cell.Text, want[i]) {
				t.Errorf("spell %d, %s: %q, want %q", i+1, name, cell.Text, want[i])
			}
		}
	}
	if cell := column("pressure"); cell[0].Warn || !cell[1].Warn {
		t.Error("the pressure that is too high is not marked, or another is")
	}
	said := strings.Join(slices.Concat(c.Steps, c.Warnings, c.Cautions), "\n")
	for _, f := range c.Facts {
		said += "\n" + f.Name + ": " + f.Text
	}
	for _, want := range []string{
		"from the largest lap to the smallest", "Stop and test", "settle", "mark at the pointer", "drift slowly in and out",
		"Spell 2: small lap presses with", "above its limit of 3.00 kPa",
		"Table:", "Glass:", "Hot pitch", "Cerium oxide", "Solvents", "safety data sheets come first",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("the card does not say %q", want)
		}
	}
	short, long := m.Settling().Wait()
	if short <= 0 || long <= short || !strings.Contains(said, "as guidance") {
		t.Errorf("settling from %v to %v is not given as guidance", short, long)
	}
}

func TestCardTellsOfSilicaWithPlacesUnitsAndDate(t *testing.T) {
	// At least two jurisdictions, mg/m³, 8 h, a date, and that local limits count:
	// 29 CFR 1910.1053, EH40/2005 4th edition 2020 [S].
	c := only[document.Card](t, shown(func() { show.Card(worked(blank(MM))) }))
	i := slices.IndexFunc(c.Cautions, func(s string) bool { return strings.Contains(s, "silica") })
	if i < 0 {
		t.Fatal("no word of silica")
	}
	for _, want := range []string{"US 0.05 mg/m³", "UK 0.1 mg/m³", "8 h", "2020", "check local"} {
		if !strings.Contains(c.Cautions[i], want) {
			t.Errorf("%q lacks %q", c.Cautions[i], want)
		}
	}
}

func TestCardTellsOfAnOrderOfLapsOnlyWhereThereIsOne(t *testing.T) {
	m := blank(MM)
	for _, c := range []struct {
		laps []*lap.Lap
		want bool
	}{{[]*lap.Lap{large, small}, true}, {[]*lap.Lap{large, large, small}, true}, {[]*lap.Lap{large, large}, false}, {[]*lap.Lap{small, large}, false}, {[]*lap.Lap{small}, false}} {
		var spells []plan.Spell
		for i, l := range c.laps {
			spells = append(spells, plan.Spell{Lap: l, Stroke: chord, At: Length(40+10*i) * MM, Turns: 60})
		}
		card := only[document.Card](t, shown(func() { show.Card(plan.New(tested(m), rate, spells...)) }))
		if got := slices.ContainsFunc(card.Facts, func(f document.Fact) bool { return f.Name == "Order" }); got != c.want {
			t.Errorf("%v: an order %t, want %t", c.laps, got, c.want)
		}
	}
}

func TestChangeOfRadiusTooSmallToReadIsNotWrittenAsNought(t *testing.T) {
	m := blank(MM)
	for turns, want := range map[int]string{1: "changes by less than 0.01 mm", 9000: "changes by about"} {
		said := ""
		for _, b := range shown(func() {
			p := plan.New(tested(m), rate, plan.Spell{Lap: large, Stroke: chord, At: 40 * MM, Turns: turns})
			show.Forecast(p, zone.EqualAreas(m, 6), zone.Moving, 0.02*MM)
		}) {
			if b, ok := b.(document.Text); ok {
				said += b.Text + "\n"
			}
		}
		if !strings.Contains(said, want) {
			t.Errorf("%d turns: said %q, want %q", turns, said, want)
		}
	}
}

func TestCardIsOnePage(t *testing.T) {
	// Few words: under 70 lines of 80 characters, three spells and their warnings
	// included.
	m := blank(MM)
	p := plan.New(tested(m), rate,
		plan.Spell{Lap: large, Stroke: chord, At: 40 * MM, Turns: 60},
		plan.Spell{Lap: middle, Stroke: chord, At: 118 * MM, Turns: 60},
		plan.Spell{Lap: small, Stroke: chord, At: 128 * MM, Turns: 90})
	var b strings.Builder
	document.WriteText(&b, only[document.Card](t, shown(func() { show.Card(p) })))
	if n := strings.Count(b.String(), "\n"); n > 70 {
		t.Errorf("%d lines:\n%s", n, b.String())
	}
}

func TestPlanSaysHowSureItIs(t *testing.T) {
	m := blank(MM)
	f := tested(m)
	p := plan.Best(f, rate, plan.Shelf{Laps: []*lap.Lap{large, middle}, Strokes: []*stroke.Stroke{chord}, Step: 10 * MM}, plan.Limits{})
	said := ""
	for _, b := range shown(func() { show.Plan(p) }) {
		if b, ok := b.(document.Text); ok {
			said += b.Text + "\n"
		}
	}
	for _, want := range []string{"chance that the figure gets better is", "that is proven", "doubt included"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q lacks %q", said, want)
		}
	}
	none := plan.Best(figure.New(m, make([]float64, figure.GridSize), nil), rate, plan.Shelf{Laps: []*lap.Lap{large}, Strokes: []*stroke.Stroke{chord}, Step: 10 * MM}, plan.Limits{})
	blocks := shown(func() { show.Plan(none) })
	if text := only[document.Text](t, blocks).Text; !strings.Contains(text, "leave the glass alone") {
		t.Errorf("of a perfect mirror it says %q", text)
	}
}

func TestTableShowsQuantitiesInTheUnitOfTheirHead(t *testing.T) {
	b := only[document.Table](t, shown(func() {
		show.Table("Laps", show.Heads("lap", "width (in)", "load (N)", "turns", "ready", "depth (nm)", "as it is"),
			show.Row("large", 4*Inch, KGF, 12, true, figure.Estimate{Value: 12.34e-9, Low: 10e-9, High: 15e-9}, 3*KPa),
			show.Row("small", 51*MM, 0.5*Newton, 7, false, figure.Estimate{Value: 1e-9, Low: 1e-9, High: 1e-9}, 20*Minute))
	}))
	want := [][]string{
		{"large", "4.000", "9.807", "12", "yes", "12.34 (10.00 to 15.00)", "3 kPa"},
		{"small", "2.008", "0.500", "7", "no", "1.00", "20 min"},
	}
	for i, row := range b.Rows {
		for j, c := range row {
			if c.Text != want[i][j] {
				t.Errorf("row %d, %s: %q, want %q", i+1, b.Columns[j].Name, c.Text, want[i][j])
			}
		}
	}
	if b.Columns[1].Name != "width" || b.Columns[1].Unit != "in" || b.Columns[1].Text || !b.Columns[0].Text {
		t.Errorf("columns %+v", b.Columns)
	}
}

func TestImagesOfFiguresStandBesidePerfectOnes(t *testing.T) {
	f := tested(blank(MM))
	two := []show.Named{show.As("whole", f), show.As("obstructed", f.Obstructed(75*MM))}
	for _, c := range []struct {
		show func()
		alt  string // of perfect mirrors: 83.8 % and 72.6 % within the Airy radius or so, 39.1 % contrast (V)
	}{
		{func() { show.Encircled("Light", two...) }, "perfect mirror: 83.8 % within the Airy radius, 3.4 µm."},
		{func() { show.Contrast("Contrast", two...) }, "perfect mirror: 39.1 % left of stripes of half the finest."},
	} {
		p := only[document.Plot](t, shown(c.show))
		var names []string
		for _, curve := range p.Curves {
			names = append(names, curve.Name)
		}
		if got := strings.Join(names, "; "); got != "whole; obstructed; perfect mirror; perfect mirror, 75.0 mm obstructed" {
			t.Error(got)
		}
		if !strings.Contains(p.Alt, c.alt) || document.Check(p) != nil || p.Curves[0].Band == "" || p.Curves[2].Band != "" {
			t.Error(p.Alt)
		}
	}
	for want, f := range map[string]func(){
		`show.Encircled: "x" has no figures; give at least one`: func() { show.Encircled("x") },
		`show.Contrast: "x" has no figures; give at least one`:  func() { show.Contrast("x") },
	} {
		if got := stopped(f); got != want {
			t.Error(got)
		}
	}
}

func TestFewZonesAreSaidToUnderstate(t *testing.T) {
	m := blank(MM)
	k := zone.EqualAreas(m, 4)
	table := only[document.Table](t, shown(func() { show.Rays(figure.Conic(m, -0.9), k) }))
	if len(table.Rows) != 4 || !strings.Contains(table.Notes[1], "A mask of few zones understates it") {
		t.Errorf("%+v", table)
	}
}

func TestVerdictSaysWhatIsWrongAndWhatComesNext(t *testing.T) {
	m := blank(MM)
	k := zone.NewMask(m, 0, 45*MM, 70*MM, 90*MM, 107*MM, 122*MM, 136*MM, 150*MM)
	bell := func(r, at, wide float64) float64 { return math.Exp(-math.Pow((r-at)/wide, 2)) }
	// of is a figure of heights in nm by the radius in mm, and a doubt of it.
	of := func(height func(r float64) float64, sigma float64) *figure.Figure {
		r := figure.Grid(m)
		e, c := make([]float64, len(r)), mat.NewSymDense(len(r), nil)
		for i := range r {
			e[i] = 1e-9 * height(r[i]*1e3)
			for j := range i + 1 {
				c.SetSym(i, j, sigma*sigma*1e-18*bell(r[i]*1e3, r[j]*1e3, 40))
			}
		}
		if sigma == 0 {
			c = nil
		}
		return figure.New(m, e, c)
	}
	conic := figure.Conic(m, -0.85)
	zero := func(float64) float64 { return 0 }
	for _, c := range []struct {
		name  string
		f     *figure.Figure
		wish  figure.Wish
		words []string
	}{
		{"a ring", of(func(r float64) float64 { return 60 * bell(r, 118, 9) }, 2), figure.Wish{Strehl: 0.9},
			[]string{"It is high at 118 mm (", "zones 5 to 6", "sure", "Another spell helps more than better readings: were all that is seen polished away the chance would be more than 99 %."}},
		{"a turned edge", of(func(r float64) float64 { return -90 * math.Exp((r-150)/5) }, 1), figure.Wish{Strehl: 0.9},
			[]string{"It is low at the rim", "(a turned-down edge)", "The nearest conic has 1", "of the mean square of the error: go by the zones."}},
		{"a raised edge", of(func(r float64) float64 { return 90 * math.Exp((r-150)/5) }, 1), figure.Wish{Strehl: 0.9},
			[]string{"high at the rim", "(a turned-up edge)"}},
		{"too little correction", of(func(r float64) float64 { return conic.At(Length(r) * MM).In(NM) }, 2), figure.Wish{Strehl: 0.9},
			[]string{"It is under-corrected, with 85.", "makes 100 % of the mean square of the error, and is sure."}},
		{"too much", figure.Conic(m, -1.2), figure.Wish{Strehl: 0.9},
			[]string{"It is over-corrected, with 120.0 %", "is taken as exact: another spell is needed"}},
		{"nothing seen", of(zero, 20), figure.Wish{Strehl: 0.95},
			[]string{"the readings cannot tell this mirror from a perfect one", "no zone that stands out", "What is seen would by itself meet it: doubt is in the way. Better readings help more than another spell."}},
		{"done", of(func(r float64) float64 { return 6 * bell(r, 90, 20) }, 1), figure.Wish{Strehl: 0.95},
			[]string{"more than 99 %. Leave the glass alone"}},
		{"both", of(func(r float64) float64 { return 30 * bell(r, 118, 9) }, 30), figure.Wish{Strehl: 0.99},
			[]string{"what is called sure above can be worked on all the same"}},
		{"one ring, much doubt", of(func(r float64) float64 { return 30 * bell(r, 118, 9) }, 20), figure.Wish{Strehl: 0.99},
			[]string{"is less than the doubt of it, ", "but for what is called sure the readings tell little. It is high at 118 mm", "sure"}},
	} {
		said := only[document.Text](t, shown(func() { show.Verdict(c.f, k, c.wish) })).Text
		for _, words := range c.words {
			if !strings.Contains(said, words) {
				t.Errorf("%s: %q is not in\n%s", c.name, words, said)
			}
		}
	}
}

func TestPicturesStandSideBySideWithTheirCautions(t *testing.T) {
	f := figure.Conic(blank(MM), -0.9)
	blocks := shown(func() {
		show.Pictures("At the stand", picture.Shadow(f, picture.Knife{Null: 105 * MM}), picture.Shadow(f, picture.Knife{Beyond: 1 * MM}), picture.Star(f, 1*MM))
	})
	m := only[document.Image](t, blocks)
	if len(m.Panels) != 3 || len(m.Notes) != 2 || !strings.HasPrefix(m.Notes[0], "Idealised") {
		t.Errorf("%d panels, notes %q", len(m.Panels), m.Notes)
	}
	if err := document.Check(m); err != nil {
		t.Error(err)
	}
	if p := m.Panels[0]; p.Name != "knife from the left, where the zone of 105 mm greys" || !strings.HasPrefix(p.Alt, "The knife comes from the left") {
		t.Errorf("%s: %s", p.Name, p.Alt)
	}
	if got := stopped(func() { show.Pictures("none") }); got != `show.Pictures: "none" has no pictures; give at least one` {
		t.Error(got)
	}
}

func TestExpectationsAreMetOrNot(t *testing.T) {
	for _, c := range []struct {
		got, want, tolerance any
		met                  bool
		text                 string
	}{
		{5 * NM, 6 * NM, 1 * NM, true, "x is 5 nm, as expected: 6 nm within 1 nm."},
		{5 * NM, 7 * NM, 1 * NM, false, "x is 5 nm, not as expected: 7 nm within 1 nm."},
		{3, 3, 0, true, "x is 3, as expected: 3 within 0."},
		{0.5, 1, 0.25, false, "x is 0.5, not as expected: 1 within 0.25."},
	} {
		e := only[document.Expect](t, shown(func() { show.Expect("x", c.got, c.want, c.tolerance) }))
		if e.Met != c.met || e.Text != c.text {
			t.Errorf("%v: met %v, %q", c, e.Met, e.Text)
		}
	}
}

func TestResultsHaveANameAndTheirSIValue(t *testing.T) {
	for _, c := range []struct {
		value any
		want  document.Result
	}{
		{5 * MM, document.Result{Name: "x", Unit: "m", Value: 0.005, Text: "x: 5 mm"}},
		{3, document.Result{Name: "x", Value: 3, Text: "x: 3"}},
		{2 * Minute, document.Result{Name: "x", Unit: "s", Value: 120, Text: "x: 2 min"}},
	} {
		if got := only[document.Result](t, shown(func() { show.Result("x", c.value) })); got != c.want {
			t.Errorf("got %+v, want %+v", got, c.want)
		}
	}
}

func TestPlotTakesCurvesOfAnyKind(t *testing.T) {
	p := only[document.Plot](t, shown(func() {
		show.Plot("Drift", "time (min)", "reading (mm)",
			show.Curve{Name: "line", X: []float64{0, 1, 2}, Y: []float64{1, 3, 2}},
			show.Curve{Name: "points", X: []float64{0, 1}, Y: []float64{1, 2}, Low: []float64{0, 1}, High: []float64{2, 3}, Points: true})
	}))
	if p.X.Label != "time" || p.X.Unit != "min" || p.Y.Unit != "mm" || p.Curves[1].Role != document.Measured {
		t.Errorf("%+v", p)
	}
	if !strings.Contains(p.Alt, "lowest at time 0, highest at 1") {
		t.Errorf("alt %q", p.Alt)
	}
}

func TestWhatCannotBeShownStopsTheRecipe(t *testing.T) {
	for _, c := range []struct {
		call func()
		want string
	}{
		{func() { show.Table("t", show.Heads("a", "b"), show.Row(1)) }, `row 1 of "t" has 1 cells; the table has 2 columns`},
		{func() { show.Table("t", show.Heads("a (mm)"), show.Row(3*KPa)) }, "3 kPa in row 1 of \"t\" cannot be shown in mm"},
		{func() { show.Table("t", show.Heads("a"), show.Row([]int{1})) }, "is a []int"},
		{func() { show.Table("t", show.Heads("a"), show.Row(nil)) }, "is a <nil>"},
		{func() { show.Plot("p", "x", "y") }, "has no curves"},
		{func() { show.Plot("p", "x", "y", show.Curve{Name: "c", X: []float64{1}, Y: []float64{1, 2}}) }, "has 1 X, 2 Y"},
		{func() { show.Plot("p", "x", "y", show.Curve{Name: "c", X: []float64{1}, Y: []float64{math.NaN()}}) }, "is NaN at point 1"},
		{func() { show.Expect("", 1, 1, 1) }, "has no name"},
		{func() { show.Expect("x", math.NaN(), 1, 1) }, "x: NaN is not finite"},
		{func() { show.Expect("x", 1, math.Inf(1), 1) }, "x: +Inf is not finite"},
		{func() { show.Result(" ", 1) }, "has no name"},
		{func() { show.Result("x", true) }, "must be a number or a quantity"},
		{func() { show.Result("x", Length(math.NaN())) }, "is not finite"},
		{func() { show.Expect("x", 1*MM, 1, 1) }, "the three must be of one kind"},
		{func() { show.Expect("x", 1*MM, 1*KPa, 1*MM) }, "the three must be of one kind"},
		{func() { show.Expect("x", "1", 1, 1) }, "must be a number or a quantity"},
		{func() { show.Expect("x", nil, 1, 1) }, "must be a number or a quantity"},
		{func() { show.Expect("x", 1, 1, -1) }, "at least 0"},
	} {
		if said := stopped(c.call); !strings.Contains(said, c.want) {
			t.Errorf("said\n\t%s\nwhich lacks\n\t%s", said, c.want)
		}
	}
}
