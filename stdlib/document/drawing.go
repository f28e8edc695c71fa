package document

import (
	"fmt"
	"math"
)

// A Drawing is outlines at true size, to be printed, cut out and laid on the
// work: a mask. Its places are in millimetres from its upper left corner, y
// downwards.
//
// A renderer that makes paper prints the Sheets at true size; one that makes a
// page for a screen may show the whole at any size besides.
type Drawing struct {
	Title    string    `json:"title"`
	Alt      string    `json:"alt"` // what it shows, in a sentence or two made from the data
	Width    float64   `json:"width"`
	Height   float64   `json:"height"`
	Outlines []Outline `json:"outlines"`
	Labels   []Label   `json:"labels,omitempty"`
	Notes    []string  `json:"notes,omitempty"`
}

// MaxDrawing is the greatest width and height of a drawing, in millimetres.
const MaxDrawing = 3000

// maxRadius is the greatest radius of an arc: beyond it an arc is straight.
const maxRadius = 1e6

// An Outline is a line from X, Y by way of steps. It is closed where the last
// step ends where it began.
type Outline struct {
	Line  LineKind `json:"line"`
	X     float64  `json:"x"`
	Y     float64  `json:"y"`
	Steps []Step   `json:"steps"`
}

// A Step goes on to X, Y: straight where Radius is 0, else on the shorter arc of a
// circle of that radius, clockwise as one looks at the paper where Radius is
// positive, the other way about where it is negative. Half a circle is the longest
// arc.
type Step struct {
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Radius float64 `json:"radius,omitempty"`
}

// LineKind says what a line of a drawing stands for.
type LineKind string

// The kinds of line.
const (
	CutLine   LineKind = "cut"   // cut along it; drawn full
	GuideLine LineKind = "guide" // to centre or to align by; drawn thin and dashed
	FineLine  LineKind = "fine"  // the bar on a sheet, and the marks where sheets meet; drawn thin and full
)

// A Label is words in a drawing with their middle at X, Y.
type Label struct {
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
	Text string  `json:"text"`
}

// LabelSize is the size of the type of labels, in millimetres.
const LabelSize = 3.5

// Arc returns the centre of the arc by which a step goes on from x, y, and the
// angles from which and to which it turns, in radians from the x axis towards y
// (clockwise on the paper). It is called for steps whose Radius is not 0.
func (s Step) Arc(x, y float64) (cx, cy, from, to float64) {
	half := math.Hypot(s.X-x, s.Y-y) / 2
	r := math.Max(math.Abs(s.Radius), half)
	// The centre lies on the right of the way where the arc turns clockwise.
	off := math.Copysign(math.Sqrt(r*r-half*half), s.Radius)
	cx, cy = (x+s.X)/2, (y+s.Y)/2
	if half > 0 {
		cx -= off * (s.Y - y) / (2 * half)
		cy += off * (s.X - x) / (2 * half)
	}
	from, to = math.Atan2(y-cy, x-cx), math.Atan2(s.Y-cy, s.X-cx)
	switch {
	case s.Radius > 0 && to < from:
		to += 2 * math.Pi
	case s.Radius < 0 && to > from:
		to -= 2 * math.Pi
	}
	return cx, cy, from, to
}

// Closed reports whether the outline ends where it began.
func (o Outline) Closed() bool {
	n := len(o.Steps)
	return n > 1 && o.Steps[n-1].X == o.X && o.Steps[n-1].Y == o.Y
}

// What a sheet holds and how sheets fit together, in millimetres. A sheet fits on
// A4 and on Letter with margins of 15 mm or more, so that a drawing is the same
// pages on both.
const (
	SheetWidth  = 180 // of paper that is printed on
	SheetHeight = 240
	Foot        = 16 // of that height, for the bar and the words below the drawing
	sheetLap    = 10 // by which neighbours show the same
	barLength   = 100
)

// A Sheet is what of a drawing is printed on one sheet of paper: a window on the
// drawing, and what is drawn about it, which is a bar to measure the print
// against, words, and marks where the next sheets lap over.
//
// Places of Outlines and Labels are in millimetres from the window's upper left
// corner; they may lie in the window or below it, within SheetWidth and
// SheetHeight.
type Sheet struct {
	X, Y, Width, Height float64 // the window's corner in the drawing, and its size
	Outlines            []Outline
	Labels              []Label
}

// Sheets cuts the drawing into sheets, row by row from the upper left. A drawing
// of no size has none.
func (d Drawing) Sheets() []Sheet {
	if !(d.Width > 0 && d.Height > 0) {
		return nil
	}
	columns, rows := tiles(d.Width, SheetWidth), tiles(d.Height, SheetHeight-Foot)
	var sheets []Sheet
	for row := range rows.count {
		for column := range columns.count {
			s := Sheet{X: columns.at(column), Y: rows.at(row), Width: columns.size, Height: rows.size}
			words := "one sheet"
			if n := columns.count * rows.count; n > 1 {
				words = fmt.Sprintf("sheet %d of %d: row %d, column %d", len(sheets)+1, n, row+1, column+1)
			}
			s.laps(columns, rows, column, row)
			s.bar(d.Title, words)
			sheets = append(sheets, s)
		}
	}
	return sheets
}

// Whole returns the drawing as one sheet, however large, for a cutter or a plotter.
func (d Drawing) Whole() Sheet {
	s := Sheet{Width: d.Width, Height: d.Height}
	s.bar(d.Title, "in one piece")
	return s
}

