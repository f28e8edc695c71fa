// Package zone holds the mask, the knife-edge readings taken through it, the way
// from readings to a figure, and the way back.
//
// # What the mask can and cannot see
//
// A zone's reading is the mean over its opening. With openings that are read by
// their whole area, the mean measures just one thing: how much higher the glass
// is at the outer edge of the opening than at the inner one. So the readings fix
// the heights at the edges of the openings, up to piston and focus, within a few
// nanometres; between the edges they say nothing. A ring that lies wholly within
// one opening leaves no trace, and the top of a ring that is no wider than an
// opening lies between edges and is inferred, not measured. The band of Reduce
// widens there. Where a ring is suspected, cut the mask so that an edge falls on
// it, or read with a second mask whose edges fall between those of the first.
// Neither is a roll-off at the rim seen that is narrower than the outermost
// opening, nor anything that is not a figure of revolution.
package zone

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// MaxZones is the most zones a mask may have.
const MaxZones = 60

// A Mask is a screen with a ring-shaped opening, or a pair of openings left and
// right, for each zone. It does not change.
type Mask struct {
	m         *mirror.Mirror
	edges     []float64 // metres, rising; zone i lies between edges i and i+1
	effective Effective
}

// Effective says at which radius a zone is taken to be read.
type Effective int

// The ways to understand a reading.
const (
	// AreaMean takes the mean over the opening, by area. It needs no radius.
	AreaMean Effective = iota
	// MeanRadius takes the value midway between the edges, as Texereau does
	// (How to Make a Telescope [from memory]).
	MeanRadius
	// RMSRadius takes the value at the root mean square of the edges' radii, as
	// Couder does (Lunettes et télescopes, 1935 [from memory]).
	RMSRadius
)

// NewMask returns the mask of m with the given edges, from the innermost out:
// n edges make n-1 zones. Openings may reach over the bevel or into the hole;
// they are read where there is polished glass. It stops the recipe where the
// edges make fewer than 2 or more than 60 zones, do not rise, lie outside the
// glass, or leave an opening without polished glass.
func NewMask(m *mirror.Mirror, edges ...unit.Length) *Mask {
	const call = "zone.NewMask"
	if n := len(edges) - 1; n < 2 || n > MaxZones {
		host.Stopf(call, "%d edges are given; there must be 3 to %d, one more than there are zones", len(edges), MaxZones+1)
	}
	k := &Mask{m: m}
	shop := m.Shop()
	for i, e := range edges {
		arg := fmt.Sprintf("edge %d", i+1)
		if !(e >= 0 && e <= m.Rim()*(1+1e-9)) {
			host.StopArg(call, arg, e.Text(shop, 2), fmt.Sprintf("on the glass, from 0 to %s", m.Rim().Text(shop, 2)))
		}
		if i > 0 && !(e > edges[i-1]) {
			host.StopArg(call, arg, e.Text(shop, 2), fmt.Sprintf("more than edge %d, %s: edges rise from the centre out", i, edges[i-1].Text(shop, 2)))
		}
		k.edges = append(k.edges, float64(e))
	}
	for i := range k.Zones() {
		if inner, outer := k.opening(i); !(outer > inner) {
			host.Stopf(call, "zone %d, from %s to %s, has no polished glass: the clear aperture is from %s to %s", i+1,
				edges[i].Text(shop, 2), edges[i+1].Text(shop, 2), m.Hole().Text(shop, 2), m.Clear().Text(shop, 2))
		}
	}
	return k
}

// Mirror returns the mirror the mask is for.
func (k *Mask) Mirror() *mirror.Mirror { return k.m }

// Zones returns the number of zones.
func (k *Mask) Zones() int { return len(k.edges) - 1 }

// Edges returns the inner and outer edge of zone i, counted from 0 at the
// centre. It stops the recipe where there is no such zone.
func (k *Mask) Edges(i int) (inner, outer unit.Length) {
	if i < 0 || i >= k.Zones() {
		host.StopArg("zone.Mask.Edges", "i", i, fmt.Sprintf("from 0 to %d", k.Zones()-1))
	}
	return unit.Length(k.edges[i]), unit.Length(k.edges[i+1])
}

// Read returns the same mask with readings understood in another way. A mask is
// read by AreaMean unless told otherwise. It stops the recipe where e is none of
// the three ways.
func (k *Mask) Read(e Effective) *Mask {
	if e < AreaMean || e > RMSRadius {
		host.StopArg("zone.Mask.Read", "e", int(e), "AreaMean, MeanRadius or RMSRadius")
	}
	other := *k
	other.effective = e
	return &other
}

// opening returns the edges of zone i within the clear aperture.
func (k *Mask) opening(i int) (inner, outer float64) {
	return math.Max(k.edges[i], float64(k.m.Hole())), math.Min(k.edges[i+1], float64(k.m.Clear()))
}

// Radius returns the radius that stands for zone i, counted from 0, in tables
// and plots: by MeanRadius or RMSRadius where the mask is read so, else the
// radius that halves the opening's area, which is the same as RMSRadius.
func (k *Mask) Radius(i int) unit.Length {
	k.Edges(i)
	inner, outer := k.opening(i)
	if k.effective == MeanRadius {
		return unit.Length((inner + outer) / 2)
	}
	return unit.Length(math.Sqrt((inner*inner + outer*outer) / 2))
}

// A node is a place where the surface is asked for the mean over an opening.
type node struct{ r, share float64 }

// nodes returns where and with what shares zone i is read.
func (k *Mask) nodes(i int) []node {
	if k.effective != AreaMean {
		return []node{{float64(k.Radius(i)), 1}}
	}
	// As many as see the finest wave of the prior three times over in the widest
	// opening.
	const n = 64
	inner, outer := k.opening(i)
	var x, w [n]float64
	quad.Legendre{}.FixedLocations(x[:], w[:], inner, outer)
	list := make([]node, n)
	area := (outer*outer - inner*inner) / 2
	for j := range list {
		list[j] = node{x[j], w[j] * x[j] / area}
	}
	return list
}
