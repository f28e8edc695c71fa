// Package lap holds the tools on the shelf: round laps, rings, stars, and any
// lap known by how much of it touches at each distance from its middle.
//
// A lap here is rigid and flat to the glass. Its face is described by its share
// of contact: of the circle at a distance t from the lap's middle, the part that
// touches the glass. Facets and channels lower the share evenly; petals lower it
// towards the rim. The share stands for the pattern averaged around the lap, as
// it is worn by a lap that is turned under the hand from time to time. How pitch
// flows, how the lap bends, and where the slurry runs dry are not reckoned with.
package lap

import (
	"fmt"
	"math"

	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// Spec says what a lap is.
type Spec struct {
	Name     string        // what the shop calls it; its size and form where left out
	Diameter unit.Length   // over all
	Load     unit.Force    // the weight on the glass, hand and lap together
	Contact  float64       // share of its face that touches, between channels: above 0, at most 1; 1 where left out
	Limit    unit.Pressure // contact pressure above which it marks the glass; 0 where not known
}

// What a lap may measure at most. Larger numbers are slips of the pen or of the unit.
const (
	maxDiameter = 3 * unit.Metre
	maxLoad     = 20000 * unit.Newton
)

// A Lap is a tool that has been checked. It does not change.
type Lap struct {
	spec  Spec
	form  string // "lap", "ring lap" …
	bands []Band // from the middle out, none without contact
	area  float64
}

// A Band is a ring of a lap's face over which the share of contact goes in a
// straight line from From at its inner edge to To at its outer edge. Inner and
// Outer are radii from the lap's middle.
type Band struct {
	Inner, Outer unit.Length
	From, To     float64
}

// Round returns a round lap. It stops the recipe where the diameter or the load
// is not above 0, where the contact is not above 0 and at most 1, and where the
// limit is negative.
func Round(s Spec) *Lap {
	const call = "lap.Round"
	s = check(call, s)
	return build(call, s, "lap", []Band{{0, s.Diameter / 2, 1, 1}})
}

// Ring returns a ring lap: the middle, up to the diameter inner, does not touch.
// It stops the recipe as Round does, and where inner is not above 0 and below
// the lap's diameter.
func Ring(s Spec, inner unit.Length) *Lap {
	const call = "lap.Ring"
	s = check(call, s)
	if !(inner > 0 && inner < s.Diameter) {
		host.StopArg(call, "inner", inner, fmt.Sprintf("above 0 and below the lap's diameter, %v", s.Diameter))
	}
	return build(call, s, "ring lap", []Band{{inner / 2, s.Diameter / 2, 1, 1}})
}

// Star returns a lap with petals: whole up to the diameter core, and from there
// cut away so that at the rim only the share tip of the circle is left. Between
// core and rim the share falls in a straight line. It stops the recipe as Round
// does, where there are fewer than 2 or more than 60 petals, where core is
// negative or not below the diameter, and where tip is not from 0 to 1.
func Star(s Spec, petals int, core unit.Length, tip float64) *Lap {
	const call = "lap.Star"
	s = check(call, s)
	if petals < 2 || petals > 60 {
		host.StopArg(call, "petals", petals, "from 2 to 60")
	}
	if !(core >= 0 && core < s.Diameter) {
		host.StopArg(call, "core", core, fmt.Sprintf("at least 0 and below the lap's diameter, %v", s.Diameter))
	}
	if !(tip >= 0 && tip <= 1) {
		host.StopArg(call, "tip", tip, "from 0 to 1")
	}
	bands := []Band{{core / 2, s.Diameter / 2, 1, tip}}
	if core > 0 {
		bands = append([]Band{{0, core / 2, 1, 1}}, bands...)
	}
	return build(call, s, fmt.Sprintf("lap of %d petals", petals), bands)
}

// A Share is how much of the circle at a radius of the lap touches the glass.
type Share struct {
	Radius unit.Length // from the lap's middle
	Share  float64     // 0 to 1
}

// Shaped returns a lap by its share of contact at rising radii, in a straight
// line between them. Two shares at one radius make a step. The first radius need
// not be 0, nor the last the lap's rim: what lies outside does not touch. The
// shares are multiplied by the spec's Contact. It stops the recipe as Round does,
// where there are fewer than two shares, where the radii fall or leave the lap,
// where a share is not from 0 to 1, and where nothing touches.
func Shaped(s Spec, shares ...Share) *Lap {
	const call = "lap.Shaped"
	s = check(call, s)
	if len(shares) < 2 || len(shares) > 16 {
		host.Stopf(call, "%d shares are given; there must be from 2, at the inner and the outer edge of the contact, to 16", len(shares))
	}
	var bands []Band
	for i, sh := range shares {
		arg := fmt.Sprintf("share %d", i+1)
		if !(sh.Radius >= 0 && sh.Radius <= s.Diameter/2) {
			host.StopArg(call, arg+": Radius", sh.Radius, fmt.Sprintf("from 0 to the lap's radius, %v", s.Diameter/2))
		}
		if !(sh.Share >= 0 && sh.Share <= 1) {
			host.StopArg(call, arg+": Share", sh.Share, "from 0 to 1")
		}
		if i == 0 {
			continue
		}
		before := shares[i-1]
		if sh.Radius < before.Radius {
			host.StopArg(call, arg+": Radius", sh.Radius, fmt.Sprintf("at least that of the share before it, %v", before.Radius))
		}
		if sh.Radius > before.Radius && (sh.Share > 0 || before.Share > 0) {
			bands = append(bands, Band{before.Radius, sh.Radius, before.Share, sh.Share})
		}
	}
	if len(bands) == 0 {
		host.Stopf(call, "the shares leave nothing that touches; at least one must be above 0")
	}
	return build(call, s, "shaped lap", bands)
}

// check returns the spec with its defaults filled in, or stops the recipe.
func check(call string, s Spec) Spec {
	if !(s.Diameter > 0 && s.Diameter <= maxDiameter) {
		host.StopArg(call, "Diameter", s.Diameter, fmt.Sprintf("above 0 and at most %v", maxDiameter))
	}
	if !(s.Load > 0 && s.Load <= maxLoad) {
		host.StopArg(call, "Load", s.Load, fmt.Sprintf("above 0 and at most %v", maxLoad))
	}
	if s.Contact == 0 {
		s.Contact = 1
	}
	if !(s.Contact > 0 && s.Contact <= 1) {
		host.StopArg(call, "Contact", s.Contact, "above 0 and at most 1, or left out for 1")
	}
	if !(s.Limit >= 0) || math.IsInf(float64(s.Limit), 0) {
		host.StopArg(call, "Limit", s.Limit, "above 0, or left out where it is not known")
	}
	return s
}

func build(call string, s Spec, form string, bands []Band) *Lap {
	l := &Lap{spec: s, form: form, bands: bands}
	for i := range l.bands {
		b := &l.bands[i]
		b.From *= s.Contact
		b.To *= s.Contact
		// ∫ share·2πt dt over the band, the share being linear in t.
		in, out := float64(b.Inner), float64(b.Outer)
		l.area += math.Pi / 3 * (out - in) * (b.From*(2*in+out) + b.To*(in+2*out))
	}
	if p := l.Pressure(); !(p < 1e9) {
		host.Stopf(call, "%v on %v of contact makes %v, which no pitch bears; give a smaller Load or a larger lap", s.Load, areaText(l.area), p)
	}
	return l
}

func areaText(a float64) string { return fmt.Sprintf("%.3g mm²", a*1e6) }

// Spec returns what the lap was made from, with every default filled in.
func (l *Lap) Spec() Spec { return l.spec }

// Name returns what the shop calls the lap, or its size and form.
func (l *Lap) Name() string {
	if l.spec.Name != "" {
		return l.spec.Name
	}
	return l.spec.Diameter.String() + " " + l.form
}

// String returns Name.
func (l *Lap) String() string { return l.Name() }

// Diameter returns the lap's width over all.
func (l *Lap) Diameter() unit.Length { return l.spec.Diameter }

// Radius returns half the diameter.
func (l *Lap) Radius() unit.Length { return l.spec.Diameter / 2 }

// Load returns the weight on the glass.
func (l *Lap) Load() unit.Force { return l.spec.Load }

// Limit returns the contact pressure above which the lap marks the glass, 0
// where it is not known.
func (l *Lap) Limit() unit.Pressure { return l.spec.Limit }

// Bands returns the rings of the lap's face that touch, from the middle out,
// with the share of contact of each. The slice is a copy.
func (l *Lap) Bands() []Band { return append([]Band(nil), l.bands...) }

// Share returns the share of contact at radius t from the lap's middle. Where
// it steps, the outer side counts.
func (l *Lap) Share(t unit.Length) float64 {
	for i := len(l.bands) - 1; i >= 0; i-- {
		b := l.bands[i]
		if t >= b.Inner && (t < b.Outer || i == len(l.bands)-1 && t == b.Outer) {
			return b.From + (b.To-b.From)*float64((t-b.Inner)/(b.Outer-b.Inner))
		}
	}
	return 0
}

// Area returns the area that touches when the whole lap is on the glass, in
// square metres.
func (l *Lap) Area() float64 { return l.area }

// Pressure returns the mean contact pressure when the whole lap is on the glass:
// the load over the area that touches.
func (l *Lap) Pressure() unit.Pressure {
	return unit.Pressure(float64(l.spec.Load) / l.area)
}

// PressureText returns Pressure in words: "3.12 kPa (0.45 psi, 31.8 g/cm²)".
func (l *Lap) PressureText() string { return PressureText(l.Pressure()) }

// PressureText returns a pressure in kPa with the units of the workshop beside it.
func PressureText(p unit.Pressure) string {
	return fmt.Sprintf("%s (%s, %s)", p.Text(unit.KPa, 2), p.Text(unit.PSI, 2), p.Text(unit.GramCM2, 1))
}

// Warning returns what is to be said of a contact pressure p under this lap: ""
// where it is within the lap's limit or no limit is known.
func (l *Lap) Warning(p unit.Pressure) string {
	if l.spec.Limit == 0 || p <= l.spec.Limit {
		return ""
	}
	return fmt.Sprintf("%s presses with %s, above its limit of %s: it may mark the glass",
		l.Name(), p.Text(unit.KPa, 2), l.spec.Limit.Text(unit.KPa, 2))
}
