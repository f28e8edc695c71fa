package mirror

import (
	"fmt"
	"math"
	"strings"

	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// Glass is a kind of glass and its nominal properties in SI units. Makers'
// sheets disagree by two to ten per cent; a recipe may give its own values.
type Glass struct {
	Name         string
	Density      float64 // kg/m³
	Young        float64 // Pa
	Poisson      float64
	Expansion    float64 // 1/K
	Conductivity float64 // W/(m·K)
	Heat         float64 // J/(kg·K)
}

// The usual kinds of glass, with nominal values near 20 °C. Sources: makers'
// sheets as seen in excerpts; for borosilicate also ISO 3585 and for soda-lime
// EN 572-1. Of Crown all but density and expansion is from memory. Where sheets
// give a range, the middle of it stands here.
var (
	// Borosilicate is low-expansion borosilicate glass 3.3.
	Borosilicate = Glass{"low-expansion borosilicate", 2230, 63e9, 0.20, 3.3e-6, 1.13, 750}
	// Crown is borosilicate crown, an optical glass.
	Crown = Glass{"borosilicate crown", 2510, 82e9, 0.206, 7.1e-6, 1.114, 858}
	// FusedSilica is vitreous silica.
	FusedSilica = Glass{"fused silica", 2200, 72.5e9, 0.17, 0.52e-6, 1.38, 703}
	// GlassCeramic is glass-ceramic of nearly no expansion. What it has is
	// within 0.1e-6/K by grade; that figure is used, so as not to promise none.
	GlassCeramic = Glass{"zero-expansion glass-ceramic", 2530, 90.6e9, 0.24, 0.1e-6, 1.46, 821}
	// SodaLime is float or plate glass.
	SodaLime = Glass{"soda-lime", 2500, 70e9, 0.2, 9e-6, 1.0, 720}
)

// check stops the recipe where a property is missing or out of all reason.
func (g Glass) check() {
	for _, p := range []struct {
		arg       string
		v         float64
		low, high float64
		unit      string
	}{
		{"Density", g.Density, 1000, 10000, "kg/m³"},
		{"Young", g.Young, 1e9, 1e12, "Pa"},
		{"Poisson", g.Poisson, 0, 0.5, ""},
		{"Expansion", g.Expansion, -1e-6, 30e-6, "1/K"},
		{"Conductivity", g.Conductivity, 0.1, 500, "W/(m·K)"},
		{"Heat", g.Heat, 100, 2000, "J/(kg·K)"},
	} {
		if !(p.v >= p.low && p.v <= p.high) {
			host.StopArg("mirror.New", "Glass."+p.arg, p.v, strings.TrimSpace(fmt.Sprintf("%g to %g %s", p.low, p.high, p.unit)))
		}
	}
}

// Mass returns the mass of the blank in kilograms: a disc with a flat back, the
// curve and the hole taken out; the bevel is not counted. It is 0 where the
// thickness is not known.
func (m *Mirror) Mass() float64 {
	t := float64(m.spec.Thickness)
	if t == 0 {
		return 0
	}
	rim, hole := float64(m.Rim()), float64(m.Hole())
	// The glass stands from z(rim) - t to z(r).
	floor := float64(m.Sag(m.Rim())) - t
	volume := m.bowl(m.Rim()) - m.bowl(m.Hole()) - floor*math.Pi*(rim*rim-hole*hole)
	return m.spec.Glass.Density * volume
}

// bowl is ∫ z·2πr dr from 0 to r: the cylinder up to z(r) less the conic's
// volume below z, π(Rz² - (1+K)z³/3).
func (m *Mirror) bowl(r unit.Length) float64 {
	z := float64(m.Sag(r))
	return math.Pi * (float64(r*r)*z - m.r*z*z + m.spec.Shape.beyond*z*z*z/3)
}

// Settling is how fast warm glass comes to rest, as guidance. The shape of the
// film of air and the drafts of the room make the true time uncertain by a
// factor of two; only repeated readings that no longer drift settle it.
type Settling struct {
	Through     unit.Time // heat evens out through the thickness: L²/(π²a), a the diffusivity
	Short, Long unit.Time // heat leaves both faces: ρcL/(2h), h = 10 and 5 W/(m²·K)
}

// Wait returns the range of time after which a test can be trusted to begin:
// three film constants, when 5 % of the difference from the room is left.
// Common practice, no source.
func (s Settling) Wait() (short, long unit.Time) { return 3 * s.Short, 3 * s.Long }

// Settling estimates how fast the glass settles after work or handling. It is
// all 0 where the thickness is not known.
func (m *Mirror) Settling() Settling {
	g, l := m.spec.Glass, float64(m.spec.Thickness)
	storage := g.Density * g.Heat
	return Settling{
		Through: unit.Time(l * l * storage / (math.Pi * math.Pi * g.Conductivity)),
		Short:   unit.Time(storage * l / (2 * 10)),
		Long:    unit.Time(storage * l / (2 * 5)),
	}
}

// Bump returns the height by which glass that is warmer by dT kelvin through its
// whole thickness stands high: αLdT. A zone warmed by work looks high by this much.
func (m *Mirror) Bump(dT float64) unit.Length {
	return unit.Length(m.spec.Glass.Expansion*dT) * m.spec.Thickness
}

// Bend returns the depth at the rim of the bend that a difference of dT kelvin
// between face and back makes: αdT·r²/(2L). Nearly all of it is focus. It is 0
// where the thickness is not known.
func (m *Mirror) Bend(dT float64) unit.Length {
	if m.spec.Thickness == 0 {
		return 0
	}
	return unit.Length(m.spec.Glass.Expansion*dT) * m.Rim() * m.Rim() / (2 * m.spec.Thickness)
}
