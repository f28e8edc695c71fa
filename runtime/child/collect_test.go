package child

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// three is an outline of declarations, an untitled part, two sections with
// statements, one with prose alone.
const three = `{"walls":{}}
{"outline":{"title":"T","summary":"S","parts":[
{"title":"","prose":"","code":"const x = 1","line":3,"main":false,"statements":0},
{"title":"","prose":"","code":"a()","line":6,"main":true,"statements":1},
{"title":"One","prose":"p","code":"b()","line":8,"main":true,"statements":2},
{"title":"Two","prose":"p","code":"c()","line":12,"main":true,"statements":1},
{"title":"End","prose":"p","code":"","line":15,"main":true,"statements":0}]}}
`

func TestSectionsSayHowFarTheRunCame(t *testing.T) {
	fault := `{"end":{"faults":[{"kind":"panicked","message":"m","position":{"Filename":"","Offset":0,"Line":0,"Column":0}}]}}`
	tests := []struct{ name, events, want string }{
		{"to its end", `{"enter":1} {"enter":2} {"enter":3} {"end":{}}`, "declared, done, done, done, done"},
		{"main returns early", `{"enter":1} {"enter":2} {"end":{}}`, "declared, done, done, not reached, not reached"},
		{"main has a last section of prose", `{"enter":1} {"enter":2} {"enter":3} {"enter":4} {"end":{}}`, "declared, done, done, done, done"},
		{"it does not type-check", fault, "declared, not reached, not reached, not reached, not reached"},
		{"it stops in the middle", `{"enter":1} {"enter":2} ` + fault, "declared, done, stopped, not reached, not reached"},
		{"it stops at once", `{"enter":1} ` + fault, "declared, stopped, not reached, not reached, not reached"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d := collected(t, test.events)
			var states []string
			for _, s := range d.Sections {
				states = append(states, string(s.State))
			}
			if got := strings.Join(states, ", "); got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
		})
	}
}

// collected gives a collector the outline above and events, parted by spaces.
func collected(t *testing.T, events string) *document.Document {
	t.Helper()
	outline := strings.ReplaceAll(strings.ReplaceAll(three, ",\n", ","), "[\n", "[")
	c := newCollector("r.go")
	if err := c.collect(strings.NewReader(outline+strings.ReplaceAll(events, " {", "\n{")), Default); err != nil {
		t.Fatal(err)
	}
	return c.document()
}

func TestProgressTellsWhatTheRunHasSoFar(t *testing.T) {
	c := newCollector("r.go")
	var told []Progress
	c.progress = func(p Progress) { told = append(told, p) }
	events := strings.ReplaceAll(strings.ReplaceAll(three, ",\n", ","), "[\n", "[") +
		`{"enter":1}
{"enter":2}
{"block":[{"text":{"text":"a"}}]}
{"enter":3}
{"enter":2}
{"block":[{"text":{"text":"b"}}]}
{"end":{}}`
	if err := c.collect(strings.NewReader(events), Default); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range told {
		text := fmt.Sprint(p.Section)
		for _, s := range p.Document.Sections {
			text += fmt.Sprintf(", %s %d", s.State, len(s.Blocks))
		}
		got = append(got, text)
	}
	want := []string{
		"1, declared 0, not reached 0, not reached 0, not reached 0, not reached 0",
		"2, declared 0, done 0, not reached 0, not reached 0, not reached 0",
		"3, declared 0, done 0, done 1, not reached 0, not reached 0",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestBlocksGoToTheSectionMainIsIn(t *testing.T) {
	d := collected(t, `{"block":[{"printed":{"text":"v"}}]} {"enter":1} {"block":[{"printed":{"text":"a"}}]} {"block":[{"printed":{"text":"b"}}]} `+
		`{"enter":2} {"block":[{"printed":{"text":"c"}}]} {"block":[{"text":{"text":"d"}}]} {"block":[{"printed":{"text":"e"}}]} {"end":{}}`)
	var got []document.Blocks
	for _, s := range d.Sections {
		got = append(got, s.Blocks)
	}
	p := func(s string) document.Block { return document.Printed{Text: s} }
	want := []document.Blocks{{p("v")}, {p("ab")}, {p("c"), document.Text{Text: "d"}, p("e")}, nil, nil}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func FuzzCollect(f *testing.F) {
	outline := strings.ReplaceAll(strings.ReplaceAll(three, ",\n", ","), "[\n", "[")
	f.Add(outline + `{"enter":1}` + "\n" + `{"block":[{"printed":{"text":"a"}}]}` + "\n" + `{"end":{}}` + "\n")
	f.Add(outline + `{"input":{"name":"ring","kind":"length","about":"","value":"1 mm","default":"2 mm","given":true}}` + "\n" + `{"end":{"faults":[{"kind":"limit","message":"m","position":{"Filename":"r.go","Offset":1,"Line":2,"Column":3},"excerpt":"x","width":9}],"more":2}}`)
	f.Add(outline + `{"block":[{"plot":{"title":"t","alt":"a","x":{"label":"x","low":0,"high":1},"y":{"label":"y"},"curves":[{"name":"c","role":"before","x":[0,1,2],"y":[1,1e308,-1e308],"low":[0,0,0],"high":[2,2,2]}],"marks":[{"at":1e300,"name":"m"}],"below":[{"name":"1","from":-1,"to":1}]}}]}` + "\n")
	f.Add(outline + `{"block":[{"table":{"title":"t","columns":[{"name":"a","text":true},{"name":"b","unit":"mm"}],"rows":[[{"text":"x"},{"text":"1","number":1,"warn":true}]]}}]}` + "\n")
	f.Add(outline + `{"block":[{"card":{"title":"t","facts":[{"name":"a","text":"b"}],"spells":{"title":"","columns":[],"rows":[]},"steps":["s"],"cautions":null}}]}` + "\n")
	f.Add(outline + `{"block":[{"drawing":{"title":"d","alt":"a","width":9,"height":9,"outlines":[{"line":"cut","x":1,"y":1,"steps":[{"x":8,"y":1,"radius":9}]}]}}]}` + "\n")
	f.Add(outline + `{"block":[{"view":{"title":"v","alt":"a","unit":"mm","radius":9,"clear":8,"laps":[{"name":"1","text":"t","x":1,"y":2,"radius":3,"pathX":[1],"pathY":[2]}]}}]}` + "\n")
	f.Add(outline + `{"block":[{"image":{"title":"i","panels":[{"name":"n","alt":"a","width":2,"height":1,"grey":"AP8="}]}}]}` + "\n")
	f.Add(outline + `{"block":[{"expect":{"name":"n","got":1,"want":2,"tolerance":0,"met":false,"text":"t"}}]}` + "\n")
	f.Fuzz(func(t *testing.T, events string) {
		c := newCollector("r.go")
		if err := c.collect(strings.NewReader(events), testBounds); err != nil {
			return
		}
		if c.unknown != nil {
			_ = c.unknown.Error()
			return
		}
		if c.end == nil {
			c.end = &ending{}
		}
		d := c.document()
		for _, ending := range render.Endings() {
			if _, err := render.File("x"+ending, d); err != nil {
				t.Error(err)
			}
		}
	})
}

var testBounds = Limits{Output: 1 << 16}
