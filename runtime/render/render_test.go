package render

import (
	"bytes"
	"encoding/base64"
	"flag"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"
	"golang.org/x/net/html"
	"golang.org/x/tools/txtar"
	"pgregory.net/rapid"

	"lapwright/stdlib/document"
)

var update = flag.Bool("update", false, "write what the renderers give into the goldens")

// TestEveryFormMatchesItsGolden renders each sample in every form and compares
// it with what testdata/NAME.txtar holds: the document as JSON and its other
// forms side by side. Run with -update to write them anew, then read the
// difference.
func TestEveryFormMatchesItsGolden(t *testing.T) {
	for name, d := range samples() {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join("testdata", name+".txtar")
			fresh := &txtar.Archive{Comment: []byte("The document and every form of it, written by go test -update.\n")}
			for _, form := range []string{"page.json", "page.txt", "page.md", "page.html"} {
				data, err := File(form, d)
				if err != nil {
					t.Fatal(err)
				}
				fresh.Files = append(fresh.Files, txtar.File{Name: form, Data: data})
			}
			if *update {
				if err := os.WriteFile(file, txtar.Format(fresh), 0o666); err != nil {
					t.Fatal(err)
				}
				return
			}
			held, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if len(held.Files) != len(fresh.Files) {
				t.Fatalf("%s holds %d forms, not %d", file, len(held.Files), len(fresh.Files))
			}
			for i, f := range fresh.Files {
				if h := held.Files[i]; h.Name != f.Name || !bytes.Equal(h.Data, f.Data) {
					t.Errorf("%s differs from %s; run go test -update and read the difference", f.Name, file)
				}
			}
		})
	}
}

func TestEveryKindOfBlockIsDrawnByEveryRenderer(t *testing.T) {
	for kind, block := range document.Kinds() {
		if blockText[kind] == nil {
			t.Errorf("the terminal draws no %s", kind)
		}
		if blockHTML[kind].view == nil {
			t.Errorf("HTML draws no %s", kind)
		}
		if blockPDF[kind] == nil {
			t.Errorf("PDF sets no %s", kind)
		}
		if blockMarkdown[kind] == nil {
			t.Errorf("Markdown draws no %s", kind)
		}
		d := &document.Document{Sections: []document.Section{{Blocks: document.Blocks{block}}}}
		for _, ending := range Endings() {
			if _, err := File("x"+ending, d); err != nil {
				t.Errorf("%s, empty, as %s: %v", kind, ending, err)
			}
		}
	}
}

func TestPicturesReadBackFromThePage(t *testing.T) {
	held := sampleImage()
	page, err := blockOnPage(place{"x", 3}, held)
	if err != nil {
		t.Fatal(err)
	}
	sources := regexp.MustCompile(`src="data:image/png;base64,([^"]*)"`).FindAllStringSubmatch(html.UnescapeString(string(page)), -1)
	if len(sources) != len(held.Panels) {
		t.Fatalf("%d pictures for %d panels", len(sources), len(held.Panels))
	}
	for i, p := range held.Panels {
		data, err := base64.StdEncoding.DecodeString(sources[i][1])
		if err != nil {
			t.Fatal(err)
		}
		back, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		grey, ok := back.(*image.Gray)
		if !ok || grey.Rect.Dx() != p.Width || grey.Rect.Dy() != p.Height || !bytes.Equal(grey.Pix, p.Grey) {
			t.Errorf("panel %q reads back as another", p.Name)
		}
	}
}

func TestPageKeepsToItsSize(t *testing.T) {
	d := sampleDone()
	page := func() int {
		data, err := HTML(d)
		if err != nil {
			t.Fatal(err)
		}
		return len(data)
	}
	with := page()
	blocks := d.Sections[2].Blocks
	d.Sections[2].Blocks = blocks[1:]
	without := page()
	if without > 25_000 {
		t.Errorf("a page without plots takes %d bytes, not 25 kB", without)
	}
	if plot := with - without; plot > 15_000 {
		t.Errorf("a plot of two curves with bands takes %d bytes, not 15 kB", plot)
	}
}

