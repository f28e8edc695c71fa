package paper

import (
	"strings"
	"sync"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/liberation/liberationmonobold"
	"codeberg.org/go-fonts/liberation/liberationmonoregular"
	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-fonts/liberation/liberationserifbold"
	"codeberg.org/go-fonts/liberation/liberationserifbolditalic"
	"codeberg.org/go-fonts/liberation/liberationserifitalic"
	"codeberg.org/go-fonts/liberation/liberationserifregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// A Face is a cut of type.
type Face int

// The faces. Signs serves for characters that the others lack.
const (
	Serif Face = iota
	SerifBold
	SerifItalic
	SerifBoldItalic
	Sans
	SansBold
	Mono
	MonoBold
	Signs
	faces = iota
)

// A fount is what is known of a face.
type fount struct {
	name string
	ttf  []byte
	// load reads the file the first time it is asked for.
	load func() *sfnt.Font

	mu       sync.Mutex
	advances map[rune]float64 // over the size; below 0 for a character that is not there
}

// founts holds the faces. The files are those of the Liberation and DejaVu
// families, both free to embed (SIL Open Font License; Bitstream Vera licence).
var founts = [faces]*fount{
	Serif:           newFount("serif", liberationserifregular.TTF),
	SerifBold:       newFount("serifbold", liberationserifbold.TTF),
	SerifItalic:     newFount("serifitalic", liberationserifitalic.TTF),
	SerifBoldItalic: newFount("serifbolditalic", liberationserifbolditalic.TTF),
	Sans:            newFount("sans", liberationsansregular.TTF),
	SansBold:        newFount("sansbold", liberationsansbold.TTF),
	Mono:            newFount("mono", liberationmonoregular.TTF),
	MonoBold:        newFount("monobold", liberationmonobold.TTF),
	Signs:           newFount("signs", dejavusans.TTF),
}

func newFount(name string, ttf []byte) *fount {
	f := &fount{name: name, ttf: ttf, advances: make(map[rune]float64)}
	f.load = sync.OnceValue(func() *sfnt.Font {
		parsed, err := sfnt.Parse(ttf)
		if err != nil {
			panic(err) // the file is part of the program
		}
		return parsed
	})
	return f
}

// advance returns the width of a character over the size of the type, and whether
// the face has it. Only characters of the basic plane are looked for: the PDF's
// encoding has no others.
func (f *fount) advance(c rune) (float64, bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	a, known := f.advances[c]
	if !known {
		a = f.measure(c)
		f.advances[c] = a
	}
	return max(a, 0), a >= 0
}

func (f *fount) measure(c rune) float64 {
	if c > 0xffff {
		return -1
	}
	parsed := f.load()
	var buf sfnt.Buffer
	i, err := parsed.GlyphIndex(&buf, c)
	if err != nil || i == 0 {
		return -1
	}
	units := parsed.UnitsPerEm()
	a, err := parsed.GlyphAdvance(&buf, i, fixed.I(int(units)), font.HintingNone)
	if err != nil {
		return -1
	}
	return float64(a) / 64 / float64(units)
}

// A Font is a face at a size in a colour. Sizes are in points.
type Font struct {
	Face   Face
	Size   float64
	Colour Colour
}

// width returns the width of s, whose characters the face has.
func (f Font) width(s string) float64 {
	sum := 0.0
	for _, c := range s {
		a, _ := founts[f.Face].advance(c)
		sum += a
	}
	return sum * f.Size
}

// A stretch is text that one face has all of.
type stretch struct {
	face Face
	text string
}

// stretches cuts a text where its face lacks characters. What no face has is
// printed as U+FFFD and noted in missing.
func (f Font) stretches(s string, missing map[rune]bool) []stretch {
	var all []stretch
	for _, c := range s {
		face := f.Face
		if _, ok := founts[face].advance(c); !ok {
			face = Signs
			if _, ok := founts[face].advance(c); !ok {
				missing[c] = true
				c = '\ufffd'
			}
		}
		if n := len(all); n > 0 && all[n-1].face == face {
			all[n-1].text += string(c)
		} else {
			all = append(all, stretch{face, string(c)})
		}
	}
	return all
}

// unseen are characters that only tell a program where to break or join.
var unseen = strings.NewReplacer("\u00ad", "", "\u200b", "", "\u200c", "", "\u200d", "", "\ufeff", "")

// A Colour is red, green and blue.
type Colour struct{ R, G, B uint8 }

// The colours of print. Words in any of them are dark enough to be read when
// printed grey.
var (
	Ink    = Colour{0x20, 0x26, 0x2a}
	Soft   = Colour{0x5a, 0x61, 0x66}
	Faint  = Colour{0xd2, 0xcc, 0xc0}
	Accent = Colour{0xa6, 0x3c, 0x1b}
	Deep   = Colour{0x2b, 0x5d, 0x66}
	Good   = Colour{0x2f, 0x6b, 0x3a}
	Wash   = Colour{0xf4, 0xf1, 0xea}
	White  = Colour{0xff, 0xff, 0xff}
)

// named are the colours by the names that drawings give them.
var named = map[string]Colour{"ink": Ink, "soft": Soft, "faint": Faint, "accent": Accent, "deep": Deep, "page": White}
