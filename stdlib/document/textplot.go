package document

import (
	"math"
	"strings"
)

// plotRows is the height of a drawing in characters, without its axis.
const plotRows = 17

// signs are the characters curves are drawn with, by role. Curves of a role
// that is there already, and of none, take the next of spare.
var signs = map[Role]rune{Before: 'o', After: '+', Work: 'x', Measured: '●', Target: '='}

const spare = "*#%@&vnsz"

// plotText draws the plot in characters: what lies above the curves, the curves
// over their bands, the axis, what lies below it, and the names of it all.
func plotText(p Plot, columns int) string {
	xLow, xHigh, yLow, yHigh := p.Bounds()
	yAt, yNames := Ticks(yLow, yHigh, 6)
	left := 1
	for _, name := range yNames {
		left = max(left, Width(name))
	}
	g := newGrid(xLow, xHigh, yLow, yHigh, min(columns, 100)-left-3)
	curveSigns := assignSigns(p.Curves)
	if yLow < 0 && yHigh > 0 {
		g.fillRow(g.row(0), '┄')
	}
	for i, c := range p.Curves {
		if c.Role != Measured {
			g.band(c, bandSign(p.Curves, i))
		}
	}
	for i, c := range p.Curves {
		if c.Role == Measured {
			g.points(c, curveSigns[i])
		} else {
			g.line(c, curveSigns[i])
		}
	}

	var b strings.Builder
	if p.Title != "" {
		b.WriteString(Wrap(p.Title, "", "", columns))
	}
	margin := strings.Repeat(" ", left+2)
	put := func(s string) { b.WriteString(strings.TrimRight(s, " ") + "\n") }
	for _, lane := range Lanes(p.Above, 0) {
		put(margin + g.spans(lane, '╞', '═', '╡', '╪'))
	}
	if caption := Line(p.Y.Caption()); caption != "" {
		put(caption)
	}
	labels := make(map[int]string)
	for i, at := range yAt {
		labels[g.row(at)] = yNames[i]
	}
	for r, row := range g.cells {
		name, ticked := labels[r]
		edge := "│"
		if ticked {
			edge = "┤"
		}
		put(padLeft(name, left) + " " + edge + string(row))
	}
	xAt, xNames := Ticks(xLow, xHigh, max(2, g.width/9))
	axis, numbers := []rune(strings.Repeat("─", g.width)), newLine(g.width)
	for i, at := range xAt {
		c := g.column(at)
		axis[c] = '┬'
		numbers.centre(xNames[i], c)
	}
	put(strings.Repeat(" ", left+1) + "└" + string(axis))
	put(margin + numbers.String())
	if len(p.Marks) > 0 {
		put(margin + g.marks(p.Marks))
	}
	for _, lane := range Lanes(p.Below, 0) {
		put(margin + g.spans(lane, '├', '─', '┤', '┼'))
	}
	if caption := Line(p.X.Caption()); caption != "" {
		put(margin + padLeft(caption, g.width))
	}
	b.WriteString(legend(p.Curves, curveSigns, columns))
	if p.Alt != "" {
		b.WriteString(Wrap(p.Alt, "", "", columns))
	}
	writeNotes(&b, p.Notes, columns)
	return b.String()
}

func assignSigns(curves []Curve) []rune {
	taken := make(map[rune]bool)
	rest := []rune(spare)
	out := make([]rune, len(curves))
	for i, c := range curves {
		sign, ok := signs[c.Role]
		if !ok || taken[sign] {
			sign = '*'
			if len(rest) > 0 {
				sign, rest = rest[0], rest[1:]
			}
		}
		taken[sign] = true
		out[i] = sign
	}
	return out
}

// bandSign is the shade of a curve's band: light for the first that has one.
func bandSign(curves []Curve, i int) rune {
	shades := []rune("░▒")
	n := 0
	for _, c := range curves[:i] {
		if banded(c) {
			n++
		}
	}
	return shades[min(n, len(shades)-1)]
}

func banded(c Curve) bool {
	return c.Role != Measured && len(c.X) > 0 && len(c.Low) == len(c.X) && len(c.High) == len(c.X)
}

func legend(curves []Curve, signs []rune, columns int) string {
	var items []string
	for i, c := range curves {
		item := string(signs[i]) + "\u00a0" + strings.ReplaceAll(Line(c.Name), " ", "\u00a0")
		if banded(c) {
			band := Line(c.Band)
			if band == "" {
				band = "band"
			}
			item += "\u00a0(" + string(bandSign(curves, i)) + "\u00a0" + strings.ReplaceAll(band, " ", "\u00a0") + ")"
		}
		items = append(items, item)
	}
	if len(items) == 0 {
		return ""
	}
	return strings.ReplaceAll(Wrap(strings.Join(items, " \u00a0"), "", "", columns), "\u00a0", " ")
}

// A grid is a field of characters that stands for the plane of a plot.
type grid struct {
	xLow, xHigh, yLow, yHigh float64
	width                    int
	cells                    [][]rune
}

func newGrid(xLow, xHigh, yLow, yHigh float64, width int) *grid {
	g := &grid{xLow, xHigh, yLow, yHigh, width, make([][]rune, plotRows)}
	for r := range g.cells {
		g.cells[r] = []rune(strings.Repeat(" ", width))
	}
	return g
}

