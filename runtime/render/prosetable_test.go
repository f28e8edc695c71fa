package render

import (
	"strings"
	"testing"
)

// The cases are those of the specification of GitHub Flavored Markdown, version
// 0.29-gfm, "Tables (extension)", from memory.
func TestTablesOfProseAreThoseOfTheSpecification(t *testing.T) {
	tests := []struct{ name, prose, want string }{
		{"a table", "| foo | bar |\n| --- | --- |\n| baz | bim |",
			"<table><thead><tr><th>foo</th><th>bar</th></tr></thead><tbody><tr><td>baz</td><td>bim</td></tr></tbody></table>"},
		{"pipes at the ends may lack, and cells need not match in length", "| abc | defghi |\n:-: | -----------:\nbar | baz",
			"<table><thead><tr><th>abc</th><th>defghi</th></tr></thead><tbody><tr><td>bar</td><td>baz</td></tr></tbody></table>"},
		{"a pipe in a cell is escaped, in code too", "| f\\|oo  |\n| ------ |\n| b `\\|` az |\n| b **\\|** im |",
			"<table><thead><tr><th>f|oo</th></tr></thead><tbody><tr><td>b <code>|</code> az</td></tr><tr><td>b <strong>|</strong> im</td></tr></tbody></table>"},
		{"another block ends it", "| abc | def |\n| --- | --- |\n| bar | baz |\n> bar",
			"<table><thead><tr><th>abc</th><th>def</th></tr></thead><tbody><tr><td>bar</td><td>baz</td></tr></tbody></table><blockquote><p>bar</p></blockquote>"},
		{"a line without a pipe is a row, an empty line ends it", "| abc | def |\n| --- | --- |\n| bar | baz |\nbar\n\nbar",
			"<table><thead><tr><th>abc</th><th>def</th></tr></thead><tbody><tr><td>bar</td><td>baz</td></tr><tr><td>bar</td><td></td></tr></tbody></table><p>bar</p>"},
		{"a head of another width makes no table", "| abc | def |\n| --- |\n| bar |",
			"<p>| abc | def || --- || bar |</p>"},
		{"cells that lack are empty, those beyond are left out", "| abc | def |\n| --- | --- |\n| bar |\n| bar | baz | boo |",
			"<table><thead><tr><th>abc</th><th>def</th></tr></thead><tbody><tr><td>bar</td><td></td></tr><tr><td>bar</td><td>baz</td></tr></tbody></table>"},
		{"no body", "| abc | def |\n| --- | --- |",
			"<table><thead><tr><th>abc</th><th>def</th></tr></thead></table>"},
		// Not of the specification:
		{"words before it stay a paragraph", "before  \n| a |\n| - |", "<p>before</p><table><thead><tr><th>a</th></tr></thead></table>"},
		{"several escaped pipes in code", "| a |\n| - |\n| `x \\|\\| y \\| z` |",
			"<table><thead><tr><th>a</th></tr></thead><tbody><tr><td><code>x || y | z</code></td></tr></tbody></table>"},
		{"a backslash in code elsewhere stays", "`\\|`", `<p><code>\|</code></p>`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := strings.ReplaceAll(string(proseHTML(test.prose, 3)), "\n", ""); got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
		})
	}
}
