package show

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/zone"
)

// Verdict says in plain words what is wrong with a figure, where, by how much and how
// surely, what the readings cannot tell, and whether a wish is met or what would help
// most. Places are given by the zones of the mask as well.
func Verdict(f *figure.Figure, k *zone.Mask, w figure.Wish) {
	outlook := f.Outlook(w)
	Text("%s", strings.Join([]string{goodness(f), faults(f, k), outlookText(f, outlook)}, "\n\n"))
}

// goodness says how good a figure is.
func goodness(f *figure.Figure) string {
	q := f.Quality()
	return fmt.Sprintf("At best focus the surface is off by %s nm rms and the wavefront by %s waves peak to valley. The Strehl ratio by diffraction is %s, and the greatest ray error %s Airy radii.",
		ranged(q.RMSSurface, 1e-9, 1), ranged(q.PVWave, 1, 2), ranged(q.Strehl, 1, 3), ranged(q.Ray, 1, 2))
}

// Shares of the mean square of the error that a wrong conic accounts for: from mostly on
// it is what is wrong, and the zones are those beside it; from partly on it is told after
// the zones. A turned edge or a hill looks like half a wrong conic.
const (
	mostly = 0.75
	partly = 0.25
)

// faults says what is wrong and where: the correction where most of the error is that,
// then the zones that stand out.
func faults(f *figure.Figure, k *zone.Mask) string {
	var said []string
	certain := false // of anything
	rest := f
	beside := "It"
	c := f.BestConic()
	target := f.Mirror().Spec().Shape.Constant()
	if c.Share >= mostly {
		off, sigma := math.Abs(c.Constant.Value-target), (c.Constant.High-c.Constant.Low)/2
		text := ""
		switch {
		case target == 0:
			text = fmt.Sprintf("It is nearest to a conic of constant %s", ranged(c.Constant, 1, 3))
		case c.Correction.Value < 100:
			text = fmt.Sprintf("It is under-corrected, with %s %% of the correction", ranged(c.Correction, 1, 1))
		default:
			text = fmt.Sprintf("It is over-corrected, with %s %% of the correction", ranged(c.Correction, 1, 1))
		}
		said = append(said, fmt.Sprintf("%s; that makes %.0f %% of the mean square of the error, and is %s.", text, 100*c.Share, told(off, sigma)))
		certain = off > 2*sigma
		rest = f.Minus(figure.Conic(f.Mirror(), c.Constant.Value))
		beside = "Beside that it"
	}
	rings := zone.List(k, rest)
	slices.SortStableFunc(rings, func(a, b zone.Ring) int {
		return cmp.Compare(math.Abs(float64(b.Height)), math.Abs(float64(a.Height)))
	})
	const most = 3 // zones named; show.Zones has them all
	var sure, open []string
	for _, r := range rings[:min(len(rings), most)] {
		text := r.String()
		// Focus alone lifts or lowers the rim a little where a zone further in is off.
		narrow, much := r.At > 0.97*f.Mirror().Clear() && r.From > 0.9*f.Mirror().Clear(), 2*math.Abs(float64(r.Height)) >= math.Abs(float64(rings[0].Height))
		if narrow && much {
			edge := " (a turned-down edge)"
			if r.High {
				edge = " (a turned-up edge)"
			}
			text += edge
		}
		certain = certain || r.Told() == "sure"
		if r.Doubt > 0 && math.Abs(float64(r.Height)) <= float64(r.Doubt) {
			open = append(open, text)
		} else {
			sure = append(sure, text)
		}
	}
	if len(sure) > 0 {
		said = append(said, fmt.Sprintf("%s is %s.", beside, strings.Join(sure, "; ")))
	}
	if len(open) > 0 {
		said = append(said, fmt.Sprintf("The readings cannot tell whether it is %s.", strings.Join(open, "; ")))
	}
	if len(rings) == 0 {
		from := " from the doubt of the readings"
		if f.Covariance() == nil {
			from = ""
		}
		said = append(said, fmt.Sprintf("%s has no zone that stands out%s.", beside, from))
	}
	if c.Share >= partly && c.Share < mostly {
		text := fmt.Sprintf("has %s %% of the correction", ranged(c.Correction, 1, 1))
		if target == 0 {
			text = fmt.Sprintf("has the constant %s", ranged(c.Constant, 1, 3))
		}
		said = append(said, fmt.Sprintf("The nearest conic %s, but makes only %.0f %% of the mean square of the error: go by the zones.", text, 100*c.Share))
	}
	text := strings.Join(said, " ")
	if seen, doubt := seenAndDoubt(f); doubt > seen {
		tell := "the readings cannot tell this mirror from a perfect one"
		if certain {
			tell = "but for what is called sure the readings tell little"
		}
		text = fmt.Sprintf("What is seen of the figure, %.1f nm rms, is less than the doubt of it, %.1f nm: %s. %s", nm(seen), nm(doubt), tell, text)
	}
	return text
}

// seenAndDoubt returns the rms over the area of the heights as most likely, and of their
// standard deviation, at best focus.
func seenAndDoubt(f *figure.Figure) (seen, doubt float64) {
	g := f.Refocused()
	e, sigma := g.Heights(), g.Sigma()
	for i, w := range figure.Weights(f.Mirror()) {
		seen += w * e[i] * e[i]
		doubt += w * sigma[i] * sigma[i]
	}
	return math.Sqrt(seen), math.Sqrt(doubt)
}

// told says how far the readings bear out something with a doubt.
func told(size, sigma float64) string {
	switch {
	case size > 2*sigma:
		return "sure"
	case size > sigma:
		return "likely, not sure"
	}
	return "not told by the readings: the doubt is larger"
}

// outlookText says whether a wish is met and what comes next.
func outlookText(f *figure.Figure, o figure.Outlook) string {
	wish := fmt.Sprintf("The wish is %v.", o.Wish)
	if f.Covariance() == nil && o.Advice != figure.Leave {
		return wish + " The figure does not meet it, and is taken as exact: another spell is needed."
	}
	wish += fmt.Sprintf(" The chance that the mirror meets it as it is: %s.", sampled(o.Meets, f))
	if o.Advice == figure.Leave {
		return wish + " Leave the glass alone: work can only risk it."
	}
	wish += fmt.Sprintf(" Of what the wish allows, what is seen takes up %.0f %% and doubt alone %.0f %%.", 100*o.Seen, 100*o.Doubt)
	switch {
	case o.Advice == figure.Work && o.Worked >= o.Wish.Sure:
		return wish + fmt.Sprintf(" Another spell helps more than better readings: were all that is seen polished away the chance would be %s.", sampled(o.Worked, f))
	case o.Advice == figure.Work:
		return wish + fmt.Sprintf(" Another spell helps more than better readings. But were all that is seen polished away, readings like these would leave the chance at %s: they will have to be better too.", sampled(o.Worked, f))
	case o.Seen <= 1:
		return wish + " What is seen would by itself meet it: doubt is in the way. Better readings help more than another spell."
	}
	return wish + " Better readings help more than another spell; what is called sure above can be worked on all the same."
}
