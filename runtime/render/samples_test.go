package render

import (
	"go/token"
	"math"

	"lapwright/stdlib/document"
)

// samples are the documents the goldens are made of. All figures are invented.
func samples() map[string]*document.Document {
	return map[string]*document.Document{
		"done":    sampleDone(),
		"stopped": sampleStopped(),
		"wrong":   sampleWrong(),
		"hostile": sampleHostile(),
	}
}

func sampleDone() *document.Document {
	return &document.Document{
		Format: document.Format, Recipe: "recipe.go", Title: "A ring near the edge",
		Summary: "Club blank no. 14, 300 mm f/5, **invented** for the tests.\nSee [the notes](https://example.org/notes) and `zone.Read`.",
		Inputs: []document.Input{
			{Name: "ring", Kind: "length", About: "radius of the high ring", Value: "116 mm", Default: "118 mm", Low: "60 mm", High: "140 mm", Given: true},
			{Name: "spells", Kind: "count", About: "most spells in the plan", Value: "3", Default: "3", Low: "1"},
			{Name: "order", Kind: "choice", About: "order of the laps", Value: "large first", Default: "large first", Choices: []string{"large first", "small first"}},
		},
		Sections: []document.Section{
			{Code: "// limit is the most a lap may press.\nconst limit = 3 * KPa", Line: 20, State: document.Declared},
			{Title: "The mirror", Prose: "The blank in words:\n\n- 300 mm across,\n- 40 mm thick,\n\n| what | mm |\n| --- | ---: |\n| clear | 296 |\n\n> Glass can only be taken off.", Code: "blank := mirror.New(mirror.Spec{Diameter: 300 * MM, FocalLength: 1500 * MM})\nfmt.Println(\"R =\", blank.Radius()) // twice f", Line: 31, State: document.Done,
				Blocks: document.Blocks{document.Printed{Text: "R = 3 m\n"}, document.Text{Text: "The mirror is a paraboloid of 3 m radius.\n\nIts sagitta is 3.75 mm."}}},
			{Title: "The figure", Code: "show.Figure(f)", Line: 44, State: document.Done,
				Blocks: document.Blocks{samplePlot(), sampleTable(), sampleView(), sampleImage(), sampleDrawing(), document.Expect{Name: "rms", Unit: "nm", Got: 8.1, Want: 8, Tolerance: 1, Met: true, Text: "The rms after is 8.1 nm; expected 8 nm within 1 nm."},
					document.Result{Name: "radius of the ring", Unit: "m", Value: 0.118, Text: "radius of the ring is 118 mm."}}},
			{Title: "The run card", Prose: "Take this to the machine.", Code: "show.Card(p)", Line: 60, State: document.Done, Blocks: document.Blocks{sampleCard(),
				document.Expect{Name: "wait", Unit: "min", Got: 70, Want: 60, Tolerance: 5, Text: "The wait is 70 min; expected 60 min within 5 min."}}},
			{Title: "The forecast", Prose: "Nothing to run here.", Line: 70, State: document.Done},
		},
	}
}

func sampleView() document.View {
	return document.View{
		Title: "The laps from above", Alt: "The mirror of 300 mm from above, with the laps of 2 spells to scale.", Unit: "mm",
		Radius: 150, Clear: 148.5, Hole: 20,
		Laps: []document.Laid{
			{Name: "1", Text: "70 mm ring lap, middle at 118 mm, comes 4.5 mm over the rim", X: 0, Y: 118, Radius: 35, Inner: []float64{20}, PathX: []float64{0, 10, 0, -10, 0}, PathY: []float64{118, 118, 118, 118, 118}},
			{Name: "2", Text: "45 mm lap, middle at 60 mm, stays 66 mm inside the rim", X: 0, Y: -60, Radius: 22.5},
		},
		Notes: []string{"Dashes: at the ends of the stroke."},
	}
}

