// Package picture draws what a tester would see of a figure: the shadow behind a
// knife-edge, the bands of a grating, and a star in and out of focus.
//
// The pictures are idealised: the glass is a figure of revolution, evenly lit and
// cleanly ground at its edges, the air is still, and shadows and bands are drawn by
// rays alone, without diffraction. They are for knowing what to look for, not for
// measuring. They show the heights of a figure as they are most likely; what the
// readings leave open is seen by drawing the Samples of the figure as well.
//
// Left and right are those of someone who stands behind the knife and looks at the
// mirror.
package picture

import (
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/unit"
)

// A Picture is a square of greys and what it shows in words. It does not change.
type Picture struct {
	name, words, note string
	side              int
	grey              []byte
}

// Name returns what the picture is of, in a few words.
func (p *Picture) Name() string { return p.name }

// Words returns what the picture shows, in a sentence or two.
func (p *Picture) Words() string { return p.words }

// Note returns what is to be borne in mind of all pictures of its kind.
func (p *Picture) Note() string { return p.note }

// Side returns how many greys there are in a row, and how many rows.
func (p *Picture) Side() int { return p.side }

// At returns the grey in column x from the left of row y from the top, both counted
// from 0: 0 is black, 255 white. Outside the picture it is 0.
func (p *Picture) At(x, y int) int {
	if x < 0 || y < 0 || x >= p.side || y >= p.side {
		return 0
	}
	return int(p.grey[y*p.side+x])
}

// Grey returns all greys, row by row from the top. The slice is a copy.
func (p *Picture) Grey() []byte { return append([]byte(nil), p.grey...) }

// side is how many greys a row of a picture has.
const side = 192

// tone is the grey of a brightness from 0 to 1. An even half is the grey 127
// exactly, not one between two greys that rounding would have to choose from.
func tone(bright float64) byte {
	return byte(math.Round(254 * math.Min(math.Max(bright, 0), 1)))
}

// glass draws the face of a figure's mirror. Bright gives the brightness, 0 to 1, of
// the place x to the right of the middle and y above it, which lies at radius r, in
// metres; pixel is the width of one grey there.
func glass(f *figure.Figure, bright func(x, y, r, pixel float64) float64) []byte {
	hole, clear := float64(f.Mirror().Hole()), float64(f.Mirror().Clear())
	pixel := 2 * clear / (side - 4)
	grey := make([]byte, 0, side*side)
	for row := range side {
		y := (float64(side-1)/2 - float64(row)) * pixel
		for column := range side {
			x := (float64(column) - float64(side-1)/2) * pixel
			r := math.Hypot(x, y)
			// The share of the pixel that is glass.
			cover := math.Min(math.Max((clear-r)/pixel+0.5, 0), 1)
			if hole > 0 {
				cover *= math.Min(math.Max((r-hole)/pixel+0.5, 0), 1)
			}
			if cover > 0 {
				cover *= bright(x, y, r, pixel)
			}
			grey = append(grey, tone(cover))
		}
	}
	return grey
}

// across prints a length across the glass in the shop's unit.
func across(f *figure.Figure, l unit.Length) string {
	if f.Mirror().Shop() == unit.Inch {
		return l.Text(unit.Inch, 2)
	}
	return l.Text(f.Mirror().Shop(), 0)
}
