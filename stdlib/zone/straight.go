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
// one that leaves the least mean square slope by area.
//
// The covariance is that of the mean readings only. It does not say what the
// straight pieces get wrong: the surface between the edges, and the slope over a
// wide zone.
func Straight(r *Readings) *figure.Figure {
	k := r.mask
	n := k.Zones()
	t := tester{k.m, r.sheet.Source}

	// Slope errors of the zones for the means as they are, and how they change
	// with each reading. The shift of all readings that leaves the least mean square
	// slope is a weighted mean of them; taking it out makes the slopes a linear map
	// of the readings.
	ideal := t.means(k, perfect)
	shift := r.commonShift(ideal)
	slopes, change, weight := make([]float64, n), make([]float64, n), make([]float64, n)
	total := 0.0
	for i := range n {
		at := float64(k.Radius(i))
		z, dz := t.target(at)
		off := r.fit.mean[i] - shift - ideal[i]
		slopes[i] = t.slope(at, z, t.reading(at, z, dz)+off) - dz
		_, bySlope := t.change(at, z, dz)
		change[i] = 1 / bySlope
		inner, outer := k.opening(i)
		weight[i] = (outer*outer - inner*inner) * change[i] * change[i]
		total += weight[i]
	}
	more := 0.0 // shift that is left
	for i, s := range slopes {
		more += weight[i] / total * s / change[i]
	}
	byReading := mat.NewDense(n, n, nil)
	for i := range n {
		slopes[i] -= more * change[i]
		for j := range n {
			v := -change[i] * weight[j] / total
			if i == j {
				v += change[i]
			}
			byReading.Set(i, j, v)
		}
	}

	columns := k.pieces()
	e := mat.NewVecDense(figure.GridSize, nil)
	e.MulVec(columns, mat.NewVecDense(n, slopes))
	var heights mat.Dense
	heights.Mul(columns, byReading)
	return figure.New(k.m, e.RawVector().Data, congruent(&heights, r.fit.cov)).Refocused()
}

// pieces returns the heights that the slopes of the zones make on the grid: column i
// is the surface where zone i alone has a slope, of 1.
func (k *Mask) pieces() *mat.Dense {
	grid := figure.Grid(k.m)
	columns := mat.NewDense(len(grid), k.Zones(), nil)
	for i := range k.Zones() {
		one := make([]float64, len(grid))
		for j := 1; j < len(grid); j++ {
			one[j] = one[j-1] + k.run(i, grid[j-1], grid[j])
		}
		columns.SetCol(i, one)
	}
	return columns
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
