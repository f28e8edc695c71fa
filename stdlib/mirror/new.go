package mirror

import (
	"fmt"
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

const (
	smallest  = 10 * unit.MM // diameter
	largest   = 10 * unit.Metre
	shortest  = 0.5 // focal length over diameter
	longest   = 1000.0
	furthestK = 1000.0
)

// New checks the spec and returns the mirror. It stops the recipe where a size
// is negative, not a number or out of all reason; where neither or two
// disagreeing curves are given; where the conic does not reach the rim; where
// hole and bevel leave no clear aperture; where the blank is thinner than its
// curve is deep; and where a property of the glass is missing. A focal length
// and a radius that are both given must agree to a part in 100,000.
func New(s Spec) *Mirror {
	length("Diameter", s.Diameter, smallest, largest)
	s = curve(s)
	m := &Mirror{s, float64(s.Radius)}
	shape(m)
	if s.Bevel != 0 {
		length("Bevel", s.Bevel, 0, s.Diameter/10)
	}
	if s.Hole != 0 {
		length("Hole", s.Hole, 0, math.MaxFloat64)
		if clear := 2 * m.Clear(); s.Hole >= clear {
			host.StopArg("mirror.New", "Hole", s.Hole, fmt.Sprintf("less than the clear aperture, %v", clear))
		}
	}
	if s.Thickness != 0 {
		length("Thickness", s.Thickness, 0, s.Diameter)
		if deep := m.Sag(m.Rim()) - m.Sag(m.Hole()); s.Thickness <= deep {
			host.StopArg("mirror.New", "Thickness", s.Thickness, fmt.Sprintf("more than the depth of the curve, %v", deep))
		}
	}
	if s.Glass == (Glass{}) {
		s.Glass = Borosilicate
	}
	s.Glass.check()
	if s.Wavelength == 0 {
		s.Wavelength = 550 * unit.NM
	}
	length("Wavelength", s.Wavelength, 300*unit.NM, 1100*unit.NM)
	switch s.Shop {
	case 0:
		s.Shop = unit.MM
	case unit.MM, unit.Inch:
	default:
		host.StopArg("mirror.New", "Shop", s.Shop, "MM or Inch")
	}
	m.spec = s
	return m
}

// curve fills in the one of FocalLength and Radius that was left out.
func curve(s Spec) Spec {
	least, most := shortest*s.Diameter, longest*s.Diameter
	switch {
	case s.FocalLength == 0 && s.Radius == 0:
		host.Stopf("mirror.New", "neither FocalLength nor Radius is given; give one of them")
	case s.FocalLength == 0:
		length("Radius", s.Radius, 2*least, 2*most)
		s.FocalLength = s.Radius / 2
	case s.Radius == 0:
		length("FocalLength", s.FocalLength, least, most)
		s.Radius = 2 * s.FocalLength
	default:
		length("FocalLength", s.FocalLength, least, most)
		length("Radius", s.Radius, 2*least, 2*most)
		if math.Abs(float64(s.Radius/(2*s.FocalLength))-1) > 1e-5 {
			host.Stopf("mirror.New", "FocalLength is %v and Radius is %v; Radius must be twice FocalLength, %v: give one of them",
				s.FocalLength, s.Radius, 2*s.FocalLength)
		}
		s.FocalLength = s.Radius / 2
	}
	return s
}

// shape checks that the conic reaches the rim: R² - (1+K)r² > 0 there.
func shape(m *Mirror) {
	k := m.spec.Shape.Constant()
	if !(math.Abs(k) <= furthestK) {
		host.StopArg("mirror.New", "Shape", fmt.Sprintf("a conic of constant %v", k), fmt.Sprintf("one from %v to %v", -furthestK, furthestK))
	}
	rim := float64(m.Rim())
	most := math.Pow(m.r/rim, 2) - 1
	if k >= most {
		host.StopArg("mirror.New", "Shape", fmt.Sprintf("a conic of constant %v, which closes before it reaches the rim", k),
			fmt.Sprintf("one with a constant below %.4g", most))
	}
}

// length stops the recipe unless l lies from low to high. A low of 0 is not
// itself allowed. A length that would do in millimetres gets a hint.
func length(arg string, l, low, high unit.Length) {
	if low > 0 && l >= low && l <= high || low == 0 && l > 0 && l <= high {
		return
	}
	allowed := fmt.Sprintf("%v to %v", low, high)
	switch {
	case low == 0 && high == math.MaxFloat64:
		allowed = "more than 0"
	case low == 0:
		allowed = fmt.Sprintf("more than 0 and at most %v", high)
	}
	stop := &host.Stop{Call: "mirror.New", Message: fmt.Sprintf("%s is %v; it must be %s", arg, l, allowed)}
	if mm := l * unit.MM; mm >= low && mm <= high && l > high {
		stop.Hint = fmt.Sprintf("A bare number counts metres: write %g * MM for %v.", float64(l), mm)
	}
	panic(stop)
}
