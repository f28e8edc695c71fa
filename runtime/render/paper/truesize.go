package paper

import (
	"lapwright/stdlib/document"
)

// Small sets the whole of a drawing as large as is handy.
func (f *Flow) Small(d document.Drawing) {
	const widest, tallest = 270, 230
	scale := min(min(widest, f.width)/d.Width, tallest/d.Height)
	f.add(row{height: d.Height * scale, marks: []mark{small{d, f.left, scale}}})
}

// small is the whole of a drawing, scaled: points to a millimetre.
type small struct {
	document.Drawing
	x     float64
	scale float64
}

func (s small) box() box { return box{s.x, 0, s.Width * s.scale, s.Height * s.scale} }

func (s small) print(p *press, x, y float64) {
	o := outliner{press: p, x: x + s.x, y: y, scale: s.scale}
	o.fill(s.Outlines)
	o.lines(s.Outlines)
	o.labels(s.Labels, max(document.LabelSize*s.scale, 7))
}

// TrueSize sets one of the sheets of a drawing, in the middle of a page of its
// own, a millimetre to the millimetre.
func (f *Flow) TrueSize(d document.Drawing, s document.Sheet) {
	f.add(row{height: document.SheetHeight * MM, marks: []mark{trueSize{d, s, f.sheet}}})
}

// trueSize is a sheet of a drawing on a page.
type trueSize struct {
	document.Drawing
	part document.Sheet
	page Sheet
}

// corner is the upper left one of the sheet, from the page's.
func (t trueSize) corner() (x, y float64) {
	return (t.page.Width - document.SheetWidth*MM) / 2, top
}

func (t trueSize) box() box {
	x, y := t.corner()
	return box{x - side, y - top, document.SheetWidth * MM, document.SheetHeight * MM}
}

func (t trueSize) print(p *press, _, _ float64) {
	x, y := t.corner()
	p.pdf.ClipRect(x, y, t.part.Width*MM, t.part.Height*MM, false)
	whole := outliner{press: p, x: x - t.part.X*MM, y: y - t.part.Y*MM, scale: MM}
	whole.lines(t.Outlines)
	whole.labels(t.Labels, document.LabelSize*MM)
	p.pdf.ClipEnd()
	about := outliner{press: p, x: x, y: y, scale: MM}
	about.lines(t.part.Outlines)
	for _, l := range t.part.Labels {
		// A long title is cut where it would leave the sheet.
		font := Font{Sans, document.LabelSize * MM, Ink}
		l.Text = cut(font, unseen.Replace(document.Line(l.Text)), 2*min(l.X, document.SheetWidth-l.X)*MM)
		about.labels([]document.Label{l}, font.Size)
	}
}

// An outliner prints outlines: their corner at x, y of the page, so many points to
// the millimetre.
type outliner struct {
	*press
	x, y, scale float64
}

func (o outliner) trace(outline document.Outline) {
	px, py := outline.X, outline.Y
	o.pdf.MoveTo(o.x+px*o.scale, o.y+py*o.scale)
	for _, s := range outline.Steps {
		if s.Radius == 0 {
			o.pdf.LineTo(o.x+s.X*o.scale, o.y+s.Y*o.scale)
		} else {
			cx, cy, from, to := s.Arc(px, py)
			r := max(s.Radius, -s.Radius)
			at := func(h handle) (float64, float64) {
				return o.x + (cx+r*h.X)*o.scale, o.y + (cy+r*h.Y)*o.scale
			}
			for _, b := range bezier(from, to-from) {
				x1, y1 := at(b[0])
				x2, y2 := at(b[1])
				x3, y3 := at(b[2])
				o.pdf.CurveBezierCubicTo(x1, y1, x2, y2, x3, y3)
			}
		}
		px, py = s.X, s.Y
	}
	if outline.Closed() {
		o.pdf.ClosePath()
	}
}

// fill washes what lies between the lines to be cut.
func (o outliner) fill(outlines []document.Outline) {
	any := false
	for _, outline := range outlines {
		if outline.Line == document.CutLine && outline.Closed() {
			o.trace(outline)
			any = true
		}
	}
	if any {
		o.colour(Wash)
		o.pdf.DrawPath("F*")
	}
}

func (o outliner) lines(outlines []document.Outline) {
	for _, outline := range outlines {
		switch outline.Line {
		case document.CutLine:
			o.stroke(Ink, 0.25*MM, nil, 1)
		case document.GuideLine:
			o.stroke(Soft, 0.15*MM, []float64{4, 3}, 1)
		default:
			o.stroke(Ink, 0.15*MM, nil, 1)
		}
		o.trace(outline)
		o.pdf.DrawPath("D")
	}
	o.pdf.SetDashPattern(nil, 0)
}

// labels prints labels with their middle in their place.
func (o outliner) labels(labels []document.Label, size float64) {
	font := Font{Sans, size, Ink}
	for _, l := range labels {
		words := unseen.Replace(document.Line(l.Text))
		o.words(font, o.x+l.X*o.scale-o.wide(font, words)/2, o.y+l.Y*o.scale+0.36*size, words)
	}
}
