package render

import (
	"strings"
	"testing"

	"lapwright/stdlib/document"
)

func TestListsLeadToTheirItems(t *testing.T) {
	plot := document.Plot{Title: "P", Alt: "falls", X: document.Axis{Label: "x"}, Y: document.Axis{Label: "y"},
		Curves: []document.Curve{{Name: "c", Role: document.Other, X: []float64{0, 1}, Y: []float64{1, 0}}}}
	table := document.Table{Title: "T", Columns: []document.Column{{Name: "run"}}, Rows: [][]document.Cell{{{Text: "1"}}}}
	data, err := ListPage(List{Title: "A <list>", About: "of & all", Table: &table, From: "r.go",
		Items: []Item{
			{Title: "one", Link: "1.html", About: "first\n\nsecond", Facts: []document.Fact{{Name: "f", Text: "<t>"}}, Plot: &plot},
			{Title: "two"},
		},
		Words: []Word{{Word: "ring", Places: []Item{{Title: "one", Link: "1.html"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	for _, want := range []string{
		"<title>A &lt;list&gt;</title>", "<p>of &amp; all</p>", "<caption>T</caption>", `<h2><a href="1.html">one</a></h2>`, "<p>first</p><p>second</p>",
		"<dt>f<dd>&lt;t&gt;", `<div role="img" aria-label="falls"><svg`, "<h2>two</h2>", `<dt>ring<dd><a href="1.html">one</a>`, "Made by lapwright from r.go.",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	data, err = ListPage(List{Title: "Bad", Items: []Item{{Title: "x", Link: "javascript:alert(1)"}}})
	if err != nil || strings.Contains(string(data), "javascript") {
		t.Errorf("a link acts: %v", err)
	}
}
