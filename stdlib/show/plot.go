package show

import (
	"fmt"
	"math"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// A Curve is a line through points. Where Low and High are given a band is drawn
// between them. All its slices have the length of X.
type Curve struct {
	Name      string
	X, Y      []float64
	Low, High []float64
	Points    bool // drawn as points with error bars in place of a line with a band
}

// Plot shows curves over a common axis. The axes are named with their units in
// brackets: "radius (mm)". It stops the recipe where there is no curve, where
// the slices of a curve differ in length, and where a number is not finite.
func Plot(title, x, y string, curves ...Curve) {
	const call = "show.Plot"
	if len(curves) == 0 {
		host.Stopf(call, "%q has no curves; give at least one", title)
	}
	p := document.Plot{Title: title, X: axis(x), Y: axis(y)}
	for _, c := range curves {
		n := len(c.X)
		if n == 0 || len(c.Y) != n || (c.Low != nil || c.High != nil) && (len(c.Low) != n || len(c.High) != n) {
			host.Stopf(call, "curve %q has %d X, %d Y, %d Low and %d High; they must be as many, or no Low and High", c.Name, n, len(c.Y), len(c.Low), len(c.High))
		}
		for _, list := range [][]float64{c.X, c.Y, c.Low, c.High} {
			for i, v := range list {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					host.Stopf(call, "curve %q is %v at point %d; it must be finite", c.Name, v, i+1)
				}
			}
		}
		d := document.Curve{Name: c.Name, Role: document.Other, X: c.X, Y: c.Y, Low: c.Low, High: c.High}
		if c.Points {
			d.Role = document.Measured
		}
		p.Curves = append(p.Curves, d)
		p.Alt += fmt.Sprintf("%s goes from %.4g to %.4g, lowest at %s %.4g, highest at %.4g. ",
			c.Name, least(c.Y), most(c.Y), p.X.Label, c.X[argmin(c.Y)], c.X[argmax(c.Y)])
	}
	p.Alt = fmt.Sprintf("%s against %s. ", p.Y.Label, p.X.Label) + p.Alt
	emit(p)
}

// axis reads a label with its unit in brackets.
func axis(label string) document.Axis {
	c := newTable("", label).Columns[0]
	return document.Axis{Label: c.Name, Unit: c.Unit}
}

func argmax(v []float64) int {
	at := 0
	for i := range v {
		if v[i] > v[at] {
			at = i
		}
	}
	return at
}

func argmin(v []float64) int {
	at := 0
	for i := range v {
		if v[i] < v[at] {
			at = i
		}
	}
	return at
}

func least(v []float64) float64 { return v[argmin(v)] }
func most(v []float64) float64  { return v[argmax(v)] }

// thin is how many radii of a figure's grid make a point of a curve.
const thin = 2

// profile is a drawing of heights in nm against radius in the shop's unit.
func profile(title string, f *figure.Figure, masks []*zone.Mask) document.Plot {
	m := f.Mirror()
	s := shopOf(m)
	p := document.Plot{
		Title: title,
		X:     document.Axis{Label: "radius", Unit: s.symbol(), Low: round(s.in(m.Hole())), High: round(s.in(m.Clear()))},
		Y:     document.Axis{Label: "height above the target", Unit: "nm"},
	}
	for _, k := range masks {
		p.Below = append(p.Below, openings(k)...)
	}
	return p
}

// heights is the curve of a figure with piston and focus out, and its band.
func heights(name string, role document.Role, f *figure.Figure) document.Curve {
	f = f.Refocused()
	h, sigma := f.Heights(), f.Sigma()
	c := curve(name, role, f, h)
	if f.Covariance() == nil {
		return c
	}
	c.Band = "68 % band"
	for i := 0; i < len(h); i += thin {
		c.Low, c.High = append(c.Low, round(nm(h[i]-sigma[i]))), append(c.High, round(nm(h[i]+sigma[i])))
	}
	return c
}

// curve is a curve through heights in metres on the grid of f.
func curve(name string, role document.Role, f *figure.Figure, h []float64) document.Curve {
	s := shopOf(f.Mirror())
	c := document.Curve{Name: name, Role: role}
	for i, r := range figure.Grid(f.Mirror()) {
		if i%thin == 0 {
			c.X, c.Y = append(c.X, math.Round(s.in(unit.Length(r))*1e4)/1e4), append(c.Y, round(nm(h[i])))
		}
	}
	return c
}

// extremes says where a curve of heights is highest and lowest.
func extremes(c document.Curve, symbol string) string {
	at := func(i int) string {
		text := fmt.Sprintf("%.1f nm", c.Y[i])
		if c.Low != nil {
			text += fmt.Sprintf(" (%.1f to %.1f)", c.Low[i], c.High[i])
		}
		return fmt.Sprintf("%s at %.4g %s", text, c.X[i], symbol)
	}
	return fmt.Sprintf("highest with %s, lowest with %s", at(argmax(c.Y)), at(argmin(c.Y)))
}
