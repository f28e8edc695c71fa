package shelf

import (
	"strings"
	"testing"

	"lapwright/stdlib/document"
)

func TestFirstPageTellsWhatThereIs(t *testing.T) {
	book := func(link, title, summary string) Book {
		return Book{Link: link, Document: &document.Document{Title: title, Summary: summary}, Record: "the same"}
	}
	books := []Book{
		book("a.html", "A ring", "A narrow ring\nstands high.\n\nAuthor: Anna <b>\n"),
		book("b.html", "An edge", "The edge stands low."),
		book("c.html", "A hill", "A hill stands in the middle."),
	}
	books[1].Document.Inputs = []document.Input{{Name: "edge", Value: "3 mm"}}
	books[2].Document.Faults = []document.Fault{{Message: "no readings"}}
	data, err := Page("Club shelf", books)
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	for _, want := range []string{
		`<h1>Club shelf</h1>`, `<a href="a.html">A ring</a>`, "<p>A narrow ring\nstands high.</p>",
		`<dt>author<dd>Anna &lt;b&gt;</div>`, `<dt>inputs<dd>edge (3 mm)</div>`, `<dt>record<dd>the same</div>`,
		`It did not run to its end: no readings`, `<dt>narrow<dd><a href="a.html">A ring</a></div>`,
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	for _, unwanted := range []string{"<script", "<b>", "<dt>stands", "<dt>the"} {
		if strings.Contains(page, unwanted) {
			t.Errorf("the page has %s", unwanted)
		}
	}
}
