package zone

import (
	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/figure"
)

// Misfit holds readings against a figure: by how much the mean reading of each
// zone is more than the figure gives, in metres, up to one common shift; how the
// readings of a figure change with each of its heights on the grid; and the
// covariance of the means that comes from the scatter alone. The doubt of the
// figure is not in it: with the change Z and the figure's covariance C it adds
// Z·C·Zᵀ. It stops the recipe where readings and figure are of different mirrors.
func Misfit(r *Readings, f *figure.Figure) (off []float64, change *mat.Dense, noise *mat.SymDense) {
	k := r.mask
	k.same("zone.Misfit", f)
	means, change := k.readings(f, r.sheet.Source)
	off = make([]float64, len(means))
	for i, v := range means {
		off[i] = r.fit.mean[i] - v
	}
	noise = mat.NewSymDense(len(means), nil)
	noise.CopySym(r.fit.cov)
	return off, change, noise
}
