package render

import (
	_ "embed"
	"strings"

	"lapwright/runtime/render/draw"
)

// pageCSS is the style sheet of pages. A line of it that reads "/* if WORDS */"
// begins a part that serves only pages that hold the words.
//
//go:embed page.css
var pageCSS string

// Style returns the whole style sheet of pages.
func Style() string { return squeeze(pageCSS + draw.Style()) }

// styleFor returns what of the style sheet a page needs.
func styleFor(page string) string {
	var b strings.Builder
	for i, part := range strings.Split(pageCSS, "/* if ") {
		if words, rules, _ := strings.Cut(part, " */"); i == 0 {
			b.WriteString(part)
		} else if strings.Contains(page, words) {
			b.WriteString(rules)
		}
	}
	if strings.Contains(page, "<svg") {
		b.WriteString(draw.Style())
	}
	return squeeze(b.String())
}

// squeeze takes out of a style sheet the spaces that only serve its writers.
func squeeze(css string) string {
	var lines []string
	for _, line := range strings.Split(css, "\n") {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "/*") {
			lines = append(lines, line)
		}
	}
	return spaces.Replace(strings.Join(lines, "\n"))
}

var spaces = strings.NewReplacer(";\n}\n", "}", "; }\n", "}", " }\n", "}", ";\n}", "}", " {\n", "{", " { ", "{", " }", "}", "{\n", "{", ";\n", ";", ",\n", ",", "; ", ";", ": ", ":", ", ", ",", "}\n", "}", " > ", ">", " + ", "+")
