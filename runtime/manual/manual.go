// Package manual is what the program tells of itself: the primitives, the language
// of recipes, the physics, the words of the trade, and the recipes that ship.
//
// What it says of a primitive is the doc comment that stands above it, and its
// examples are those that the tests run; both are read from the sources the
// program carries. The pages of prose stand beside this file. The manual is given
// out as documents, which package render draws like those of recipes.
package manual

import (
	"strings"
	"sync"

	"lapwright/stdlib"
	"lapwright/stdlib/document"
)

// A Manual is all there is to tell. It does not change.
type Manual struct {
	packages []*pkg
	pages    []*page
	words    []term
	recipes  []shipped
	topics   []topic // all that can be asked for, in the order of the manual
}

// A topic is one thing that can be asked for.
type topic struct {
	name    string   // as it is listed: "zone.Mask.Radius", "physics", "overhang"
	aliases []string // other names that mean it: constants of a type
	what    string   // in one sentence
	text    string   // all of it, for the search
	tell    func() *document.Document
	word    bool // it is a word of the trade
}

// Read reads the manual from the sources that the program carries. It reads them
// once.
var Read = sync.OnceValue(func() *Manual {
	m := &Manual{packages: readPackages(stdlib.Sources), words: readWords(), recipes: readRecipes()}
	m.pages = readPages(m.packages)
	for _, p := range m.pages {
		m.topics = append(m.topics, topic{p.name, nil, p.what, p.prose, p.tell, false})
	}
	m.topics = append(m.topics,
		topic{"words", nil, wordsWhat, "", m.wordsDocument, false},
		topic{"recipes", nil, recipesWhat, "", m.recipesDocument, false})
	for _, r := range m.recipes {
		m.topics = append(m.topics, topic{"recipes/" + r.name, []string{r.name}, r.title, r.summary, r.tell, false})
	}
	for _, p := range m.packages {
		m.topics = append(m.topics, topic{p.name, nil, p.what, p.prose, func() *document.Document { return m.packageDocument(p) }, false})
		for _, e := range p.entries {
			m.topics = append(m.topics, topic{e.name, e.aliases, e.what, e.prose, func() *document.Document { return m.entryDocument(e) }, false})
			for _, method := range e.methods {
				m.topics = append(m.topics, topic{method.name, nil, method.what, method.prose, func() *document.Document { return m.entryDocument(method) }, false})
			}
		}
	}
	for _, w := range m.words {
		m.topics = append(m.topics, topic{w.name, nil, w.what, w.text, w.tell, true})
	}
	return m
})

// made is what a page says it was made from.
const made = "the sources of its primitives"

func newDocument(title, summary string, sections ...document.Section) *document.Document {
	return &document.Document{Format: document.Format, Recipe: made, Title: title, Summary: summary, Sections: sections}
}

func section(title, prose string, blocks ...document.Block) document.Section {
	return document.Section{Title: title, Prose: prose, State: document.Done, Blocks: blocks}
}

// list is a table of names and what they are.
func list(rows ...[2]string) document.Table {
	t := document.Table{Columns: []document.Column{{Name: "name", Text: true}, {Name: "what it is", Text: true}}}
	for _, r := range rows {
		t.Rows = append(t.Rows, []document.Cell{{Text: r[0]}, {Text: r[1]}})
	}
	return t
}

// Contents tells what there is to ask for.
func (m *Manual) Contents() *document.Document {
	var pages, packages [][2]string
	for _, p := range m.pages {
		pages = append(pages, [2]string{p.name, p.what})
	}
	pages = append(pages, [2]string{"words", wordsWhat}, [2]string{"recipes", recipesWhat})
	for _, p := range m.packages {
		packages = append(packages, [2]string{p.name, p.what})
	}
	return newDocument("The lapwright manual",
		"Ask for a page or a package by its name, for anything in a package as `zone.Reduce`, or for any words: `lapwright doc turned edge`. "+
			"The whole manual as one page to read in a browser: `lapwright doc -o manual.html`.",
		section("Pages", "", list(pages...)),
		section("Packages", "What a recipe calls. Import them as `lapwright/stdlib/zone`.", list(packages...)))
}

// Whole returns the manual from end to end.
func (m *Manual) Whole() *document.Document {
	d := newDocument("The lapwright manual", "All that `lapwright doc` tells, on one page. "+
		"The examples of the primitives are run by the tests; what they print stands below them.")
	for _, p := range m.pages {
		d.Sections = append(d.Sections, section(p.title, p.prose))
	}
	d.Sections = append(d.Sections, section("Words of the trade", m.wordsProse()), section("Recipes that ship", m.recipesProse()))
	for _, p := range m.packages {
		d.Sections = append(d.Sections, section("Package "+p.name, p.prose, p.list()))
		for _, e := range p.entries {
			prose := e.prose + m.example(e, true)
			for _, method := range e.methods {
				prose += "\n### " + method.heading + "\n\n" + method.prose + m.example(method, true)
			}
			d.Sections = append(d.Sections, section(e.name, prose))
		}
	}
	return d
}

// sentence is the first sentence of some Markdown, as plain words.
func sentence(prose string) string {
	words := strings.Join(strings.Fields(prose), " ")
	for i := 0; i < len(words); i++ {
		if strings.IndexByte(".?!", words[i]) >= 0 && (i+1 == len(words) || words[i+1] == ' ') && !abbreviated(words[:i]) {
			return strings.NewReplacer("`", "", "*", "").Replace(words[:i+1])
		}
	}
	return words
}

// abbreviated tells whether words end in one that a point follows within a sentence.
func abbreviated(words string) bool {
	last := words[strings.LastIndexByte(words, ' ')+1:]
	return last == "no" || len(last) == 1 && last[0] >= 'A' && last[0] <= 'Z'
}
