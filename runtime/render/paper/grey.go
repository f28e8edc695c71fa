package paper

import (
	"bytes"
	"fmt"
	"image"
	"image/png"

	"codeberg.org/go-pdf/fpdf"
)

// Grey sets a picture of so many dots across and down, 96 of them to the inch where
// the text is wide enough. Dots are rows from the top down, 0 black and 255 white.
func (f *Flow) Grey(dots []byte, across, down int) {
	_, page := f.sheet.text()
	w := min(float64(across)*72/96, f.width, page*float64(across)/float64(down))
	h := w * float64(down) / float64(across)
	f.add(row{height: h, marks: []mark{grey{dots, across, down, f.left, w, h}}})
}

// grey is a picture in dots.
type grey struct {
	dots          []byte
	across, down  int
	x             float64
	width, height float64
}

func (g grey) box() box { return box{g.x, 0, g.width, g.height} }

func (g grey) print(p *press, x, y float64) {
	// The library writes pictures of one width in an order that is chance. So that
	// no two have one width, a picture gets white columns, which are not shown.
	wide := g.across
	for p.widths[wide] {
		wide++
	}
	p.widths[wide] = true
	padded := image.NewGray(image.Rect(0, 0, wide, g.down))
	for i := range padded.Pix {
		padded.Pix[i] = 0xff
	}
	for i := range g.down {
		copy(padded.Pix[i*padded.Stride:], g.dots[i*g.across:(i+1)*g.across])
	}
	var data bytes.Buffer
	if err := png.Encode(&data, padded); err != nil {
		p.pdf.SetError(err)
		return
	}
	name, how := fmt.Sprint("grey", wide), fpdf.ImageOptions{ImageType: "png"}
	p.pdf.RegisterImageOptionsReader(name, how, &data)
	p.pdf.ClipRect(x+g.x, y, g.width, g.height, false)
	p.pdf.ImageOptions(name, x+g.x, y, g.width*float64(wide)/float64(g.across), g.height, false, how, 0, "")
	p.pdf.ClipEnd()
}