func TestPageHasTheStyleOfAllItHolds(t *testing.T) {
	for name, d := range samples() {
		data, err := HTML(d)
		if err != nil {
			t.Fatal(err)
		}
		style, rest, _ := strings.Cut(string(data), "</style>")
		for _, part := range strings.Split(pageCSS, "/* if ")[1:] {
			words, rules, _ := strings.Cut(part, " */\n")
			rule, _, _ := strings.Cut(rules, "\n")
			if strings.Contains(rest, words) && !strings.Contains(style, squeeze(rule)) {
				t.Errorf("%s holds %s without its style", name, words)
			}
		}
	}
}

func TestNothingOfARecipeActsOnATerminalOrPage(t *testing.T) {
	for _, form := range []string{"x.txt", "x.md", "x.html"} {
		data, err := File(form, sampleHostile())
		if err != nil {
			t.Fatal(err)
		}
		if s := string(data); s != document.Visible(s) {
			t.Errorf("%s holds a character that acts", form)
		}
	}
	screen := Screen{Columns: 60, Colour: true}
	shown := Terminal(sampleHostile(), screen) + Faults(sampleHostile(), screen)
	for _, style := range []string{bold, dim, red, green, yellow, "0"} {
		shown = strings.ReplaceAll(shown, "\x1b["+style+"m", "")
	}
	if shown != document.Visible(shown) {
		t.Error("the terminal is given a character that acts")
	}
}

func TestPageHoldsOnlyHarmlessElements(t *testing.T) {
	allowed := strings.Fields("html head meta title link style body header h1 h2 h3 h4 h5 h6 nav ul ol li a main section p pre code span " +
		"details summary div table caption thead tbody tr th td small strong em b i u figure figcaption svg path text article dl dt dd mark footer blockquote hr br img")
	for name, d := range samples() {
		data, err := HTML(d)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.HasPrefix(data, []byte("<!DOCTYPE html>\n")) {
			t.Errorf("%s: no doctype", name)
		}
		tree, err := html.Parse(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		ids := make(map[string]bool)
		var wanted []string
		for e := range tree.Descendants() {
			if e.Type != html.ElementNode {
				continue
			}
			if !slices.Contains(allowed, e.Data) {
				t.Errorf("%s: element %s", name, e.Data)
			}
			for _, a := range e.Attr {
				switch a.Key {
				case "href":
					if e.Data != "a" && a.Val != "data:," || e.Data == "a" && !safeLink(a.Val) {
						t.Errorf("%s: %s leads to %s", name, e.Data, a.Val)
					}
					if id, ok := strings.CutPrefix(a.Val, "#"); ok {
						wanted = append(wanted, id)
					}
				case "id":
					if ids[a.Val] {
						t.Errorf("%s: id %q stands twice", name, a.Val)
					}
					ids[a.Val] = true
				case "aria-labelledby", "aria-describedby":
					wanted = append(wanted, a.Val)
				case "src":
					if e.Data != "img" || !strings.HasPrefix(a.Val, "data:image/png;base64,") {
						t.Errorf("%s: %s has the source %q", name, e.Data, a.Val)
					}
				case "srcset", "style", "onerror", "onload", "onclick", "background", "action":
					t.Errorf("%s: %s has %s", name, e.Data, a.Key)
				}
			}
		}
		for _, id := range wanted {
			if !ids[id] {
				t.Errorf("%s: nothing has the id %q", name, id)
			}
		}
	}
}

// TestColoursCanBeRead holds every pair of colours that words are set in to the
// contrast of WCAG 2.2, 1.4.3 (AA): 4.5 to 1, reckoned as it defines relative
// luminance (W3C Recommendation, from memory).
func TestColoursCanBeRead(t *testing.T) {
	variable := regexp.MustCompile(`--(\w+): (#[0-9a-f]{3,6})`)
	themes := strings.SplitN(pageCSS, "@media screen", 2)
	for i, theme := range []string{themes[0], themes[1][:strings.Index(themes[1], "* {")]} {
		colours := make(map[string]float64)
		for _, m := range variable.FindAllStringSubmatch(theme, -1) {
			colours[m[1]] = luminance(m[2])
		}
		for _, ground := range []string{"page", "card", "wash"} {
			for _, ink := range []string{"ink", "soft", "accent", "deep", "good"} {
				a, b := colours[ink], colours[ground]
				if ratio := (max(a, b) + 0.05) / (min(a, b) + 0.05); ratio < 4.5 {
					t.Errorf("theme %d: %s on %s has a contrast of %.2f", i, ink, ground, ratio)
				}
			}
		}
	}
}

func luminance(hex string) float64 {
	if len(hex) == 4 {
		hex = "#" + strings.Repeat(hex[1:2], 2) + strings.Repeat(hex[2:3], 2) + strings.Repeat(hex[3:4], 2)
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, _ := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func TestProseKeepsToTheWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringOfN(rapid.SampledFrom([]rune("abcé漢字µ")), 1, 12, -1)
		items := rapid.SliceOfN(word, 1, 60).Draw(t, "items")
		mark := rapid.SampledFrom([]string{"", "- ", "> ", "1. ", "- > - "}).Draw(t, "mark")
		columns := rapid.IntRange(40, 100).Draw(t, "columns")
		for _, line := range strings.Split(proseText(mark+strings.Join(items, " "), columns), "\n") {
			if document.Width(line) > columns {
				t.Fatalf("%q is wider than %d", line, columns)
			}
		}
	})
}

