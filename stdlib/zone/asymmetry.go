package zone

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/unit"
)

// An Asymmetry is a difference between readings that should be alike on a figure of
// revolution, and is larger than their scatter explains.
type Asymmetry struct {
	Between string      // the two that differ: "the mirror at 0° and at 90°"
	Zone    int         // where they differ most, from 1; 0 where all zones differ alike
	Reading unit.Length // by how much they differ there, with the sign
	Doubt   unit.Length // its standard deviation
	Height  unit.Length // difference of the surface that it stands for: rms at best focus, or at the rim where all zones differ alike
	Chance  float64     // that scatter alone makes such differences somewhere in the sheet

	inches bool
}

// surely is the chance below which a difference is not put down to scatter.
const surely = 0.01

// Asymmetries looks for signs that the mirror is no figure of revolution, or that
// its support bends it, and returns those that chance alone would give in fewer
// than one sheet of a hundred (F tests of what grouping the sets explains, with the
// scatter as it is within the groups and what was thought of it beforehand):
//
//   - zones that read otherwise with the mirror turned to another angle. Angles count
//     to the degree; sets without one do not count here;
//   - a zero that is another one with the mirror turned, which is what plain
//     astigmatism does. It takes at least two sets more than angles, and tells only
//     if neither scale nor mirror was moved along the axis between the sets;
//   - left and right openings that differ, but for what a knife that stands beside
//     the axis does, which goes with 1/r.
//
// Readings that do not fit the others (see Suspects) are left out of it.
func (r *Readings) Asymmetries() []Asymmetry {
	var list []Asymmetry
	angles, groups := r.turned()
	if len(groups) > 1 {
		list = append(list, r.byAngle(angles, groups)...)
		list = append(list, r.zeroByAngle(angles, groups)...)
	}
	if r.way == Sides {
		list = append(list, r.bySide()...)
	}
	for i := range list {
		list[i].inches = r.sheet.Unit == unit.Inch || r.sheet.Unit == unit.Thou
	}
	return list
}

// turned groups the sets by the angle of the mirror, which rises.
func (r *Readings) turned() (angles []int, groups [][]int) {
	by := make(map[int][]int)
	for s, one := range r.sets {
		if a := one.about.Angle.In(unit.Degree); !math.IsNaN(a) {
			whole := (int(math.Round(a))%360 + 360) % 360
			if by[whole] == nil {
				angles = append(angles, whole)
			}
			by[whole] = append(by[whole], s)
		}
	}
	slices.Sort(angles)
	for _, a := range angles {
		groups = append(groups, by[a])
	}
	return angles, groups
}

// grouped is what groups of sets say each by itself, of the zones that are read in
// all of them.
type grouped struct {
	zones   []int
	mean    [][]float64 // of each group, of each of the zones, up to a shift of the group
	taken   [][]int
	squares float64 // of the residuals over the shapes
	free    int
}

// readEverywhere returns the zones that are read in each group.
func readEverywhere(use [][]bool, groups [][]int, zones int) []int {
	var list []int
	for i := range zones {
		everywhere := true
		for _, g := range groups {
			everywhere = everywhere && slices.ContainsFunc(g, func(s int) bool { return use[s][i] })
		}
		if everywhere {
			list = append(list, i)
		}
	}
	return list
}

// group fits each group by itself. It is false where some zones of a group cannot
// be compared.
func group(values [][]float64, use [][]bool, shape []float64, groups [][]int, zones []int) (grouped, bool) {
	out := grouped{zones: zones}
	n := len(zones)
	if n < 2 {
		return out, false
	}
	for _, g := range groups {
		f := fit{mean: make([]float64, n), zero: make([]float64, len(g)), shape: make([]float64, n), variance: make([]float64, n), taken: make([]int, n)}
		var sets []set
		var uses [][]bool
		for j, i := range zones {
			f.shape[j], f.variance[j] = shape[i], shape[i]*shape[i]
		}
		for _, s := range g {
			one, used, any := set{}, make([]bool, n), 0
			for j, i := range zones {
				one.values = append(one.values, values[s][i])
				if used[j] = use[s][i]; used[j] {
					f.taken[j]++
					any = 1
					out.free++
				}
			}
			out.free -= any
			sets, uses = append(sets, one), append(uses, used)
		}
		if !f.leastSquares(sets, uses) {
			return out, false
		}
		out.free -= n - 1
		for s, one := range sets {
			for j, v := range one.values {
				if uses[s][j] {
					d := (v - f.zero[s] - f.mean[j]) / f.shape[j]
					out.squares += d * d
				}
			}
		}
		out.mean, out.taken = append(out.mean, f.mean), append(out.taken, f.taken)
	}
	return out, true
}

