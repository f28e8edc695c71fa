package zone

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// An Expected is what a zone should read at a test.
type Expected struct {
	Zone      int         // from 1 at the centre
	Reading   unit.Length // from the reading of zone 1
	Low, High unit.Length // range with a chance of 68 %
}

// Expect returns what each zone of the mask would read on a mirror with figure f,
// measured from the first zone, by exact geometry. The ranges hold the doubt of
// the figure and the scatter of one reading, that of the first zone included;
// for the mean of n sets give the scatter over √n. It stops the recipe where the
// mask and the figure belong to different mirrors and where the scatter is
// negative or more than a centimetre.
func Expect(k *Mask, f *figure.Figure, source Source, scatter unit.Length) []Expected {
	const call = "zone.Expect"
	source.check(call, k.m)
	k.same(call, f)
	if !(scatter >= 0 && scatter <= unit.CM) {
		host.StopArg(call, "scatter", scatter, "from 0 to 10 mm")
	}
	means, change := k.readings(f, source)
	var cov *mat.SymDense
	if f.Covariance() != nil {
		cov = congruent(change, f.Covariance())
	}
	list := make([]Expected, len(means))
	for i := range list {
		v := 0.0
		if i > 0 {
			v = 2 * float64(scatter*scatter)
			if cov != nil {
				v += cov.At(i, i) + cov.At(0, 0) - 2*cov.At(0, i)
			}
		}
		reading, sigma := unit.Length(means[i]-means[0]), unit.Length(math.Sqrt(math.Max(0, v)))
		list[i] = Expected{i + 1, reading, reading - sigma, reading + sigma}
	}
	return list
}

// same stops the recipe where a figure is not of the mask's mirror.
func (k *Mask) same(call string, f *figure.Figure) {
	if f.Mirror() != k.m && f.Mirror().Spec() != k.m.Spec() {
		host.Stopf(call, "the mask and the figure belong to different mirrors")
	}
}

// readings returns what each zone reads on a mirror with figure f, and how that
// changes with each height of the figure's grid.
//
// Between the radii of the grid the height runs straight; the slope runs straight
// between the middles of the steps, is 0 at a centre without a hole, and goes on
// straight beyond the last middle.
func (k *Mask) readings(f *figure.Figure, source Source) (means []float64, change *mat.Dense) {
	t := tester{k.m, source}
	grid, e := figure.Grid(k.m), f.Heights()
	n := len(grid)
	step := (grid[n-1] - grid[0]) / float64(n-1)
	cell := func(i int) float64 { return (e[i+1] - e[i]) / step }
	means = make([]float64, k.Zones())
	change = mat.NewDense(k.Zones(), n, nil)
	for zone := range means {
		row := change.RawRowView(zone)
		for _, nd := range k.nodes(zone) {
			z, dz := t.target(nd.r)
			x := (nd.r - grid[0]) / step
			i := min(max(int(x), 0), n-2)
			u := x - float64(i)
			height := (1-u)*e[i] + u*e[i+1]
			// The slope is a·cell(j) + b·cell(j+1).
			j := min(max(int(math.Floor(x-0.5)), 0), n-3)
			v := x - 0.5 - float64(j)
			a, b := 1-v, v
			if x < 0.5 && grid[0] == 0 {
				a, b = 2*x, 0
			}
			slope := a*cell(j) + b*cell(j+1)
			means[zone] += nd.share * t.reading(nd.r, z+height, dz+slope)
			byHeight, bySlope := t.change(nd.r, z+height, dz+slope)
			row[i] += nd.share * byHeight * (1 - u)
			row[i+1] += nd.share * byHeight * u
			row[j] -= nd.share * bySlope * a / step
			row[j+1] += nd.share * bySlope * (a - b) / step
			row[j+2] += nd.share * bySlope * b / step
		}
	}
	return means, change
}

// An Offset is where one set's scale stands.
type Offset struct {
	Set    string
	Zero   unit.Length // reading at the paraxial centre of curvature of the best-fitting mirror
	Change unit.Length // of the radius of curvature, if the scale's zero stands at the stated one
}

// Offsets returns where the scale of each set stands, by the figure that the
// readings gave. A common shift of all readings of a set is no error of figure:
// it is the place of the scale or a change of the radius of curvature, and only
// the maker knows which. With a moving source a change of R moves the knife by as
// much; with a fixed one, at the distance s, the knife stands at v where
// 1/s + 1/v = 2/R.
func Offsets(r *Readings, f *figure.Figure) []Offset {
	k := r.mask
	k.same("zone.Offsets", f)
	means, _ := k.readings(f.Refocused(), r.sheet.Source)
	shift := r.commonShift(means)
	list := make([]Offset, len(r.sets))
	R, from := k.m.Radius(), k.m.Radius()+r.sheet.Source.beyond
	for s := range list {
		zero := unit.Length(r.fit.zero[s] + shift)
		list[s] = Offset{r.sets[s].about.Name, zero, zero}
		if r.sheet.Source.fixed {
			knife := from*R/(2*from-R) + zero
			list[s].Change = 2*from*knife/(from+knife) - R
		}
	}
	return list
}
