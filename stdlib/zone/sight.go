package zone

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// Sights says, zone by zone, the narrowest ring that readings are sure to show.
type Sights struct {
	Height unit.Length // of the ring
	Zones  []Sight
	shop   unit.Length
}

// A Sight is the narrowest ring that is seen wherever in a zone its top lies.
type Sight struct {
	Zone  int         // from 1 at the centre
	Width unit.Length // full width at half height; 0 where none as wide as the zone is far is seen
}

// Narrowest finds the narrowest ring of the given height that the readings are
// sure to show, with their mask, number of sets and scatter. A ring is a bell in
// section. It is seen where it moves the zones' mean readings by twice their
// doubt, in the direction that a shift of all readings and a broad error (the
// fourth power of r) leave free. It stops the recipe where the height is not
// more than 0 or beyond 10 µm.
func Narrowest(r *Readings, height unit.Length) Sights {
	if !(height > 0 && height <= 10*unit.UM) {
		host.StopArg("zone.Narrowest", "height", height, "more than 0 and at most 10 µm")
	}
	k := r.mask
	t := tester{k.m, r.sheet.Source}
	ideal := t.means(k, perfect)
	contrast := helmert(k.Zones())
	var whiten mat.Cholesky
	if !whiten.Factorize(congruent(contrast, r.fit.cov)) {
		panic("zone: the covariance of the means is singular")
	}
	// signal returns the change of the means in units of their doubt.
	signal := func(at func(float64) (float64, float64)) *mat.VecDense {
		means := t.means(k, at)
		for i := range means {
			means[i] -= ideal[i]
		}
		v := mat.NewVecDense(k.Zones()-1, nil)
		v.MulVec(contrast, mat.NewVecDense(k.Zones(), means))
		var l mat.TriDense
		whiten.LTo(&l)
		out := mat.NewVecDense(k.Zones()-1, nil)
		if err := out.SolveVec(&l, v); err != nil {
			panic("zone: the triangle of a matrix that was factored is singular")
		}
		return out
	}
	clear := float64(k.m.Clear())
	broad := signal(func(r float64) (float64, float64) {
		x := r / clear
		return 1e-7 * x * x * x * x, 4e-7 * x * x * x / clear
	})
	seen := func(at, width float64) bool {
		s := width / (2 * math.Sqrt(2*math.Ln2))
		v := signal(func(r float64) (e, slope float64) {
			for _, top := range [2]float64{at, -at} { // even in r
				x := (r - top) / s
				h := float64(height) * elementary.Exp(-x*x/2)
				e, slope = e+h, slope-x/s*h
			}
			return e, slope
		})
		v.AddScaledVec(v, -mat.Dot(v, broad)/mat.Dot(broad, broad), broad)
		return mat.Norm(v, 2) >= 2
	}
	list := Sights{Height: height, shop: k.m.Shop()}
	for i := range k.Zones() {
		inner, outer := k.opening(i)
		everywhere := func(width float64) bool {
			const places = 7
			for n := range places {
				if !seen(inner+(outer-inner)*(float64(n)+0.5)/places, width) {
					return false
				}
			}
			return true
		}
		// The step from hidden to seen, from narrow to wide: a very wide ring is a broad
		// error, and hidden again.
		const steps = 36
		width := 0.0
		for n := range steps {
			w := clear * 0.02 * elementary.Exp(math.Log(50)*float64(n)/(steps-1))
			if everywhere(w) {
				width = w
				break
			}
		}
		list.Zones = append(list.Zones, Sight{i + 1, unit.Length(width)})
	}
	return list
}

// String says it in one sentence.
func (s Sights) String() string {
	decimals := 0
	if s.shop == unit.Inch {
		decimals = 1
	}
	var seen, hidden []string
	for _, z := range s.Zones {
		if z.Width == 0 {
			hidden = append(hidden, fmt.Sprint(z.Zone))
		} else {
			seen = append(seen, fmt.Sprintf("%s in zone %d", z.Width.Text(s.shop, decimals), z.Zone))
		}
	}
	ring := "a ring " + nanometres(s.Height) + " high"
	var text string
	if len(seen) > 0 {
		text = ring + " is sure to be seen if it is at least this wide at half its height: " + strings.Join(seen, ", ") +
			"; a narrower one may hide between the edges of the openings"
	}
	if len(hidden) > 0 {
		if text != "" {
			text += "; "
		}
		text += ring + " may go unseen, however wide, in zone " + strings.Join(hidden, ", ")
	}
	return text
}