func samplePlot() document.Plot {
	p := document.Plot{
		Title: "The figure before and after",
		Alt:   "Height above the target against radius. A ring near 118 mm stands 35 nm high; after the work 9 nm of it are left.",
		X:     document.Axis{Label: "radius", Unit: "mm", Low: 0, High: 150},
		Y:     document.Axis{Label: "height above the target", Unit: "nm"},
		Marks: []document.Mark{{At: 118, Name: "high ring"}},
		Below: []document.Span{{Name: "1", From: 0, To: 45}, {Name: "2", From: 45, To: 70}, {Name: "3", From: 70, To: 90},
			{Name: "4", From: 90, To: 107}, {Name: "5", From: 107, To: 122}, {Name: "6", From: 122, To: 136}, {Name: "7", From: 136, To: 150}},
		Above: []document.Span{{Name: "100 mm lap", From: 78, To: 168}, {Name: "45 mm lap", From: 96, To: 141}},
		Notes: []string{"Piston and focus are taken out."},
	}
	before := document.Curve{Name: "before", Role: document.Before, Band: "68 % band"}
	after := document.Curve{Name: "after, forecast", Role: document.After, Band: "68 % band"}
	for i := range 257 {
		r := float64(i) / 256 * 150
		base := 8*math.Cos(r/25) - 5
		y := base + 40*math.Exp(-math.Pow((r-118)/9, 2))
		z := base*0.6 + 9*math.Exp(-math.Pow((r-118)/12, 2))
		s := 3 + 2*math.Pow(math.Cos(r/10), 2)
		for c, v := range map[*document.Curve]float64{&before: y, &after: z} {
			c.X = append(c.X, tidy(r))
			c.Y = append(c.Y, tidy(v))
			c.Low = append(c.Low, tidy(v-s))
			c.High = append(c.High, tidy(v+s))
		}
	}
	p.Curves = []document.Curve{before, after}
	return p
}

// tidy keeps the goldens short and the same on every processor.
func tidy(v float64) float64 { return math.Round(v*100) / 100 }

func sampleImage() document.Image {
	panel := document.Panel{Name: "at the best focus", Alt: "A round disc, brighter to the left.", Width: 24, Height: 16}
	for i := range 24 * 16 {
		x, y := i%24-12, i/24-8
		grey := byte(0)
		if x*x+y*y < 60 {
			grey = byte(127 - 8*x)
		}
		panel.Grey = append(panel.Grey, grey)
	}
	dark := panel
	dark.Name, dark.Alt, dark.Grey = "in the dark", "Nothing.", make([]byte, 24*16)
	return document.Image{Title: "What a tester would see", Panels: []document.Panel{panel, dark}, Notes: []string{"Idealised."}}
}

// sampleDrawing is a ring of 200 mm to be cut, larger than a sheet.
func sampleDrawing() document.Drawing {
	circle := func(r float64, line document.LineKind) document.Outline {
		return document.Outline{Line: line, X: 105 - r, Y: 105, Steps: []document.Step{{X: 105 + r, Y: 105, Radius: r}, {X: 105 - r, Y: 105, Radius: r}}}
	}
	return document.Drawing{
		Title: "A ring", Alt: "A ring 200 mm across with a hole of 60 mm.", Width: 210, Height: 210,
		Outlines: []document.Outline{circle(100, document.CutLine), circle(30, document.CutLine), circle(65, document.GuideLine)},
		Labels:   []document.Label{{X: 105, Y: 50, Text: "1"}},
		Notes:    []string{"Cut it of stiff card."},
	}
}

func sampleTable() document.Table {
	n := func(v float64) *float64 { return &v }
	return document.Table{
		Title:   "What each choice does",
		Columns: []document.Column{{Name: "choice", Text: true}, {Name: "depth at the ring", Unit: "nm"}, {Name: "beside it", Unit: "nm"}, {Name: "slope step", Unit: "nm/mm"}, {Name: "remark", Text: true}},
		Rows: [][]document.Cell{
			{{Text: "one lap, 70 mm"}, {Text: "31.0", Number: n(31)}, {Text: "12.4", Number: n(12.4)}, {Text: "1.92", Number: n(1.92), Warn: true}, {Text: "a groove shows"}},
			{{Text: "three laps"}, {Text: "30.6", Number: n(30.6)}, {Text: "13.1", Number: n(13.1)}, {Text: "0.97", Number: n(0.97)}, {Text: "the step is halved"}},
		},
		Notes: []string{"The same time for both."},
	}
}

