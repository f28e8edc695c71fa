package manual

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
)

// Find returns what the manual has of what is asked for: the one thing of that
// name, or else a list of all that has to do with the words. Capitals do not count.
// Where there is nothing, it returns nil and what may have been meant, or "".
func (m *Manual) Find(asked string) (found *document.Document, meant string) {
	asked = strings.Join(strings.Fields(strings.TrimSuffix(asked, "()")), " ")
	named := m.named(asked)
	if len(named) == 1 {
		return named[0].tell(), ""
	}
	if len(named) == 0 {
		named = m.about(asked)
	}
	if len(named) == 0 {
		return nil, m.meant(asked)
	}
	var rows [][2]string
	for _, t := range named {
		rows = append(rows, [2]string{t.name, t.what})
	}
	return newDocument(fmt.Sprintf("What has to do with “%s”", document.Line(asked)), "",
		section("", "", list(rows...), document.Text{Text: "Ask for one of them by its name."})), ""
}

// named returns what has the name: the whole of it, or where nothing has, its last
// part or last parts.
func (m *Manual) named(asked string) []topic {
	var last []topic
	for _, t := range m.topics {
		names := append([]string{t.name}, t.aliases...)
		if slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, asked) }) {
			return []topic{t}
		}
		if n := len(t.name) - len(asked); n > 0 && t.name[n-1] == '.' && strings.EqualFold(t.name[n:], asked) {
			last = append(last, t)
		}
	}
	return last
}

// about returns what has all the words in it, those first that have them in the
// name, then those that have them in the first sentence.
func (m *Manual) about(asked string) []topic {
	words := strings.Fields(strings.ToLower(asked))
	const ranks = 3
	var ranked [ranks][]topic
	for _, t := range m.topics {
		for rank, text := range [ranks]string{t.name, t.name + " " + t.what, t.name + " " + t.what + " " + t.text} {
			text = strings.ToLower(text)
			if !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) }) {
				ranked[rank] = append(ranked[rank], t)
				break
			}
		}
	}
	return slices.Concat(ranked[:]...)
}

// meant returns what is nearest to what was asked and would be found: a name, or the
// same words with those changed that stand nowhere. It returns "" where there is
// nothing near.
func (m *Manual) meant(asked string) string {
	var names, words []string
	for _, t := range m.topics {
		names = append(names, t.name)
		names = append(names, t.aliases...)
		if i := strings.LastIndexByte(t.name, '.'); i >= 0 {
			names = append(names, t.name[i+1:])
		}
		words = append(words, strings.FieldsFunc(strings.ToLower(t.name+" "+t.what+" "+t.text), func(c rune) bool {
			return !unicode.IsLetter(c)
		})...)
	}
	if near := host.Nearest(asked, names); near != "" {
		return near
	}
	slices.Sort(words)
	words = slices.Compact(words)
	meant := strings.Fields(strings.ToLower(asked))
	for i, w := range meant {
		if !slices.ContainsFunc(words, func(known string) bool { return strings.Contains(known, w) }) {
			meant[i] = host.Nearest(w, words)
		}
	}
	if again := strings.Join(meant, " "); !slices.Contains(meant, "") && !strings.EqualFold(again, asked) && len(m.about(again)) > 0 {
		return again
	}
	return ""
}
