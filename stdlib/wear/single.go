package wear

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"lapwright/stdlib/elementary"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/unit"
)

// lapFactor is how far the rate of a single lap may differ from that of all, as
// Rate has it: pitch, slurry and temperature are not the same under each. Even an
// extended Preston model with fitted terms was found to miss measured removal by up
// to about 22 % (Applied Optics, doi 10.1364/AO.410903, abstract [S]). A rate taken
// as exact holds for every lap.
const lapFactor = 1.2

// single is what is known of the rates of single laps: the logarithms of what is
// common to all laps and of the coefficient of each, as normals.
type single struct {
	laps []*lap.Lap
	ln   []float64 // of the common coefficient, then of each lap's
	cov  *mat.SymDense
}

// Learned returns a rate of which single laps are known: the logarithms of the
// coefficient common to all laps, then of each of laps, and their covariance. It
// stops the recipe where their numbers do not fit or are not finite. Package session
// learns.
func Learned(laps []*lap.Lap, ln []float64, cov *mat.SymDense) Rate {
	const call = "wear.Learned"
	if len(ln) != len(laps)+1 {
		host.Stopf(call, "there are %d logarithms for %d laps; there must be one more than laps", len(ln), len(laps))
	}
	if cov == nil || cov.SymmetricDim() != len(ln) {
		host.Stopf(call, "the covariance must be of %d logarithms", len(ln))
	}
	for i, v := range ln {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			host.StopArg(call, fmt.Sprintf("logarithm %d", i+1), v, "finite")
		}
	}
	if slices.Contains(laps, nil) {
		host.Stopf(call, "lap %d of laps is nil", slices.Index(laps, nil)+1)
	}
	own := mat.NewSymDense(len(ln), nil)
	own.CopySym(cov)
	return Rate{
		K:      unit.Preston(elementary.Exp(ln[0])),
		Factor: elementary.Exp(math.Sqrt(cov.At(0, 0))),
		laps:   &single{slices.Clone(laps), slices.Clone(ln), own},
	}
}

// Laps returns the laps whose own rates were learned. The slice is a copy.
func (r Rate) Laps() []*lap.Lap {
	if r.laps == nil {
		return nil
	}
	return slices.Clone(r.laps.laps)
}

// Of returns the rate of one lap: as it was learned, or else the common one with
// a factor of 1.2 more for how far laps differ.
func (r Rate) Of(l *lap.Lap) Rate {
	ln, cov := r.Joint(l)
	return Rate{K: unit.Preston(elementary.Exp(ln[1])), Factor: elementary.Exp(math.Sqrt(cov.At(1, 1)))}
}

// Joint returns what is known of the coefficients of some laps together: the
// logarithms of the medians of what is common to all laps and of each lap's
// coefficient, in m²/N, and their covariance. The common one comes first. Each lap
// is given once.
func (r Rate) Joint(laps ...*lap.Lap) (ln []float64, cov *mat.SymDense) {
	n := len(laps) + 1
	ln, cov = make([]float64, n), mat.NewSymDense(n, nil)
	common, own := math.Log(r.Factor), math.Log(lapFactor)
	if r.Factor == 1 {
		own = 0
	}
	known := func(i int) int { // the place of a lap in what was learned, 0 for none
		if r.laps == nil || i == 0 {
			return 0
		}
		return slices.Index(r.laps.laps, laps[i-1]) + 1
	}
	for i := range n {
		a := known(i)
		ln[i] = math.Log(float64(r.K))
		if r.laps != nil {
			ln[i] = r.laps.ln[a]
		}
		for j := range i + 1 {
			b := known(j)
			v := common * common
			if r.laps != nil {
				v = r.laps.cov.At(a, b)
			}
			if i == j && i > 0 && a == 0 {
				v += own * own
			}
			cov.SetSym(i, j, v)
		}
	}
	return ln, cov
}
