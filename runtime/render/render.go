// Package render draws a document: as plain text, for a terminal, as one HTML
// file that needs nothing else, as PDF, as Markdown, and as JSON.
//
// Each renderer holds a table from the kind of a block to the function that
// draws it. The tables are complete: a test holds them against document.Kinds.
// All but JSON make what a recipe wrote harmless first: no control character and
// no mark that turns writing about reaches a page or a terminal.
//
// A renderer is a function of its document alone, so that the same document
// gives the same bytes.
package render

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path/filepath"
	"regexp"
	"sort"
	"strings"

	"lapwright/stdlib/document"
)

// renderers are the forms of a file, by the ending of its name.
var renderers = map[string]func(*document.Document) ([]byte, error){
	".html": HTML,
	".json": JSON,
	".md":   Markdown,
	".pdf":  PDF,
	".txt":  Text,
}

// Endings returns the endings of file names that can be rendered.
func Endings() []string {
	var all []string
	for e := range renderers {
		all = append(all, e)
	}
	sort.Strings(all)
	return all
}

// File renders a document in the form that the ending of the file's name asks for.
func File(file string, d *document.Document) ([]byte, error) {
	render := renderers[strings.ToLower(filepath.Ext(file))]
	if render == nil {
		return nil, fmt.Errorf("%s: no form is known for this ending; the endings are %s", file, strings.Join(Endings(), " "))
	}
	return render(d)
}

// JSON renders the tree as it stands, indented. The fields are those of package
// document. Strings are as the recipe has them.
func JSON(d *document.Document) ([]byte, error) {
	out, err := json.MarshalIndent(d, "", "\t")
	if err != nil {
		return nil, err
	}
	// A curve of 257 values reads better in one line.
	out = numbers.ReplaceAllFunc(out, func(list []byte) []byte {
		return bytes.Join(bytes.Fields(list), []byte(" "))
	})
	return append(out, '\n'), nil
}

// numbers matches an indented list of numbers. It cannot match within a string,
// where JSON allows no line end.
var numbers = regexp.MustCompile(`\[\n\s+(?:-?[0-9][-+.0-9eE]*,\n\s+)*-?[0-9][-+.0-9eE]*\n\s+\]`)

// notReached lists the titles of the sections a run did not come to.
func notReached(d *document.Document) []string {
	var titles []string
	for _, s := range d.Sections {
		if s.State == document.NotReached && s.Title != "" {
			titles = append(titles, document.Line(s.Title))
		}
	}
	return titles
}

// inputsTable puts the inputs of a document in a table.
func inputsTable(d *document.Document) document.Table {
	t := document.Table{
		Title: "Inputs",
		Columns: []document.Column{
			{Name: "name", Text: true}, {Name: "value", Text: true},
			{Name: "allowed", Text: true}, {Name: "what it is", Text: true},
		},
	}
	for _, in := range d.Inputs {
		value := in.Value
		if in.Given && in.Default != "" && in.Default != in.Value {
			value += " (given; the recipe has " + in.Default + ")"
		} else if in.Given {
			value += " (given)"
		}
		t.Rows = append(t.Rows, []document.Cell{{Text: in.Name}, {Text: value}, {Text: allowed(in)}, {Text: in.About}})
	}
	return t
}

// allowed says in words what an input may be.
func allowed(in document.Input) string {
	switch {
	case len(in.Choices) > 0:
		return strings.Join(in.Choices, ", ")
	case in.Low != "" && in.High != "":
		return in.Low + " to " + in.High
	case in.Low != "":
		return in.Low + " or more"
	case in.High != "":
		return in.High + " or less"
	}
	return "any " + in.Kind
}
