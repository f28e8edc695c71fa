package document

import (
	"math"
	"sort"
	"strconv"
	"strings"
)

// Bounds returns the ranges that the axes of the plot cover: what the axes fix,
// otherwise what the curves, their bands and the zero line near them need, with
// a little room above and below. Spans and marks do not widen a plot that has
// curves.
func (p Plot) Bounds() (xLow, xHigh, yLow, yHigh float64) {
	x, y := none(), none()
	for _, c := range p.Curves {
		x.cover(c.X...)
		y.cover(c.Y...)
		y.cover(c.Low...)
		y.cover(c.High...)
	}
	if x.empty() {
		for _, spans := range [][]Span{p.Below, p.Above} {
			for _, s := range spans {
				x.cover(s.From, s.To)
			}
		}
		for _, m := range p.Marks {
			x.cover(m.At)
		}
	}
	if height := y.high - y.low; !y.empty() {
		if y.low > 0 && y.low < height {
			y.low = 0
		}
		if y.high < 0 && -y.high < height {
			y.high = 0
		}
		room := (y.high - y.low) / 20
		if y.low != 0 {
			y.low -= room
		}
		if y.high != 0 {
			y.high += room
		}
	}
	x.settle(p.X)
	y.settle(p.Y)
	return x.low, x.high, y.low, y.high
}

// An interval that covers some values.
type interval struct{ low, high float64 }

func none() interval { return interval{math.Inf(1), math.Inf(-1)} }

func (v *interval) empty() bool { return v.low > v.high }

func (v *interval) cover(values ...float64) {
	for _, x := range values {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			v.low, v.high = min(v.low, x), max(v.high, x)
		}
	}
}

// settle makes the interval one that can be drawn.
func (v *interval) settle(a Axis) {
	if a.Low != a.High {
		v.low, v.high = min(a.Low, a.High), max(a.Low, a.High)
	}
	if v.empty() {
		v.low, v.high = 0, 1
	}
	// Finite values can have an infinite distance.
	const most = math.MaxFloat64 / 4
	v.low, v.high = max(min(v.low, most), -most), max(min(v.high, most), -most)
	if scale := max(math.Abs(v.low), math.Abs(v.high)); v.high-v.low <= 1e-9*scale || scale < 1e-300 {
		half := max(scale/10, 1e-300)
		if scale < 1e-300 {
			half = 1
		}
		v.low, v.high = v.low-half, v.high+half
	}
}

// Ticks returns about n round values from low to high, in steps of 1, 2 or 5
// times a power of ten, and the words to print for each.
func Ticks(low, high float64, n int) (at []float64, labels []string) {
	raw := (high - low) / float64(max(n, 1))
	if !(raw > 0) || math.IsInf(raw, 0) {
		return nil, nil
	}
	// The step whose ratio to the wanted one is nearest to 1.
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	step := power
	for _, m := range []float64{2, 5, 10} {
		if math.Abs(math.Log(m*power/raw)) < math.Abs(math.Log(step/raw)) {
			step = m * power
		}
	}
	decimals := int(max(0, -math.Floor(math.Log10(step)+1e-9)))
	const slack = 1e-9
	for i := math.Ceil(low/step - slack); i <= high/step+slack && len(at) < 100; i++ {
		v := i * step
		format := byte('f')
		places := decimals
		if decimals > 6 || math.Abs(v) >= 1e7 {
			format, places = 'g', 4
		}
		label := strconv.FormatFloat(v, format, places, 64)
		if i == 0 {
			v, label = 0, "0"
		}
		at = append(at, v)
		labels = append(labels, strings.Replace(label, "-", "−", 1))
	}
	return at, labels
}

// Lanes puts spans into as few rows as keep those of one row from overlapping
// by more than slack. Their order is by From, then as given.
func Lanes(spans []Span, slack float64) [][]Span {
	sorted := append([]Span(nil), spans...)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].From < sorted[j].From })
	var lanes [][]Span
next:
	for _, s := range sorted {
		for i, lane := range lanes {
			if lane[len(lane)-1].To <= s.From+slack {
				lanes[i] = append(lane, s)
				continue next
			}
		}
		lanes = append(lanes, []Span{s})
	}
	return lanes
}

// Caption returns the words along the axis: its label and unit.
func (a Axis) Caption() string {
	switch {
	case a.Unit == "":
		return a.Label
	case a.Label == "":
		return a.Unit
	}
	return a.Label + ", " + a.Unit
}