// test returns the chance that scatter alone makes so much of the squares vanish
// with so many parameters more, and the scatter with them: of a reading of shape
// 1, which was thought of as prior.
func (g grouped) test(squares float64, more int, prior float64) (chance, scatter float64) {
	free := priorFree + float64(g.free)
	variance := (priorFree*prior*prior + g.squares) / free
	f := distuv.F{D1: float64(more), D2: free}
	return f.Survival(math.Max(0, squares-g.squares) / float64(more) / variance), math.Sqrt(variance)
}

// byAngle compares the zones' means at different angles.
func (r *Readings) byAngle(angles []int, groups [][]int) []Asymmetry {
	shape := r.shape()
	zones := readEverywhere(r.fit.use, groups, len(shape))
	values := make([][]float64, len(r.sets))
	for s := range values {
		values[s] = r.sets[s].values
	}
	apart, ok := group(values, r.fit.use, shape, groups, zones)
	if !ok {
		return nil
	}
	alike, ok := group(values, r.fit.use, shape, [][]int{slices.Concat(groups...)}, zones)
	if !ok {
		return nil
	}
	chance, scatter := apart.test(alike.squares, alike.free-apart.free, float64(r.sheet.Scatter))
	if chance >= surely {
		return nil
	}
	// The two angles and the zone that differ most for their doubt.
	best, found := 0.0, Asymmetry{Chance: chance}
	for b := range groups {
		for a := range b {
			weights := make([]float64, len(zones))
			differ := make([]float64, len(zones))
			for j, i := range zones {
				differ[j] = apart.mean[b][j] - apart.mean[a][j]
				weights[j] = 1 / (shape[i] * shape[i] * (1/float64(apart.taken[a][j]) + 1/float64(apart.taken[b][j])))
			}
			centre(differ, weights)
			for j, d := range differ {
				doubt := scatter / math.Sqrt(weights[j])
				if math.Abs(d)/doubt > best {
					best = math.Abs(d) / doubt
					found.Between = fmt.Sprintf("the mirror at %d° and at %d°", angles[a], angles[b])
					found.Zone, found.Reading, found.Doubt = zones[j]+1, unit.Length(d), unit.Length(doubt)
					found.Height = r.surface(zones, differ)
				}
			}
		}
	}
	return []Asymmetry{found}
}

// centre takes the weighted mean out of v.
func centre(v, weights []float64) {
	sum, weight := 0.0, 0.0
	for i, w := range weights {
		sum, weight = sum+w*v[i], weight+w
	}
	for i := range v {
		v[i] -= sum / weight
	}
}

// surface returns the height of a surface, rms at best focus, that moves the
// readings of the zones so: of straight pieces.
func (r *Readings) surface(zones []int, off []float64) unit.Length {
	k := r.mask
	t := tester{k.m, r.sheet.Source}
	slopes := make([]float64, k.Zones())
	for j, i := range zones {
		at := float64(k.Radius(i))
		z, dz := t.target(at)
		slopes[i] = t.slope(at, z, t.reading(at, z, dz)+off[j]) - dz
	}
	e := mat.NewVecDense(figure.GridSize, nil)
	e.MulVec(k.pieces(), mat.NewVecDense(len(slopes), slopes))
	heights := figure.New(k.m, e.RawVector().Data, nil).Refocused().Heights()
	sum, weight := 0.0, 0.0
	for i, w := range figure.Weights(k.m) {
		sum, weight = sum+w*heights[i]*heights[i], weight+w
	}
	return unit.Length(math.Sqrt(sum / weight))
}

