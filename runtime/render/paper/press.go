package paper

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/vg"

	"lapwright/runtime/render/draw"
	"lapwright/stdlib/document"
)

// A press prints pages as PDF.
type press struct {
	pdf     *fpdf.Fpdf
	sheet   Sheet
	founts  [faces]bool    // those that are in the PDF
	pageOf  map[string]int // of anchors, from 1
	links   map[string]int // to anchors
	widths  map[int]bool   // of the pictures printed so far
	missing map[rune]bool  // not looked at: all was noted when the flow was set
}

// PDF prints the flow. The title is what the document is listed under; foot stands
// at the foot of every page, beside the page's number.
func (f *Flow) PDF(title, foot string) ([]byte, error) {
	pages := f.pages()
	if len(pages) == 0 {
		pages = [][]placed{nil}
	}
	p := &press{
		pdf: fpdf.NewCustom(&fpdf.InitType{
			UnitStr: "pt",
			Size:    fpdf.SizeType{Wd: f.sheet.Width, Ht: f.sheet.Height},
		}),
		sheet: f.sheet, pageOf: make(map[string]int), links: make(map[string]int), missing: make(map[rune]bool),
		widths: make(map[int]bool),
	}
	// The form wants dates. A fixed one keeps the bytes the same.
	date := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	p.pdf.SetCreationDate(date)
	p.pdf.SetModificationDate(date)
	p.pdf.SetCatalogSort(true)
	p.pdf.SetAutoPageBreak(false, 0)
	p.pdf.SetTitle(document.Line(title), true)
	p.pdf.SetCreator("lapwright", true)
	p.pdf.SetProducer("", true)
	p.pdf.SetLang("en")
	for i, page := range pages {
		for _, r := range page {
			for _, m := range r.marks {
				if a, ok := m.(anchor); ok {
					p.pageOf[a.name] = i + 1
					p.links[a.name] = p.pdf.AddLink()
				}
			}
		}
	}
	for i, page := range pages {
		p.pdf.AddPage()
		for j, r := range page {
			for _, s := range r.sides {
				up := 0.0
				if s.joined && j > 0 {
					up = r.y - page[j-1].y - page[j-1].height
				}
				rule{s.x, -up, s.width, r.height + up, s.colour}.print(p, side, top+r.y)
			}
			for _, m := range r.marks {
				m.print(p, side, top+r.y)
			}
		}
		p.foot(foot, fmt.Sprintf("%d of %d", i+1, len(pages)))
	}
	var out bytes.Buffer
	err := p.pdf.Output(&out)
	return out.Bytes(), err
}

// foot prints the line at the foot of a page.
func (p *press) foot(words, number string) {
	font := Font{Sans, 7.5, Soft}
	y := p.sheet.Height - bottom + 26
	wide := p.sheet.Width - 2*side
	p.colour(Faint)
	p.pdf.Rect(side, y-12, wide, 0.5, "F")
	p.words(font, p.sheet.Width-side-font.width(number), y, number)
	p.words(font, side, y, cut(font, unseen.Replace(document.Line(words)), wide-60))
}

// cut shortens words to a width.
func cut(font Font, s string, width float64) string {
	total := 0.0
	for i, c := range s {
		a, ok := founts[font.Face].advance(c)
		if !ok {
			a = 1.1 // the widest there is in the face for signs
		}
		if total += a * font.Size; total > width {
			return s[:i] + "…"
		}
	}
	return s
}

func (p *press) colour(c Colour) {
	p.pdf.SetFillColor(int(c.R), int(c.G), int(c.B))
}

// words prints words, in the face for signs where their own lacks them.
func (p *press) words(font Font, x, y float64, s string) {
	p.pdf.SetTextColor(int(font.Colour.R), int(font.Colour.G), int(font.Colour.B))
	for _, part := range font.stretches(s, p.missing) {
		fount := founts[part.face]
		if !p.founts[part.face] {
			p.founts[part.face] = true
			p.pdf.AddUTF8FontFromBytes(fount.name, "", fount.ttf)
		}
		p.pdf.SetFont(fount.name, "", font.Size)
		p.pdf.Text(x, y, part.text)
		x += Font{Face: part.face, Size: font.Size}.width(part.text)
	}
}

// wide is the width of words as they are printed.
func (p *press) wide(font Font, s string) float64 {
	width := 0.0
	for _, part := range font.stretches(s, p.missing) {
		width += Font{Face: part.face, Size: font.Size}.width(part.text)
	}
	return width
}

func (t text) print(p *press, x, y float64) {
	x += t.x + t.fragment.x
	y += t.y
	p.words(t.Font, x, y, t.text)
	if t.link == "" {
		return
	}
	p.colour(t.Colour)
	p.pdf.Rect(x, y+0.12*t.Size, t.width, 0.4, "F")
	if name, within := strings.CutPrefix(t.link, "#"); !within {
		p.pdf.LinkString(x, y-0.8*t.Size, t.width, t.Size, t.link)
	} else if link, ok := p.links[name]; ok {
		p.pdf.Link(x, y-0.8*t.Size, t.width, t.Size, link)
	}
}