// A tiling is how one direction of a drawing is cut.
type tiling struct {
	count      int
	size, step float64
}

func (t tiling) at(i int) float64 { return float64(i) * t.step }

// tiles cuts a length into equal pieces of at most most, each lapping over the
// next.
func tiles(length, most float64) tiling {
	if length <= most {
		return tiling{1, length, length}
	}
	n := math.Ceil((length - sheetLap) / (most - sheetLap))
	step := (length - sheetLap) / n
	return tiling{int(n), step + sheetLap, step}
}

// laps draws the middle of the strips that the sheet shares with its neighbours,
// with crosses that fall together when the sheets lie right.
func (s *Sheet) laps(columns, rows tiling, column, row int) {
	var xs, ys []float64
	for _, x := range []struct {
		there bool
		at    float64
	}{{column > 0, sheetLap / 2}, {column < columns.count-1, columns.step + sheetLap/2}} {
		if x.there {
			xs = append(xs, x.at)
			s.straight(GuideLine, x.at, 0, x.at, s.Height)
		}
	}
	for _, y := range []struct {
		there bool
		at    float64
	}{{row > 0, sheetLap / 2}, {row < rows.count-1, rows.step + sheetLap/2}} {
		if y.there {
			ys = append(ys, y.at)
			s.straight(GuideLine, 0, y.at, s.Width, y.at)
		}
	}
	cross := func(x, y float64) {
		arm := min(3, s.Width/4, s.Height/4)
		s.straight(FineLine, x-arm, y, x+arm, y)
		s.straight(FineLine, x, y-arm, x, y+arm)
	}
	for _, x := range xs {
		for _, y := range []float64{s.Height / 4, 3 * s.Height / 4} {
			cross(x, y)
		}
	}
	for _, y := range ys {
		for _, x := range []float64{s.Width / 4, 3 * s.Width / 4} {
			cross(x, y)
		}
	}
}

// bar draws the bar to measure against, a tick each centimetre, and the words.
func (s *Sheet) bar(title, words string) {
	const left = 1 // so that no line lies half beside the sheet
	y := s.Height + 9
	s.straight(FineLine, left, y, left+barLength, y)
	for x := 0.0; x <= barLength; x += 10 {
		tick := 2.0
		if x == 0 || x == barLength {
			tick = 4
		}
		s.straight(FineLine, left+x, y-tick, left+x, y)
	}
	s.Labels = append(s.Labels, Label{left + barLength/2, s.Height + 13, fmt.Sprintf("This bar is %d mm long when printed at true size.", barLength)})
	at := math.Max(s.Width/2, barLength/2) // the narrowest sheet is as wide as the bar
	if title != "" {
		words = title + ", " + words
	}
	s.Labels = append(s.Labels, Label{at, s.Height + 3, words})
}

func (s *Sheet) straight(line LineKind, x1, y1, x2, y2 float64) {
	s.Outlines = append(s.Outlines, Outline{line, x1, y1, []Step{{X: x2, Y: y2}}})
}

func (d Drawing) check() error {
	if !finite(d.Width, d.Height) || d.Width < 0 || d.Height < 0 || d.Width > MaxDrawing || d.Height > MaxDrawing {
		return fmt.Errorf("document: drawing %q is %v by %v mm; the most is %d", d.Title, d.Width, d.Height, MaxDrawing)
	}
	inside := func(x, y float64) bool { return x >= 0 && x <= d.Width && y >= 0 && y <= d.Height }
	for i, o := range d.Outlines {
		switch o.Line {
		case CutLine, GuideLine, FineLine:
		default:
			return fmt.Errorf("document: outline %d of drawing %q is of no kind of line: %q", i, d.Title, o.Line)
		}
		if !inside(o.X, o.Y) {
			return fmt.Errorf("document: outline %d of drawing %q begins outside it", i, d.Title)
		}
		for _, s := range o.Steps {
			if !inside(s.X, s.Y) || !(math.Abs(s.Radius) <= maxRadius) {
				return fmt.Errorf("document: outline %d of drawing %q goes outside it", i, d.Title)
			}
		}
	}
	for _, l := range d.Labels {
		if !inside(l.X, l.Y) {
			return fmt.Errorf("document: label %q of drawing %q lies outside it", l.Text, d.Title)
		}
	}
	return nil
}

// drawingText says what a drawing shows, how large it is, and what paper it takes.
func drawingText(d Drawing, columns int) string {
	text := ""
	if d.Title != "" {
		text = Wrap(d.Title, "", "  ", columns)
	}
	if d.Alt != "" {
		text += Wrap(d.Alt, "", "", columns)
	}
	if size := d.Paper(); size != "" {
		text += Wrap(size, "", "", columns)
	}
	for _, note := range d.Notes {
		text += Wrap(note, "", "", columns)
	}
	return text
}

// Paper says in a sentence how large the drawing is and how it is printed; "" for
// a drawing of no size.
func (d Drawing) Paper() string {
	n := len(d.Sheets())
	sheets := fmt.Sprintf("%d sheets of A4 or Letter, which lap over by %d mm", n, sheetLap)
	switch n {
	case 0:
		return ""
	case 1:
		sheets = "one sheet of A4 or Letter"
	}
	return fmt.Sprintf("%.4g by %.4g mm at true size: %s. Print the page at its actual size, not fitted to the paper, and hold a ruler to the %d mm bar.",
		d.Width, d.Height, sheets, barLength)
}
