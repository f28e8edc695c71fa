package show

import (
	"fmt"

	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// Mirror shows what mirror is to be made: size, curve, glass, and what follows
// from them.
func Mirror(m *mirror.Mirror) {
	s, spec := shopOf(m), m.Spec()
	name := spec.Name
	if name == "" {
		name = "The mirror"
	}
	t := newTable(name, "what", "value")
	add := func(what, format string, args ...any) { t.row(words(what), words(fmt.Sprintf(format, args...))) }
	add("diameter", "%s", s.text(spec.Diameter))
	if m.Rim() != m.Clear() {
		add("clear diameter, inside the bevel", "%s", s.text(2*m.Clear()))
	}
	if m.Hole() > 0 {
		add("central hole", "%s", s.text(2*m.Hole()))
	}
	add("focal length", "%s, f/%.2f of the clear diameter", s.text(m.FocalLength()), m.FocalRatio())
	add("radius of curvature", "%s", s.text(m.Radius()))
	add("shape", "%s", shapeText(spec.Shape))
	add("depth of the curve", "%s", m.Sag(m.Clear()).Text(unit.MM, 3))
	if spec.Shape != mirror.Sphere {
		add("departure from a sphere at the edge", "%.1f nm", nm(departure(m)))
	}
	if spec.Glass.Name != "" {
		add("glass", "%s", spec.Glass.Name)
	}
	if spec.Thickness > 0 {
		add("thickness", "%s", s.text(spec.Thickness))
		add("mass", "about %.3g kg", m.Mass())
		short, long := m.Settling().Wait()
		add("settling after work", "%s, as guidance", between(short, long))
	}
	add("judged in light of", "%.0f nm", m.Wavelength().In(unit.NM))
	t.show()
}

func shapeText(s mirror.Shape) string {
	switch k := s.Constant(); {
	case s == mirror.Paraboloid:
		return "paraboloid"
	case s == mirror.Sphere:
		return "sphere"
	case k < -1:
		return fmt.Sprintf("hyperboloid, conic constant %.4g", k)
	case k < 0:
		return fmt.Sprintf("prolate ellipsoid, conic constant %.4g", k)
	default:
		return fmt.Sprintf("oblate ellipsoid, conic constant %.4g", k)
	}
}

// departure returns how far the edge of the target lies from the sphere of the
// same vertex radius, in metres.
func departure(m *mirror.Mirror) float64 {
	sphere := m.Spec()
	sphere.Shape = mirror.Sphere
	return float64(mirror.New(sphere).Sag(m.Clear()) - m.Sag(m.Clear()))
}

// between prints a range of time in words: "70 to 140 min", "2 to 4 h".
func between(short, long unit.Time) string {
	if long >= 3*unit.Hour {
		return fmt.Sprintf("%.2g to %.2g h", short.In(unit.Hour), long.In(unit.Hour))
	}
	return fmt.Sprintf("%.0f to %.0f min", short.In(unit.Minute), long.In(unit.Minute))
}