func sampleCard() document.Card {
	return document.Card{
		Title: "Run card: blank no. 14",
		Facts: []document.Fact{{Name: "Mirror", Text: "300 mm f/5, borosilicate"}, {Name: "Work", Text: "3 spells, 41 min"}, {Name: "Then wait", Text: "about 70 min before a test"}},
		Spells: document.Table{
			Columns: []document.Column{{Name: "spell"}, {Name: "lap", Text: true}, {Name: "centre at", Unit: "mm"}, {Name: "stroke", Unit: "mm"}, {Name: "turns"}, {Name: "time", Unit: "min"}, {Name: "pressure", Unit: "kPa"}},
			Rows: [][]document.Cell{
				{{Text: "1"}, {Text: "100 mm round"}, {Text: "118"}, {Text: "20"}, {Text: "60"}, {Text: "10.0"}, {Text: "1.9"}},
				{{Text: "2"}, {Text: "70 mm round"}, {Text: "118"}, {Text: "16"}, {Text: "84"}, {Text: "14.0"}, {Text: "2.6"}},
				{{Text: "3"}, {Text: "45 mm round"}, {Text: "120"}, {Text: "10"}, {Text: "102"}, {Text: "17.0"}, {Text: "4.1", Warn: true}},
			},
		},
		Steps:    []string{"Begin and end each spell with the mark on the table at the pointer.", "Let the lap wander 3 mm in and out.", "Stop after spell 3 and test."},
		Warnings: []string{"The 45 mm lap presses with 4.1 kPa; above 3 kPa a small lap marks the glass."},
		Cautions: []string{"The table turns: keep sleeves and hair away. Local rules come first.", "Work wet, wipe wet: no dry dust of silica or cerium oxide."},
	}
}

func at(line, column int) token.Position {
	return token.Position{Filename: "recipe.go", Line: line, Column: column}
}

func sampleStopped() *document.Document {
	return &document.Document{
		Format: document.Format, Recipe: "recipe.go", Title: "A sheet with a hole in it",
		Sections: []document.Section{
			{Code: "fmt.Println(\"before\")", Line: 12, State: document.Done, Blocks: document.Blocks{document.Printed{Text: "before\n"}}},
			{Title: "The readings", Code: "r := zone.Read(mask, \"readings.csv\", zone.Sheet{})", Line: 14, State: document.Stopped},
			{Title: "The figure", Prose: "Never seen.", Code: "f := zone.Reduce(r)", Line: 18, State: document.NotReached},
			{Title: "The plan", Line: 22, State: document.NotReached},
		},
		Faults: []document.Fault{{
			Kind: document.StoppedBy, Message: "zone.Read: a word where a number belongs", Position: at(16, 7),
			Excerpt: "\tr := zone.Read(mask, \"readings.csv\", zone.Sheet{})", Width: 9,
			Hint: "write the reading of zone 3 in mm", Section: "The readings",
			Trace:  []document.Frame{{Function: "load", Position: at(9, 2)}, {Function: "main", Position: at(16, 2)}},
			Values: []document.Value{{Name: "mask", Text: "7 zones"}},
			Notes: []document.Note{{Message: "the cell in the sheet", Position: token.Position{Filename: "readings.csv", Line: 4, Column: 12},
				Excerpt: "set 2,0.00,n.a.,0.41", Width: 4}},
		}},
	}
}

func sampleWrong() *document.Document {
	return &document.Document{
		Format: document.Format, Recipe: "recipe.go", Title: "recipe.go",
		Sections: []document.Section{{Title: "The laps", Code: "big := lap.Rond()", Line: 9, State: document.NotReached}},
		Faults: []document.Fault{
			{Kind: document.Wrong, Message: "undefined: lap.Rond", Position: at(10, 13), Excerpt: "\tbig := lap.Rond()", Width: 4, Hint: "did you mean lap.Round?"},
			{Kind: document.Wrong, Message: "declared and not used: big", Position: at(10, 2), Excerpt: "\tbig := lap.Rond()", Width: 3},
		},
		More: 3,
	}
}

