package manual

import (
	"embed"
	"fmt"
	"maps"
	"slices"
	"strings"

	"lapwright/recipes"
	"lapwright/runtime/check"
	"lapwright/runtime/recipe"
	"lapwright/stdlib/document"
)

//go:embed *.md
var pageFiles embed.FS

// A page is one of the manual's pages of prose.
type page struct {
	name, title, what string
	prose             string // Markdown, without the title
}

// pageNames are the pages of prose in their order. The file of each begins with its
// title and, as its first sentence, what it is.
var pageNames = []string{"begin", "language", "physics", "cautions"}

func readPages(packages []*pkg) (all []*page) {
	for _, name := range pageNames {
		title, prose := readPage(name)
		what, _, _ := strings.Cut(prose, "\n\n")
		if name == "language" {
			prose += "\n" + imports(packages)
		}
		all = append(all, &page{name, title, sentence(what), prose})
	}
	return all
}

// imports lists the packages a recipe may import, in Markdown.
func imports(packages []*pkg) string {
	var b strings.Builder
	b.WriteString("### What a recipe may import\n\n| package | but not |\n| --- | --- |\n")
	for _, p := range check.Packages {
		if strings.HasPrefix(p.Path, check.Own) {
			continue
		}
		var refused []string
		for _, name := range slices.Sorted(maps.Keys(p.Refused)) {
			refused = append(refused, "`"+name+"`")
		}
		fmt.Fprintf(&b, "| `%s` | %s |\n", p.Path, strings.Join(refused, ", "))
	}
	for _, p := range packages {
		fmt.Fprintf(&b, "| `%s%s` | |\n", check.Own, p.name)
	}
	return b.String()
}

func readPage(name string) (title, prose string) {
	text, err := pageFiles.ReadFile(name + ".md")
	if err != nil {
		panic(err) // it is embedded
	}
	title, prose, _ = strings.Cut(string(text), "\n")
	return strings.TrimPrefix(title, "# "), strings.TrimSpace(prose) + "\n"
}

// tell makes each part of the page that has a heading a section.
func (p *page) tell() *document.Document {
	summary, rest, _ := strings.Cut(p.prose, "\n### ")
	d := newDocument(p.title, summary)
	for _, part := range strings.Split(rest, "\n### ") {
		if title, prose, found := strings.Cut(part, "\n"); found {
			d.Sections = append(d.Sections, section(title, strings.Trim(prose, "\n")))
		}
	}
	return d
}

// A term is a word of the trade.
type term struct {
	name, what, text string
}

const wordsWhat = "The words of the trade, as lapwright uses them."

// readWords reads the list of words: paragraphs "**word** Meaning."
func readWords() (all []term) {
	_, prose := readPage("words")
	for _, paragraph := range strings.Split(prose, "\n\n") {
		name, text, found := strings.Cut(strings.TrimPrefix(paragraph, "**"), "** ")
		if found {
			all = append(all, term{name, sentence(text), text})
		}
	}
	return all
}

func (w term) tell() *document.Document {
	return newDocument(w.name, w.text)
}

func (m *Manual) wordsProse() string {
	_, prose := readPage("words")
	return prose
}

func (m *Manual) wordsDocument() *document.Document {
	return newDocument("Words of the trade", m.wordsProse())
}

// A shipped recipe comes with the program.
type shipped struct {
	name, title, summary string
}

const recipesWhat = "The recipes that ship, each a story to read and to begin from."

func readRecipes() (all []shipped) {
	for name, source := range recipes.All() {
		r, _ := recipe.Read("recipe.go", source)
		all = append(all, shipped{name, r.Title, r.Summary})
	}
	return all
}

func (r shipped) tell() *document.Document {
	return newDocument(r.title, fmt.Sprintf("%s\n\nTo begin from it: `lapwright new --like %s FOLDER`.\n", r.summary, r.name))
}

func (m *Manual) recipesProse() string {
	prose := "Begin from any of them with `lapwright new --like NAME FOLDER`, and run what you get with `lapwright run FOLDER`. " +
		"All mirrors and readings in them are invented.\n"
	for _, r := range m.recipes {
		prose += fmt.Sprintf("\n**%s**: %s. %s\n", r.name, r.title, strings.Join(strings.Fields(r.summary), " "))
	}
	return prose
}

func (m *Manual) recipesDocument() *document.Document {
	return newDocument("Recipes that ship", m.recipesProse())
}
