package render

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lapwright/runtime/render/paper"
	"lapwright/stdlib/document"
)

// pdfWords returns the words of a PDF, a line for each page, as poppler's pdftotext
// finds them.
func pdfWords(t *testing.T, data []byte) string {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext of poppler is not here to read the PDF")
	}
	cmd := exec.Command("pdftotext", "-raw", "-", "-")
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	var pages []string
	for _, page := range strings.Split(strings.TrimSuffix(string(out), "\f"), "\f") {
		pages = append(pages, strings.Join(strings.Fields(page), " "))
	}
	return strings.Join(pages, "\n") + "\n"
}

// TestWordsOfPDFMatchTheirGolden holds what can be copied from a PDF against
// testdata/NAME.pdf.txt. Run with -update to write it anew.
func TestWordsOfPDFMatchTheirGolden(t *testing.T) {
	for name, d := range samples() {
		t.Run(name, func(t *testing.T) {
			data, err := PDF(d)
			if err != nil {
				t.Fatal(err)
			}
			got := pdfWords(t, data)
			file := filepath.Join("testdata", name+".pdf.txt")
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("the words differ from %s; run go test -update and read the difference:\n%s", file, got)
			}
		})
	}
}

func TestPDFIsTheSameEveryTime(t *testing.T) {
	for name, d := range samples() {
		for _, sheet := range []paper.Sheet{paper.A4, paper.Letter} {
			first, err := Print(d, sheet)
			if err != nil {
				t.Fatal(err)
			}
			again, err := Print(d, sheet)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(first, again) {
				t.Errorf("%s on %s: two prints differ", name, sheet.Name)
			}
		}
	}
}

func TestPDFHasThePagesAskedFor(t *testing.T) {
	for _, c := range []struct {
		sheet paper.Sheet
		box   string // in points
	}{{paper.A4, "/MediaBox [0 0 595.28 841.89]"}, {paper.Letter, "/MediaBox [0 0 612.00 792.00]"}} {
		data, err := Print(sampleDone(), c.sheet)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(data, []byte(c.box)) {
			t.Errorf("%s: nothing says %s", c.sheet.Name, c.box)
		}
	}
}

func TestCardsAreAloneOnAPageEach(t *testing.T) {
	d := &document.Document{Title: "T", Recipe: "recipe.go", Sections: []document.Section{
		{Title: "A", Blocks: document.Blocks{document.Text{Text: "not this"}, sampleCard()}}, {Title: "B", Blocks: document.Blocks{sampleCard()}},
	}}
	data, n, err := PrintCards(d, paper.A4)
	if err != nil || n != 2 {
		t.Fatalf("%d cards, %v", n, err)
	}
	if pages := bytes.Count(data, []byte("/Type /Page\n")); pages != 2 {
		t.Errorf("%d pages", pages)
	}
	words := pdfWords(t, data)
	if strings.Contains(words, "not this") || strings.Count(words, "Run card: blank no. 14") != 2 {
		t.Errorf("the cards read %s", words)
	}
}

// ringMask is a mask of two windows, invented, larger than one sheet.
func ringMask() document.Drawing {
	ring := func(kind document.LineKind, cx, cy, r float64) document.Outline {
		return document.Outline{Line: kind, X: cx - r, Y: cy, Steps: []document.Step{{X: cx + r, Y: cy, Radius: r}, {X: cx - r, Y: cy, Radius: r}}}
	}
	return document.Drawing{
		Title: "A mask", Alt: "Two rings.", Width: 260, Height: 260,
		Outlines: []document.Outline{ring(document.CutLine, 130, 130, 130), ring(document.CutLine, 130, 130, 60), ring(document.GuideLine, 130, 130, 90)},
		Labels:   []document.Label{{X: 130, Y: 130, Text: "middle"}},
	}
}

// TestSheetsArePrintedAtTrueSize draws the pages with poppler and measures the bar
// of 100 mm in the dots, at the 254 dots to the inch that make a dot 0.1 mm.
func TestSheetsArePrintedAtTrueSize(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("pdftoppm of poppler is not here to draw the PDF")
	}
	mask := ringMask()
	d := &document.Document{Title: "Masks", Recipe: "recipe.go", Sections: []document.Section{{Title: "A", Blocks: document.Blocks{mask}}}}
	for _, sheet := range []paper.Sheet{paper.A4, paper.Letter} {
		data, err := Print(d, sheet)
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command("pdftoppm", "-r", "254", "-gray", "-f", "2", "-")
		cmd.Stdin = bytes.NewReader(data)
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("pdftoppm: %v", err)
		}
		pages := greyPages(t, out)
		if want := len(mask.Sheets()); len(pages) != want {
			t.Fatalf("%s: %d sheets on %d pages", sheet.Name, want, len(pages))
		}
		for i, page := range pages {
			bar := 0
			for _, row := range page {
				bar = max(bar, longestDark(row))
			}
			if bar < 998 || bar > 1002 { // within 0.2 mm: the dots are not in step with the paper
				t.Errorf("%s, sheet %d: the bar is %.1f mm long", sheet.Name, i+1, float64(bar)/10)
			}
		}
	}
}

