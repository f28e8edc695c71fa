package manual

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

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
		d := named[0].tell()
		if named[0].word {
			d.Sections = append(d.Sections, m.elsewhere(named[0])...)
		}
		return d, ""
	}
	if len(named) == 0 {
		named = m.about(asked)
	}
	if len(named) == 0 {
		return nil, m.meant(asked)
	}
	return newDocument(fmt.Sprintf("What has to do with “%s”", document.Line(asked)), "",
		section("", "", listed(named), document.Text{Text: "Ask for one of them by its name."})), ""
}

// elsewhere is what else has to do with a word of the trade, where anything has.
func (m *Manual) elsewhere(word topic) []document.Section {
	others := slices.DeleteFunc(m.about(word.name), func(t topic) bool { return t.name == word.name })
	if len(others) == 0 {
		return nil
	}
	return []document.Section{section("Where it comes up", "", listed(others))}
}

func listed(topics []topic) document.Table {
	var rows [][2]string
	for _, t := range topics {
		rows = append(rows, [2]string{t.name, t.what})
	}
	return list(rows...)
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
// name, then those that have them in the first sentence. A word is found by how it
// begins: ring in rings and lap.OnRing, and not in string.
func (m *Manual) about(asked string) []topic {
	words := strings.Fields(strings.ToLower(asked))
	const ranks = 3
	var ranked [ranks][]topic
	for _, t := range m.topics {
		names := t.name + " " + humps.ReplaceAllString(t.name, "$1 $2")
		for rank, text := range [ranks]string{names, names + " " + t.what, names + " " + t.what + " " + t.text} {
			text = strings.ToLower(text)
			if !slices.ContainsFunc(words, func(w string) bool { return !begins(text, w) }) {
				ranked[rank] = append(ranked[rank], t)
				break
			}
		}
	}
	return slices.Concat(ranked[:]...)
}

// humps are the places within a name where another word begins.
var humps = regexp.MustCompile(`([a-z])([A-Z])`)

// begins tells whether a word of the text begins with w.
func begins(text, w string) bool {
	for at := 0; ; {
		i := strings.Index(text[at:], w)
		if i < 0 {
			return false
		}
		at += i
		if before, _ := utf8.DecodeLastRuneInString(text[:at]); !unicode.IsLetter(before) {
			return true
		}
		at += len(w)
	}
}

// meant returns what is nearest to what was asked and would be found: a name, or the
// same words, those that stand nowhere changed or left out. It returns "" where there is
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
	if again := strings.Join(strings.Fields(strings.Join(meant, " ")), " "); again != "" && !strings.EqualFold(again, asked) && len(m.about(again)) > 0 {
		return again
	}
	return ""
}
