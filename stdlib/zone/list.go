package zone

import (
	"fmt"
	"math"
	"strings"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/unit"
)

// Zones are the places where the glass stands high or low, from the centre out.
type Zones []Ring

// A Ring is a place where the glass stands high or low, at best focus.
type Ring struct {
	High        bool
	At          unit.Length // where it stands highest, or lowest
	From, To    unit.Length // where it has half that height, or the next one begins
	Height      unit.Length // at At; negative where low
	Doubt       unit.Length // standard deviation of Height
	First, Last int         // zones of the mask it lies in, from 1; 0 outside the mask

	place string
	shop  unit.Length
}

// List finds the high and low zones of a figure with piston and focus taken out.
// A crest or a hollow counts where it stands out from the next hollow or crest on
// both sides by more than the doubt of that difference, and by more than a
// twentieth of the whole range.
func List(k *Mask, f *figure.Figure) Zones {
	k.same("zone.List", f)
	f = f.Refocused()
	e, sigma, grid, cov := f.Heights(), f.Sigma(), figure.Grid(k.m), f.Covariance()
	low, high := e[0], e[0]
	for _, v := range e {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	floor := math.Max(0.05*(high-low), 1e-12)
	apart := func(i, j int) bool {
		doubt := 0.0
		if cov != nil {
			doubt = math.Sqrt(math.Max(0, cov.At(i, i)+cov.At(j, j)-2*cov.At(i, j)))
		}
		return math.Abs(e[i]-e[j]) > math.Max(floor, doubt)
	}

	// Go out from the centre; what was the highest place is a crest once the glass
	// has fallen far enough below it, and a hollow the other way about.
	var turns []int
	crest, hollow := 0, 0
	rising, falling := true, true // may be either until the first turn
	for i := range e {
		if e[i] > e[crest] {
			crest = i
		}
		if e[i] < e[hollow] {
			hollow = i
		}
		switch {
		case rising && apart(crest, i) && crest < i && e[i] < e[crest]:
			turns = append(turns, crest)
			hollow, rising, falling = i, false, true
		case falling && apart(hollow, i) && hollow < i && e[i] > e[hollow]:
			turns = append(turns, hollow)
			crest, rising, falling = i, true, false
		}
	}
	switch {
	case len(turns) == 0:
		return nil
	case rising:
		turns = append(turns, crest)
	default:
		turns = append(turns, hollow)
	}

	var list Zones
	for n, i := range turns {
		other := turns[max(n-1, 0)]
		if n == 0 {
			other = turns[1]
		}
		up := e[i] > e[other]
		if up != (e[i] > 0) { // a crest that is still low is no high zone
			continue
		}
		from, to := 0, len(e)-1
		if n > 0 {
			from = turns[n-1]
		}
		if n < len(turns)-1 {
			to = turns[n+1]
		}
		a, b := i, i
		for a > from && e[a-1]/e[i] >= 0.5 {
			a--
		}
		for b < to && e[b+1]/e[i] >= 0.5 {
			b++
		}
		ring := Ring{
			High: up, At: unit.Length(grid[i]), From: unit.Length(grid[a]), To: unit.Length(grid[b]),
			Height: unit.Length(e[i]), Doubt: unit.Length(sigma[i]),
			First: k.holding(grid[a]), Last: k.holding(grid[b]), shop: k.m.Shop(),
		}
		switch {
		case i == 0 && grid[0] == 0:
			ring.place = "the centre"
		case i == 0:
			ring.place = "the edge of the hole"
		case i == len(e)-1:
			ring.place = "the rim"
		}
		list = append(list, ring)
	}
	return list
}

// holding returns the zone that r lies in, from 1, or 0.
func (k *Mask) holding(r float64) int {
	for i := range k.Zones() {
		if r >= k.edges[i] && r <= k.edges[i+1] {
			return i + 1
		}
	}
	return 0
}

// Told says how far the readings bear it out.
func (r Ring) Told() string {
	switch h := math.Abs(float64(r.Height)); {
	case h > 2*float64(r.Doubt):
		return "sure"
	case h > float64(r.Doubt):
		return "likely, not sure"
	}
	return "the doubt is larger than the height"
}

// String says the ring in one line: where, how wide, how much, how sure.
func (r Ring) String() string {
	word := "low"
	if r.High {
		word = "high"
	}
	decimals := 0
	if r.shop == unit.Inch {
		decimals = 2
	}
	at := r.place
	if at == "" {
		at = r.At.Text(r.shop, decimals)
	}
	zones := ""
	switch {
	case r.First > 0 && r.First == r.Last:
		zones = fmt.Sprintf(", zone %d", r.First)
	case r.First > 0 && r.Last > 0:
		zones = fmt.Sprintf(", zones %d to %d", r.First, r.Last)
	}
	symbol := " " + r.shop.Symbol()
	text := fmt.Sprintf("%s at %s (%s to %s%s): %s", word, at,
		strings.TrimSuffix(r.From.Text(r.shop, decimals), symbol), r.To.Text(r.shop, decimals), zones, nanometres(r.Height))
	if r.Doubt > 0 {
		text += fmt.Sprintf(" ± %s, %s", nanometres(r.Doubt), r.Told())
	}
	return text
}

// nanometres prints a height with one decimal while that says something.
func nanometres(h unit.Length) string {
	if math.Abs(h.In(unit.NM)) < 9.95 {
		return h.Text(unit.NM, 1)
	}
	return h.Text(unit.NM, 0)
}

// String says all zones, a line each.
func (z Zones) String() string {
	if len(z) == 0 {
		return "no zone stands out from the doubt of the readings"
	}
	lines := make([]string, len(z))
	for i, r := range z {
		lines[i] = r.String()
	}
	return strings.Join(lines, "\n")
}