// greyPages reads pictures in the form PGM, one after the other: their rows of
// greys.
func greyPages(t *testing.T, data []byte) [][][]byte {
	var pages [][][]byte
	for len(data) > 0 {
		var width, height int
		if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n255\n", &width, &height); err != nil {
			t.Fatalf("not a picture: %v", err)
		}
		data = data[len(fmt.Sprintf("P5\n%d %d\n255\n", width, height)):]
		var page [][]byte
		for range height {
			page = append(page, data[:width])
			data = data[width:]
		}
		pages = append(pages, page)
	}
	return pages
}

// longestDark is the most dark dots in a row.
func longestDark(row []byte) int {
	longest, now := 0, 0
	for _, grey := range row {
		if now++; grey > 160 {
			now = 0
		}
		longest = max(longest, now)
	}
	return longest
}

func TestSheetsSayHowLongTheirBarIs(t *testing.T) {
	data, err := PDF(&document.Document{Sections: []document.Section{{Blocks: document.Blocks{ringMask()}}}})
	if err != nil {
		t.Fatal(err)
	}
	if words := pdfWords(t, data); strings.Count(words, "This bar is 100 mm long when printed at true size.") != len(ringMask().Sheets()) {
		t.Errorf("the sheets read %s", words)
	}
}

// A PDF keeps only the letters it uses of its founts, of which there are 4 MB.
func TestPDFIsSmall(t *testing.T) {
	data, err := PDF(sampleDone())
	if err != nil {
		t.Fatal(err)
	}
	if len(data) > 150_000 {
		t.Errorf("the sample takes %d bytes", len(data))
	}
}

func FuzzPDFProse(f *testing.F) {
	f.Add(sampleDone().Summary)
	f.Add(sampleDone().Sections[1].Prose)
	f.Add(sampleHostile().Summary)
	f.Add("1. a\n\n   > - b\n\n       code\n***\n[x](javascript:y) <b> ![p](q)")
	f.Fuzz(func(t *testing.T, prose string) {
		p := &printer{Flow: paper.New(paper.A4)}
		p.prose(prose) // printing it would only take time: the founts are written every time
		for _, c := range p.Missing() {
			if c >= ' ' && c < 0x7f {
				t.Errorf("%q is said to be in no fount", c)
			}
		}
	})
}

func BenchmarkPDF(b *testing.B) {
	d := sampleDone()
	for b.Loop() {
		if _, err := PDF(d); err != nil {
			b.Fatal(err)
		}
	}
}

// TestBrowserPrintsTheCardOnAPageOfItsOwn prints the page with Chromium on both
// papers and looks at the words of each sheet.
func TestBrowserPrintsTheCardOnAPageOfItsOwn(t *testing.T) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("Chromium is not here to print")
	}
	page, err := HTML(sampleDone())
	if err != nil {
		t.Fatal(err)
	}
	for _, size := range []string{"A4", "letter"} {
		folder := t.TempDir()
		html, pdf := filepath.Join(folder, "page.html"), filepath.Join(folder, "page.pdf")
		// The paper is the reader's choice; here the choice is made by a rule.
		chosen := bytes.Replace(page, []byte("</style>"), []byte("@page{size:"+size+"}@page card{size:"+size+"}</style>"), 1)
		if err := os.WriteFile(html, chosen, 0o666); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
			"--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(folder, "profile"), "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+html)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		data, err := os.ReadFile(pdf)
		if err != nil {
			t.Fatal(err)
		}
		cards := 0
		for _, words := range strings.Split(strings.TrimSpace(pdfWords(t, data)), "\n") {
			if !strings.HasPrefix(words, "Run card: blank no. 14") {
				continue
			}
			cards++
			if !strings.Contains(words, "Work wet, wipe wet") || strings.Contains(words, "The forecast") || strings.Contains(words, "Take this to the machine") {
				t.Errorf("%s: the sheet of the card reads %s", size, words)
			}
		}
		if cards != 1 {
			t.Errorf("%s: the card begins on %d sheets", size, cards)
		}
	}
}