func TestScreenKeepsToItsWidth(t *testing.T) {
	for name, d := range samples() {
		if name == "hostile" {
			continue // has words that no screen has room for
		}
		for columns := 60; columns <= 100; columns++ { // below that, tables of numbers have no room
			for line := range strings.SplitSeq(Terminal(d, Screen{Columns: columns}), "\n") {
				if document.Width(line) > columns {
					t.Errorf("%s: %q is wider than %d", name, line, columns)
				}
			}
		}
	}
}

func TestCodeOnAScreenIsCodeWithBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.StringOfN(rapid.SampledFrom([]rune("ab.(é漢 \n")), 1, 300, -1).Draw(t, "code")
		columns := rapid.IntRange(40, 100).Draw(t, "columns")
		var joined []string
		for line := range strings.SplitSeq(strings.TrimSuffix(Screen{Columns: columns}.code(code), "\n"), "\n") {
			if document.Width(line) > columns {
				t.Fatalf("%q is wider than %d", line, columns)
			}
			if more, ok := strings.CutPrefix(line, "  ┆     "); ok {
				joined[len(joined)-1] += more
			} else {
				joined = append(joined, strings.TrimPrefix(strings.TrimPrefix(line, "  │"), " "))
			}
		}
		bare := strings.NewReplacer(" ", "")
		if got := bare.Replace(strings.Join(joined, "\n")); got != bare.Replace(code) {
			t.Errorf("%q became %q", code, got)
		}
	})
}

func TestNonsenseIsShownToTheLetter(t *testing.T) {
	for _, prose := range []string{strings.Repeat(">", 5000), strings.Repeat("[a](", 100_000), strings.Repeat("1. ", 300)} {
		page := string(proseHTML(prose, 3))
		if !strings.HasPrefix(page, "<pre") || !strings.Contains(proseText(prose, 80), strings.TrimSpace(prose)) {
			t.Errorf("%.20q… is read as Markdown", prose)
		}
	}
	for _, prose := range []string{strings.Repeat("-", 200), strings.Repeat("* ", 100), "- > - deep"} {
		if strings.Contains(string(proseHTML(prose, 3)), "<pre") {
			t.Errorf("%.20q… is not read as Markdown", prose)
		}
	}
}

func FuzzProse(f *testing.F) {
	f.Add(sampleDone().Summary)
	f.Add(sampleDone().Sections[1].Prose)
	f.Add(sampleHostile().Summary)
	f.Fuzz(func(t *testing.T, prose string) {
		if text := proseText(prose, 60); text != document.Visible(text) {
			t.Errorf("%q acts", text)
		}
		page := string(proseHTML(prose, 3))
		for _, bad := range []string{"<script", "<img", "<iframe", "javascript:\"", "<h1", "<h2"} {
			if strings.Contains(page, bad) {
				t.Errorf("%q gives %q", prose, page)
			}
		}
		md := proseMarkdown(prose)
		root, _ := parseProse(md)
		_ = ast.Walk(root, func(n ast.Node, _ bool) (ast.WalkStatus, error) {
			if k := n.Kind(); k == ast.KindRawHTML || k == ast.KindHTMLBlock {
				t.Errorf("%q keeps HTML as %q", prose, md)
			}
			return ast.WalkContinue, nil
		})
	})
}

func BenchmarkHTML(b *testing.B) {
	d := sampleDone()
	for b.Loop() {
		if _, err := HTML(d); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkText(b *testing.B) {
	d := sampleDone()
	for b.Loop() {
		if _, err := Text(d); err != nil {
			b.Fatal(err)
		}
	}
}
