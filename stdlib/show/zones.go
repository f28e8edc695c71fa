package show

import (
	"fmt"

	"lapwright/stdlib/zone"
)

// Zones shows where the glass stands high and low, from the centre out, and
// whether the readings bear it out.
func Zones(list zone.Zones, k *zone.Mask) {
	if len(list) == 0 {
		Text("No zone stands out from the doubt of the readings.")
		return
	}
	s := shopOf(k.Mirror())
	in := s.symbol()
	t := newTable("High and low zones", "glass", fmt.Sprintf("at (%s)", in), fmt.Sprintf("from (%s)", in), fmt.Sprintf("to (%s)", in),
		"zones of the mask", "height (nm)", "± (nm)", "told")
	for _, r := range list {
		glass := "low"
		if r.High {
			glass = "high"
		}
		zones := "outside it"
		switch {
		case r.First > 0 && r.First == r.Last:
			zones = fmt.Sprint(r.First)
		case r.First > 0 && r.Last > 0:
			zones = fmt.Sprintf("%d to %d", r.First, r.Last)
		}
		t.row(words(glass), number(s.in(r.At), s.decimals), number(s.in(r.From), s.decimals), number(s.in(r.To), s.decimals),
			words(zones), number(nm(float64(r.Height)), 1), number(nm(float64(r.Doubt)), 1), warned(words(r.Told()), r.Told() != "sure"))
	}
	t.note("Heights are at best focus. From and to: where half of the height is left. Low glass can be mended only by lowering the rest.")
	t.show()
}
