package draw

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"

	"lapwright/stdlib/document"
)

// Drawing draws the whole of d as one svg element for a screen, as wide as the
// page has room for.
func Drawing(d document.Drawing) string {
	if !(d.Width > 0 && d.Height > 0) {
		return ""
	}
	// Labels so large that they can be read where the drawing is as wide as a page.
	size := math.Max(document.LabelSize, math.Max(d.Width, d.Height)/40)
	return fmt.Sprintf(`<svg class="dw" viewBox="0 0 %s %s" font-size="%s">%s%s</svg>`, mm(d.Width), mm(d.Height), mm(size), outlines(d.Outlines), labels(d.Labels, size))
}

// Sheets draws each sheet of d as one svg element at true size, for paper.
func Sheets(d document.Drawing) []string {
	var all []string
	for _, s := range d.Sheets() {
		all = append(all, fmt.Sprintf(
			`<svg class="dw sheet" width="%dmm" height="%dmm" viewBox="0 0 %d %d" font-size="%v"><svg width="%s" height="%s" viewBox="%s %s %s %s">%s%s</svg>%s%s</svg>`,
			document.SheetWidth, document.SheetHeight, document.SheetWidth, document.SheetHeight, document.LabelSize,
			mm(s.Width), mm(s.Height), mm(s.X), mm(s.Y), mm(s.Width), mm(s.Height),
			outlines(d.Outlines), labels(d.Labels, document.LabelSize), outlines(s.Outlines), labels(s.Labels, document.LabelSize)))
	}
	return all
}

// Whole draws drawings in one piece each, at true size and one below the other, as an
// SVG file for a cutter, a plotter or a large sheet of paper. It needs no style sheet,
// which programs for cutters do not read.
func Whole(list []document.Drawing) string {
	const gap = 10 // about and between them
	var parts strings.Builder
	wide, y := 0.0, float64(gap)
	for _, d := range list {
		s := d.Whole()
		lines := outlines(d.Outlines) + labels(d.Labels, document.LabelSize) + outlines(s.Outlines) + labels(s.Labels, document.LabelSize)
		fmt.Fprintf(&parts, "<g transform=\"translate(%d %s)\">%s</g>\n", gap, mm(y), plain.Replace(lines))
		wide = math.Max(wide, math.Max(s.Width, document.SheetWidth))
		y += s.Height + document.Foot + gap
	}
	w, h := mm(wide+2*gap), mm(y)
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" fill="none" stroke="#000" font-family="sans-serif" font-size="%v" text-anchor="middle">`+
		"\n%s</svg>\n", w, h, w, h, document.LabelSize, parts.String())
}

// plain puts the look of lines and labels in place of their classes.
var plain = strings.NewReplacer(
	`class="cu"`, `stroke-width="0.25"`,
	`class="gu"`, `stroke-width="0.15" stroke-dasharray="1.4 1"`,
	`class="fi"`, `stroke-width="0.15"`,
	`<text `, `<text fill="#000" stroke="none" `)

// outlines writes the lines of one kind as one path.
func outlines(list []document.Outline) string {
	var b strings.Builder
	for _, kind := range []document.LineKind{document.CutLine, document.GuideLine, document.FineLine} {
		var d strings.Builder
		for _, o := range list {
			if o.Line != kind {
				continue
			}
			fmt.Fprintf(&d, "M%s %s", mm(o.X), mm(o.Y))
			for _, s := range o.Steps {
				if s.Radius == 0 {
					fmt.Fprintf(&d, "L%s %s", mm(s.X), mm(s.Y))
					continue
				}
				sweep := 0
				if s.Radius > 0 {
					sweep = 1
				}
				r := mm(math.Abs(s.Radius))
				fmt.Fprintf(&d, "A%s %s 0 0 %d %s %s", r, r, sweep, mm(s.X), mm(s.Y))
			}
			if o.Closed() {
				d.WriteByte('z')
			}
		}
		if d.Len() > 0 {
			fmt.Fprintf(&b, `<path class="%s" d="%s"/>`, lineClass[kind], d.String())
		}
	}
	return b.String()
}

var lineClass = map[document.LineKind]string{document.CutLine: "cu", document.GuideLine: "gu", document.FineLine: "fi"}

func labels(list []document.Label, size float64) string {
	var b strings.Builder
	for _, l := range list {
		fmt.Fprintf(&b, `<text x="%s" y="%s">%s</text>`, mm(l.X), mm(l.Y+0.36*size), html.EscapeString(document.Line(l.Text)))
	}
	return b.String()
}

// mm writes a length to a hundredth of a millimetre, which is finer than any
// printer.
func mm(v float64) string {
	s := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 2, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
