package plan

import (
	"fmt"
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/wear"
)

// lapFactor is how far the rate of a single lap may differ from that of all, as
// wear.Rate has it: pitch, slurry and temperature are not the same under each.
// Even an extended Preston model with fitted terms was found to miss measured
// removal by up to about 22 % (Applied Optics, doi 10.1364/AO.410903, abstract
// [S]). A rate taken as exact holds for every lap.
const lapFactor = 1.2

// A doubt is how well the rates of the laps are known. The rate of a lap is
// K·C·D with C common to all laps and D its own, both lognormal with median 1.
type doubt struct {
	c, d float64 // standard deviations of ln C and ln D, 0 where exact
}

func newDoubt(call string, r wear.Rate) doubt {
	if !(r.K > 0 && r.K < 1) {
		host.StopArg(call, "Rate.K", r.K, "above 0, like 5e-13 m²/N")
	}
	if !(r.Factor >= 1 && r.Factor <= 100) {
		host.StopArg(call, "Rate.Factor", fmt.Sprintf("%.4g", r.Factor), "from 1 (exact) to 100")
	}
	if r.Factor == 1 {
		return doubt{}
	}
	return doubt{math.Log(r.Factor), math.Log(lapFactor)}
}

// mean returns E[k]/K.
func (q doubt) mean() float64 { return math.Exp((q.c*q.c + q.d*q.d) / 2) }

// common returns E[k k']/E[k]² for the rates k, k' of two laps; for one lap own
// times as much.
func (q doubt) common() float64 { return math.Exp(q.c * q.c) }
func (q doubt) own() float64    { return math.Exp(q.d * q.d) }

// estimate returns the sum of depths, one for each lap at the rate K, and the
// range it lies in: for one lap exactly, for several to first order.
func (q doubt) estimate(depths ...float64) figure.Estimate {
	sum, squares := 0.0, 0.0
	for _, d := range depths {
		sum += d
		squares += d * d
	}
	if sum == 0 {
		return figure.Estimate{}
	}
	s := math.Sqrt(q.c*q.c + q.d*q.d*squares/(sum*sum))
	return figure.Estimate{Value: sum, Low: sum * math.Exp(-s), High: sum * math.Exp(s)}
}