// zeroByAngle compares the zeros of the sets at different angles.
func (r *Readings) zeroByAngle(angles []int, groups [][]int) []Asymmetry {
	means := make([]float64, len(groups))
	all, count := 0.0, 0
	within, between := 0.0, 0.0
	for g, sets := range groups {
		for _, s := range sets {
			means[g] += r.fit.zero[s] / float64(len(sets))
		}
		for _, s := range sets {
			d := r.fit.zero[s] - means[g]
			within += d * d
		}
		all += means[g] * float64(len(sets))
		count += len(sets)
	}
	free := count - len(groups)
	if free < 2 {
		return nil
	}
	for g, sets := range groups {
		d := means[g] - all/float64(count)
		between += d * d * float64(len(sets))
	}
	// Zeros that repeat better than readings scatter do so by chance.
	variance := math.Max(within/float64(free), r.fit.scatter*r.fit.scatter/float64(r.mask.Zones()))
	more := float64(len(groups) - 1)
	chance := distuv.F{D1: more, D2: float64(free)}.Survival(between / more / variance)
	if chance >= surely {
		return nil
	}
	low, high := 0, 0
	for g, v := range means {
		if v < means[low] {
			low = g
		}
		if v > means[high] {
			high = g
		}
	}
	a, b := min(low, high), max(low, high)
	step := means[b] - means[a]
	R, clear := float64(r.mask.m.Radius()), float64(r.mask.m.Clear())
	change := math.Abs(step) // of the radius of curvature
	if r.sheet.Source.fixed {
		change /= 2
	}
	return []Asymmetry{{
		Between: fmt.Sprintf("the mirror at %d° and at %d°", angles[a], angles[b]),
		Reading: unit.Length(step),
		Doubt:   unit.Length(math.Sqrt(variance * (1/float64(len(groups[a])) + 1/float64(len(groups[b]))))),
		Height:  unit.Length(change * clear * clear / (2 * R * R)),
		Chance:  chance,
	}}
}

// bySide compares left and right openings. A knife that stands beside the axis by d
// reads d·R/r longer through the one and shorter through the other: with the
// differences multiplied by r that is a zero of the set, and scatter that goes
// with r.
func (r *Readings) bySide() []Asymmetry {
	n := r.mask.Zones()
	shape, values := make([]float64, n), make([][]float64, len(r.sets))
	for i := range shape {
		shape[i] = float64(r.mask.Radius(i))
	}
	for s, one := range r.sets {
		for i, d := range one.apart {
			values[s] = append(values[s], d*shape[i])
		}
	}
	angles, groups := r.turned()
	var rest []int // sets whose angle was not noted
	for s, one := range r.sets {
		if math.IsNaN(float64(one.about.Angle)) {
			rest = append(rest, s)
		}
	}
	if rest != nil {
		groups = append(groups, rest)
	}
	zones := readEverywhere(r.fit.use, groups, n)
	apart, ok := group(values, r.fit.use, shape, groups, zones)
	if !ok {
		return nil
	}
	// All alike: one value for all zones of a set.
	squares := 0.0
	for _, s := range slices.Concat(groups...) {
		var d, weights []float64
		for _, i := range zones {
			if r.fit.use[s][i] {
				d, weights = append(d, values[s][i]), append(weights, 1/(shape[i]*shape[i]))
			}
		}
		if d == nil {
			continue
		}
		centre(d, weights)
		for j, v := range d {
			squares += v * v * weights[j]
		}
	}
	// The mean of two scatters half as much as their difference.
	chance, scatter := apart.test(squares, len(groups)*(len(zones)-1), 2*float64(r.sheet.Scatter))
	if chance >= surely {
		return nil
	}
	best, found := 0.0, Asymmetry{Chance: chance}
	for g := range groups {
		weights, differ := make([]float64, len(zones)), slices.Clone(apart.mean[g])
		for j, i := range zones {
			weights[j] = float64(apart.taken[g][j]) / (shape[i] * shape[i])
		}
		centre(differ, weights)
		for j, i := range zones {
			differ[j] /= shape[i]
		}
		for j, d := range differ {
			doubt := scatter / math.Sqrt(float64(apart.taken[g][j]))
			if math.Abs(d)/doubt > best {
				best = math.Abs(d) / doubt
				found.Between = "the left and the right opening"
				if len(groups) > 1 && g < len(angles) {
					found.Between += fmt.Sprintf(", the mirror at %d°", angles[g])
				}
				found.Zone, found.Reading, found.Doubt = zones[j]+1, unit.Length(d), unit.Length(doubt)
				found.Height = r.surface(zones, differ)
			}
		}
	}
	return []Asymmetry{found}
}

// String says it in a sentence or two: what differs, by how much, what it may mean.
func (a Asymmetry) String() string {
	size, decimals := unit.MM, 3
	if a.inches {
		size, decimals = unit.Inch, 4
	}
	by := fmt.Sprintf("by %s ± %s", a.Reading.Text(size, decimals), a.Doubt.Text(size, decimals))
	if a.Zone == 0 {
		return fmt.Sprintf("All readings differ alike between %s beyond their scatter, %s. If neither scale nor mirror was moved along the axis, the surface differs by %s at the rim: "+
			"the mirror may be astigmatic, or its support bends it.", a.Between, by, nanometres(a.Height))
	}
	return fmt.Sprintf("The readings differ between %s beyond their scatter, most in zone %d: %s. A surface that does so differs by %s rms: "+
		"the mirror may not be a figure of revolution, or its support bends it.", a.Between, a.Zone, by, nanometres(a.Height))
}