const nasty = "\x1b]0;title\x07\x1b[2J\u202eevil\u2066\u009b31m<script>alert(1)</script>&#27;[1m`*_|\x00\x7f\xff"

func sampleHostile() *document.Document {
	cells := []document.Cell{{Text: nasty}, {Text: nasty, Warn: true}}
	table := document.Table{Title: nasty, Columns: []document.Column{{Name: nasty, Unit: nasty}, {Name: nasty, Text: true}}, Rows: [][]document.Cell{cells, {}}, Notes: []string{nasty}}
	return &document.Document{
		Format: document.Format, Recipe: nasty, Title: nasty,
		Summary: nasty + "\n\n<img src=http://example.org/x onerror=alert(1)> ![a](http://example.org/y) [b](javascript:alert(1)) <javascript:alert(1)>\n\n<script>\nalert(1)\n</script>\n\n# Great\n\n###### Small",
		Inputs:  []document.Input{{Name: nasty, Kind: nasty, About: nasty, Value: nasty, Default: nasty, Choices: []string{nasty}, Given: true}},
		Sections: []document.Section{
			{Title: nasty, Prose: nasty, Code: nasty, Line: 3, State: document.Stopped, Blocks: document.Blocks{
				document.Text{Text: nasty}, document.Printed{Text: nasty}, table,
				document.Plot{Title: nasty, Alt: nasty, X: document.Axis{Label: nasty, Unit: nasty}, Y: document.Axis{Label: nasty, Unit: nasty},
					Curves: []document.Curve{{Name: nasty, Role: document.Role(nasty), Band: nasty, X: []float64{0, 1}, Y: []float64{0, 1e300}, Low: []float64{-1, 0}, High: []float64{1, 1e300}}},
					Marks:  []document.Mark{{At: 0.5, Name: nasty}}, Below: []document.Span{{Name: nasty, From: -5, To: 9}}, Above: []document.Span{{Name: nasty, From: 0.2, To: 0.3}}, Notes: []string{nasty}},
				document.View{Title: nasty, Alt: nasty, Unit: nasty, Radius: 1, Clear: 1, Laps: []document.Laid{{Name: nasty, Text: nasty, X: 1e300, Radius: 1e300}}, Notes: []string{nasty}},
				document.Image{Title: nasty, Panels: []document.Panel{{Name: nasty, Alt: nasty, Width: 1, Height: 1, Grey: []byte{9}}}, Notes: []string{nasty}},
				document.Result{Name: nasty, Unit: nasty, Text: nasty},
				document.Drawing{Title: nasty, Alt: nasty, Width: 300, Height: 10, Outlines: []document.Outline{{Line: document.CutLine, Steps: []document.Step{{X: 300, Y: 10, Radius: -1e6}}}},
					Labels: []document.Label{{X: 5, Y: 5, Text: nasty}}, Notes: []string{nasty}},
				document.Card{Title: nasty, Facts: []document.Fact{{Name: nasty, Text: nasty}}, Spells: table, Steps: []string{nasty}, Warnings: []string{nasty}, Cautions: []string{nasty}},
				document.Expect{Name: nasty, Unit: nasty, Text: nasty},
			}},
			{Title: nasty, Line: 9, State: document.NotReached},
		},
		Faults: []document.Fault{{Kind: document.Panicked, Message: nasty, Position: token.Position{Filename: nasty, Line: 3, Column: 9}, Excerpt: nasty, Width: 90, Hint: nasty, Section: nasty,
			Trace: []document.Frame{{Function: nasty, Position: at(1, 1)}}, Values: []document.Value{{Name: nasty, Text: nasty}}, Notes: []document.Note{{Message: nasty, Position: at(2, 2), Excerpt: nasty}}}},
	}
}
