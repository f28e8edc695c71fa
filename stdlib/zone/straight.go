package zone

import (
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/figure"
)

// Straight turns readings into a figure by the classical reduction: within each
// zone the surface has one slope, that which its mean reading calls for, and the
// pieces are joined end to end; glass inside or outside the mask goes on with
// the slope of the nearest zone. Exact geometry gives the slopes, at the radius
// that stands for the zone (Mask.Radius). The common zero of the readings is the
// one that leaves the least mean square by area once piston and focus are out.
//
// The covariance is that of the mean readings only. It does not say what the
// straight pieces get wrong: the surface between the edges, and the slope over a
// wide zone.
func Straight(r *Readings) *figure.Figure {
	k := r.mask
	n := k.Zones()
	t := tester{k.m, r.sheet.Source}
	grid := figure.Grid(k.m)

	// Slope errors of the zones for the means as they are, and how they change
	// with each reading.
	ideal := t.means(k, perfect)
	var errors, change []float64
	shift := r.commonShift(ideal)
	for i := range n {
		at := float64(k.Radius(i))
		z, dz := t.target(at)
		off := r.fit.mean[i] - shift - ideal[i]
		errors = append(errors, t.slope(at, z, t.reading(at, z, dz)+off)-dz)
		_, bySlope := t.change(at, z, dz)
		change = append(change, 1/bySlope)
	}

	// heights is linear in the slopes: column i is the surface of zone i alone.
	columns := mat.NewDense(len(grid), n, nil)
	for i := range n {
		one := make([]float64, len(grid))
		for j := 1; j < len(grid); j++ {
			one[j] = one[j-1] + k.run(i, grid[j-1], grid[j])
		}
		columns.SetCol(i, figure.New(k.m, one, nil).Refocused().Heights())
	}
	// By readings instead of slopes.
	byReading := mat.NewDense(len(grid), n, nil)
	byReading.Apply(func(_, i int, v float64) float64 { return v * change[i] }, columns)
	// A common shift of the readings moves the heights by the sum of the columns;
	// take out as much of it as leaves the least mean square.
	ones := make([]float64, n)
	for i := range ones {
		ones[i] = 1
	}
	common := mat.NewVecDense(len(grid), nil)
	common.MulVec(byReading, mat.NewVecDense(n, ones))
	w := figure.Weights(k.m)
	dot := func(a, b mat.Vector) float64 {
		sum := 0.0
		for j, v := range w {
			sum += v * a.AtVec(j) * b.AtVec(j)
		}
		return sum
	}
	square := dot(common, common)
	remove := func(v *mat.VecDense) {
		v.AddScaledVec(v, -dot(v, common)/square, common)
	}
	e := mat.NewVecDense(len(grid), nil)
	e.MulVec(columns, mat.NewVecDense(n, errors))
	remove(e)
	for i := range n {
		column := mat.NewVecDense(len(grid), mat.Col(nil, i, byReading))
		remove(column)
		byReading.SetCol(i, column.RawVector().Data)
	}
	return figure.New(k.m, e.RawVector().Data, congruent(byReading, r.fit.cov)).Refocused()
}

// commonShift is the weighted mean of the readings less the ideal ones.
func (r *Readings) commonShift(ideal []float64) float64 {
	sum, weight := 0.0, 0.0
	for i, v := range ideal {
		w := r.fit.weight(i)
		sum, weight = sum+w*(r.fit.mean[i]-v), weight+w
	}
	return sum / weight
}

// run returns how much of the way from a to b lies in zone i, the first and the
// last zone reaching on beyond the mask.
func (k *Mask) run(i int, a, b float64) float64 {
	inner, outer := k.edges[i], k.edges[i+1]
	if i == 0 {
		inner = min(inner, a)
	}
	if i == k.Zones()-1 {
		outer = max(outer, b)
	}
	return max(0, min(outer, b)-max(inner, a))
}
