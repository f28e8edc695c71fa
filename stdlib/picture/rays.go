package picture

import (
	"fmt"
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

// A stand is where a knife or a grating stands near the centre of curvature.
type stand struct {
	f    *figure.Figure
	r, y []float64 // radii of the grid; where their rays cross the plane of the knife, off the axis to the side they come from
}

// newStand checks a setting and traces the rays.
//
// The geometry is exact for a surface of revolution: with α the tilt of the normal at
// radius r and height z, and β that of the ray from a source at height S, the
// reflected ray leaves at 2α-β to the axis and passes the height k at r-(k-z)·tan(2α-β).
func newStand(call string, f *figure.Figure, null, beyond unit.Length, source zone.Source, slit unit.Length) stand {
	m := f.Mirror()
	shop := m.Shop()
	if null == 0 && m.Hole() > 0 {
		null = m.Hole()
	}
	if !(null >= m.Hole() && null <= m.Clear()) {
		host.StopArg(call, "Null", null.Text(shop, 2), fmt.Sprintf("%s to %s, within the clear aperture", m.Hole().Text(shop, 2), m.Clear().Text(shop, 2)))
	}
	most := m.Radius() / 20
	if !(beyond >= -most && beyond <= most) {
		host.StopArg(call, "Beyond", beyond, fmt.Sprintf("at most %v either way, a twentieth of the radius of curvature", most))
	}
	if !(slit > 0 && slit <= 10*unit.MM) {
		host.StopArg(call, "Slit", slit, "more than 0 and at most 10 mm")
	}
	g := f.Refocused()
	r, e, slopes := figure.Grid(m), g.Heights(), g.Slopes()
	z, tilt := make([]float64, len(r)), make([]float64, len(r))
	for i := range r {
		z[i] = float64(m.Sag(unit.Length(r[i]))) + e[i]
		tilt[i] = math.Atan(m.Slope(unit.Length(r[i])) + slopes[i])
	}
	// The zone that greys is taken between two radii, off the axis.
	step := r[1] - r[0]
	i := min(max(int(math.Round((float64(null)-r[0])/step)), 0), len(r)-1)
	if r[i] == 0 {
		i = 1
	}
	knife := z[i] + r[i]/math.Tan(tilt[i])
	from := float64(m.Radius() + source.Beyond())
	if source.Stays() {
		knife = z[i] + r[i]/math.Tan(2*tilt[i]-math.Atan(r[i]/(from-z[i])))
	}
	knife += float64(beyond)
	if !source.Stays() {
		from = knife
	}
	s := stand{f: g, r: r, y: make([]float64, len(r))}
	for i := range r {
		s.y[i] = r[i] - (knife-z[i])*math.Tan(2*tilt[i]-math.Atan(r[i]/(from-z[i])))
	}
	return s
}

// side returns how far to the right of the axis the ray from (x, y), at radius r,
// passes the knife, and how fast that grows to the right on the glass.
func (s stand) side(x, y, r float64) (at, growth float64) {
	n := len(s.r)
	t := (r - s.r[0]) / (s.r[n-1] - s.r[0]) * float64(n-1)
	i := min(max(int(t), 0), n-2)
	t = math.Min(math.Max(t-float64(i), 0), 1)
	off := s.y[i] + t*(s.y[i+1]-s.y[i])
	slope := (s.y[i+1] - s.y[i]) / (s.r[i+1] - s.r[i])
	if r == 0 {
		return 0, slope
	}
	cos, sin := x/r, y/r
	return off * cos, slope*cos*cos + off/r*sin*sin
}

// place says where a knife or a grating stands.
func place(f *figure.Figure, null, beyond unit.Length) string {
	at := "where the middle greys"
	if null > f.Mirror().Hole() {
		at = "where the zone of " + across(f, null) + " greys"
	}
	switch {
	case beyond > 0:
		return fmt.Sprintf("%s beyond %s", beyond.Text(unit.MM, 2), at)
	case beyond < 0:
		return fmt.Sprintf("%s short of %s", (-beyond).Text(unit.MM, 2), at)
	}
	return at
}
