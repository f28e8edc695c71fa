package paper

import (
	"lapwright/runtime/render/draw"
)

// A mark is something printed in a row. Places are from the left margin and the
// row's top, downwards.
type mark interface {
	// box returns what the mark covers.
	box() box
	print(p *press, x, y float64)
}

// A box is a rectangle: its upper left corner and its size.
type box struct{ x, y, width, height float64 }

// text is a fragment of a line that begins at x and stands on y.
type text struct {
	fragment
	x, y float64
}

func (t text) box() box {
	return box{t.x + t.fragment.x, t.y - 0.76*t.Size, t.width, t.Size}
}

// rule is a rectangle of one colour: a line, if it is thin.
type rule struct {
	x, y, width, height float64
	colour              Colour
}

func (r rule) box() box { return box{r.x, r.y, r.width, r.height} }

// anchor is a place that can be led to.
type anchor struct {
	name, title string
	level       int
}

func (anchor) box() box { return box{} }

// pageOf is the number of the page of an anchor, set to the left of right on y,
// with a dotted line from where the words before it end.
type pageOf struct {
	name  string
	font  Font
	right float64
	y     float64
	from  float64
}

func (n pageOf) box() box {
	return box{n.from, n.y - 0.76*n.font.Size, n.right - n.from, n.font.Size}
}

// picture is a drawing scaled to a width and height.
type picture struct {
	draw.Canvas
	x, y, width, height float64
}

func (d picture) box() box { return box{d.x, d.y, d.width, d.height} }

// shifted is a mark moved down.
type shifted struct {
	mark
	by float64
}

func (s shifted) box() box {
	b := s.mark.box()
	b.y += s.by
	return b
}

func (s shifted) print(p *press, x, y float64) { s.mark.print(p, x, y+s.by) }