// x and y turn values into places on the grid, in characters, which can lie
// outside it.
func (g *grid) x(v float64) float64 {
	return (v - g.xLow) / (g.xHigh - g.xLow) * float64(g.width-1)
}
func (g *grid) y(v float64) float64 {
	return (g.yHigh - v) / (g.yHigh - g.yLow) * float64(plotRows-1)
}

// column and row are the nearest character within the grid.
func (g *grid) column(v float64) int { return within(g.x(v), g.width) }
func (g *grid) row(v float64) int    { return within(g.y(v), plotRows) }

func within(at float64, n int) int {
	if math.IsNaN(at) {
		return 0
	}
	return int(math.Round(min(max(at, 0), float64(n-1))))
}

func (g *grid) set(x, y float64, sign rune) {
	c, r := math.Round(x), math.Round(y)
	if c >= 0 && c < float64(g.width) && r >= 0 && r < plotRows {
		g.cells[int(r)][int(c)] = sign
	}
}

func (g *grid) fillRow(r int, sign rune) {
	for c := range g.cells[r] {
		g.cells[r][c] = sign
	}
}

// line draws the curve as steps no longer than a character.
func (g *grid) line(c Curve, sign rune) {
	for i := range min(len(c.X), len(c.Y)) {
		x1, y1 := g.x(c.X[i]), g.y(c.Y[i])
		if i == 0 || !finite(x1, y1) {
			g.set(x1, y1, sign)
			continue
		}
		x0, y0 := g.x(c.X[i-1]), g.y(c.Y[i-1])
		if !finite(x0, y0) {
			g.set(x1, y1, sign)
			continue
		}
		steps := math.Ceil(max(math.Abs(x1-x0), math.Abs(y1-y0), 1))
		steps = min(steps, 1000)
		for s := 0.0; s <= steps; s++ {
			g.set(x0+(x1-x0)*s/steps, y0+(y1-y0)*s/steps, sign)
		}
	}
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// points draws each point with the bar of its error.
func (g *grid) points(c Curve, sign rune) {
	for i := range min(len(c.X), len(c.Y)) {
		if i < len(c.Low) && i < len(c.High) && finite(c.Low[i], c.High[i]) {
			for r := g.row(c.High[i]); r <= g.row(c.Low[i]); r++ {
				g.set(g.x(c.X[i]), float64(r), '│')
			}
		}
		g.set(g.x(c.X[i]), g.y(c.Y[i]), sign)
	}
}

// band shades what lies between the curve's Low and High.
func (g *grid) band(c Curve, sign rune) {
	if !banded(c) {
		return
	}
	for i := 1; i < len(c.X); i++ {
		x0, x1 := g.x(c.X[i-1]), g.x(c.X[i])
		if !finite(x0, x1, c.Low[i-1], c.Low[i], c.High[i-1], c.High[i]) || x1 < x0 {
			continue
		}
		for col := max(0, math.Ceil(x0-0.5)); col <= min(x1+0.5, float64(g.width-1)); col++ {
			t := 0.0
			if x1 > x0 {
				t = min(max((col-x0)/(x1-x0), 0), 1)
			}
			top := g.row(c.High[i-1] + t*(c.High[i]-c.High[i-1]))
			foot := g.row(c.Low[i-1] + t*(c.Low[i]-c.Low[i-1]))
			for r := top; r <= foot; r++ {
				g.set(col, float64(r), sign)
			}
		}
	}
}

// spans draws stretches of the x axis with their names. An end outside the grid
// is left open.
func (g *grid) spans(lane []Span, open, along, shut, both rune) string {
	line := newLine(g.width)
	for _, s := range lane {
		from, to := g.column(s.From), g.column(s.To)
		if g.x(s.To) < 0 || g.x(s.From) > float64(g.width-1) {
			continue
		}
		shared := line[from] == shut // with the neighbour to the left
		for c := from; c <= to; c++ {
			line[c] = along
		}
		if shared {
			line[from] = both
		} else if g.x(s.From) > -0.5 {
			line[from] = open
		}
		if g.x(s.To) < float64(g.width)-0.5 {
			line[to] = shut
		}
		name, room := []rune(Line(s.Name)), to-from-1
		if len(name) > room {
			name = name[:max(0, room)]
		} else if len(name)+2 <= room {
			name = []rune(" " + string(name) + " ")
		}
		line.centre(string(name), (from+to)/2)
	}
	return line.String()
}

// marks draws an arrow and a name at each place.
func (g *grid) marks(marks []Mark) string {
	line := newLine(g.width)
	for _, m := range marks {
		if x := g.x(m.At); x < -0.5 || x > float64(g.width)-0.5 {
			continue
		}
		c := g.column(m.At)
		text := []rune("▲ " + Line(m.Name))
		if c+len(text) > g.width { // no room to the right
			text = []rune(Line(m.Name) + " ▲")
			c -= len(text) - 1
		}
		for i, sign := range text {
			if c+i >= 0 && c+i < g.width {
				line[c+i] = sign
			}
		}
	}
	return line.String()
}

// A textLine is a row of characters to write on.
type textLine []rune

func newLine(width int) textLine { return textLine(strings.Repeat(" ", width)) }

func (l textLine) String() string { return strings.TrimRight(string(l), " ") }

// centre writes s about place c, moved in where it would leave the line. It
// writes nothing where that would run into something written before.
func (l textLine) centre(s string, c int) {
	text := []rune(s)
	at := min(max(0, c-len(text)/2), max(0, len(l)-len(text)))
	for i, sign := range text {
		if at+i < len(l) {
			l[at+i] = sign
		}
	}
}