func (r rule) print(p *press, x, y float64) {
	p.colour(r.colour)
	p.pdf.Rect(x+r.x, y+r.y, r.width, r.height, "F")
}

func (a anchor) print(p *press, x, y float64) {
	p.pdf.SetLink(p.links[a.name], y, -1)
	if a.title != "" {
		p.pdf.Bookmark(unseen.Replace(document.Line(a.title)), a.level, y)
	}
}

func (n pageOf) print(p *press, x, y float64) {
	at, ok := p.pageOf[n.name]
	if !ok {
		return
	}
	number := strconv.Itoa(at)
	w := n.font.width(number)
	p.words(n.font, x+n.right-w, y+n.y, number)
	p.pdf.Link(x, y+n.y-0.8*n.font.Size, n.right, n.font.Size, p.links[n.name])
	if from, to := x+n.from+5, x+n.right-w-5; to > from {
		p.stroke(Faint, 0.7, []float64{0.7, 3}, 1)
		p.pdf.Line(from, y+n.y, to, y+n.y)
	}
}

// stroke sets how lines are drawn. Lengths are multiplied by scale.
func (p *press) stroke(c Colour, width float64, dash []float64, scale float64) {
	p.pdf.SetDrawColor(int(c.R), int(c.G), int(c.B))
	p.pdf.SetLineWidth(width * scale)
	scaled := make([]float64, len(dash))
	for i, d := range dash {
		scaled[i] = d * scale
	}
	p.pdf.SetDashPattern(scaled, 0)
}

func (d picture) print(p *press, x, y float64) {
	scale := d.width / d.Size.Width
	at := func(q vg.Point) (float64, float64) {
		return x + d.x + within(float64(q.X), d.Size.Width)*scale, y + d.y + d.height - within(float64(q.Y), d.Size.Height)*scale
	}
	p.pdf.ClipRect(x+d.x, y+d.y, d.width, d.height, false)
	p.pdf.SetLineJoinStyle("round")
	for _, m := range d.Marks {
		paint := draw.PaintOf(m.Ink)
		if m.Words != "" {
			font := Font{Sans, draw.FontSize * scale, named[paint.Colour]}
			wx, wy := at(m.At)
			width := p.wide(font, m.Words)
			switch m.Align {
			case draw.Middle:
				wx -= width / 2
			case draw.Right:
				wx -= width
			}
			p.words(font, wx, wy, m.Words)
			continue
		}
		p.path(m.Path, at, scale)
		how := ""
		if paint.Fill != "" {
			p.colour(named[paint.Fill])
			how = "F"
			if paint.Opacity > 0 {
				p.pdf.SetAlpha(paint.Opacity, "Normal")
			}
		}
		if paint.Colour != "" {
			p.stroke(named[paint.Colour], paint.Width, paint.Dash, scale)
			how += "D"
		}
		p.pdf.DrawPath(how)
		if paint.Opacity > 0 {
			p.pdf.SetAlpha(1, "Normal")
		}
	}
	p.pdf.SetDashPattern(nil, 0)
	p.pdf.ClipEnd()
}

// within brings a place that lies absurdly far outside a drawing nearer.
func within(v, size float64) float64 {
	if !(v > -10*size) {
		return -10 * size
	}
	return min(v, 10*size)
}

// path lays a path, its arcs as pieces of curves.
func (p *press) path(path vg.Path, at func(vg.Point) (float64, float64), scale float64) {
	for _, c := range path {
		switch c.Type {
		case vg.MoveComp:
			p.pdf.MoveTo(at(c.Pos))
		case vg.LineComp:
			p.pdf.LineTo(at(c.Pos))
		case vg.ArcComp:
			p.arc(c, at, scale)
		case vg.CloseComp:
			p.pdf.ClosePath()
		}
	}
}

// arc lays an arc.
func (p *press) arc(c vg.PathComp, at func(vg.Point) (float64, float64), scale float64) {
	cx, cy := at(c.Pos)
	r := float64(c.Radius) * scale
	for _, b := range bezier(c.Start, c.Angle) {
		// y is downwards on the page.
		p.pdf.CurveBezierCubicTo(cx+r*b[0].X, cy-r*b[0].Y, cx+r*b[1].X, cy-r*b[1].Y, cx+r*b[2].X, cy-r*b[2].Y)
	}
}

// A handle is a point that a curve is drawn by.
type handle struct{ X, Y float64 }

// bezier returns an arc of the unit circle as cubic Bézier curves of at most a
// quarter turn: of each its two handles, which stand off its ends by 4/3·tan(a/4)
// along the tangent for an angle a, and its end. They are out by less than 0.03 %
// of the radius.
func bezier(start, angle float64) [][3]handle {
	pieces := math.Ceil(math.Abs(angle)/(math.Pi/2) - 1e-9)
	step := angle / max(pieces, 1)
	off := 4.0 / 3 * math.Tan(step/4)
	var all [][3]handle
	for i := range int(pieces) {
		sa, ca := math.Sincos(start + float64(i)*step)
		sb, cb := math.Sincos(start + float64(i+1)*step)
		all = append(all, [3]handle{{ca - off*sa, sa + off*ca}, {cb + off*sb, sb - off*cb}, {cb, sb}})
	}
	return all
}
