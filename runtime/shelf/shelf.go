// Package shelf makes the first page of a shelf of recipes: what there is, who made
// it, what can be changed in it, whether it still gives what its record says, and
// an index of words, so that something can be found without a script.
package shelf

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// A Book is a recipe on the shelf, as it ran for it.
type Book struct {
	Link     string // of its page; "" where it has none
	Document *document.Document
	Record   string // in words, how the run stands to its record
	Maker    string // in words, who signed it; "" where there is no bundle
}

// Page makes the first page of a shelf.
func Page(title string, books []Book) ([]byte, error) {
	l := render.List{Title: title, From: fmt.Sprintf("%d recipes", len(books)),
		About: "Recipes to open, to save with their data, and to run again."}
	words := make(map[string][]render.Item)
	for _, b := range books {
		d := b.Document
		item := render.Item{Title: d.Title, Link: b.Link}
		if len(d.Faults) > 0 {
			item.About = "It did not run to its end: " + d.Faults[0].Message
		} else if n := len(d.Unmet()); n > 0 {
			item.About = fmt.Sprintf("Expectations not met: %d.", n)
		}
		summary, author := split(d.Summary)
		item.Prose = summary
		add := func(name, text string) {
			if text != "" {
				item.Facts = append(item.Facts, document.Fact{Name: name, Text: text})
			}
		}
		add("author", author)
		add("signed", b.Maker)
		add("inputs", inputs(d))
		add("record", b.Record)
		l.Items = append(l.Items, item)
		for _, w := range wordsOf(d.Title + " " + summary + " " + author) {
			words[w] = append(words[w], render.Item{Title: d.Title, Link: b.Link})
		}
	}
	for _, w := range slices.Sorted(maps.Keys(words)) {
		// A word that stands nearly everywhere finds nothing.
		if n := len(words[w]); n == 1 || 2*n <= len(books) {
			l.Words = append(l.Words, render.Word{Word: w, Places: words[w]})
		}
	}
	return render.ListPage(l)
}

// split takes the author out of a summary: a line of its own that begins with
// "Author:".
func split(summary string) (rest, author string) {
	var lines []string
	for line := range strings.Lines(summary) {
		if name, ok := strings.CutPrefix(strings.TrimSpace(line), "Author:"); ok && author == "" {
			author = strings.TrimSpace(name)
		} else {
			lines = append(lines, line)
		}
	}
	return strings.TrimSpace(strings.Join(lines, "")), author
}

func inputs(d *document.Document) string {
	var all []string
	for _, in := range d.Inputs {
		all = append(all, in.Name+" ("+in.Value+")")
	}
	return strings.Join(all, ", ")
}

// wordsOf returns the words of four letters and more, each once, in small letters.
func wordsOf(s string) []string {
	found := make(map[string]bool)
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return !unicode.IsLetter(c) && c != '-' }) {
		if w = strings.Trim(w, "-"); utf8.RuneCountInString(w) > 3 {
			found[w] = true
		}
	}
	return slices.Sorted(maps.Keys(found))
}
