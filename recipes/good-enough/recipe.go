// # Is the mirror good enough?
//
// An invented 260 mm f/6 mirror reads well. Before it goes to be coated: is it good enough, and how sure is that? A
// verdict on the middle of the range is a coin's toss; this asks for the chance.
package main

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/input"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/picture"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

func main() {
	// ## What is asked
	//
	// The Strehl ratio the owner wants, behind the secondary of the telescope. A ratio of 0.8 is what textbooks call
	// diffraction limited; from 0.95 on few eyes see a difference (common practice, no source).
	wanted := input.Number("strehl", 0.95, "the least Strehl ratio wanted", 0.5, 0.99)
	secondary := input.Length("secondary", 54*MM, "diameter of the secondary mirror", 0*MM, 120*MM)

	// ## The readings
	blank := mirror.New(mirror.Spec{Name: "Invented 260 mm mirror", Diameter: 260 * MM, FocalLength: 1560 * MM, Bevel: 1 * MM})
	mask := zone.EqualAreas(blank, 6)
	readings := zone.Read(mask, "readings.csv", zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Readings(readings)
	glass := zone.Reduce(readings)
	show.Figure("The glass as tested", glass, mask)

	// ## How good
	//
	// Bare, and behind the secondary, whose own share of the contrast no figure brings back.
	behind := glass.Obstructed(secondary)
	bare, inUse := show.As("bare", glass), show.As("behind the secondary", behind)
	show.Quality("How good the mirror is", bare, inUse)
	show.Encircled("The light of a star", inUse)
	show.Contrast("Contrast of fine stripes", bare, inUse)

	// ## Zone by zone
	//
	// The trade's own measure: where the rays of each zone pass the focus, and how far readings may be off for all of
	// them to fall within the Airy disc. It asks for more than a quarter of a wave does.
	show.Rays(glass, mask)
	show.Envelope(glass, zone.Moving, mask)

	// ## How sure
	//
	// Two hundred mirrors that would all have read like this one, within the scatter: how many of them are good enough?
	const mirrors = 200
	good := 0
	ratios := make([]float64, 0, mirrors)
	for _, sample := range behind.Samples(mirrors, 1) {
		s := strehl(sample)
		ratios = append(ratios, s)
		if s >= wanted {
			good++
		}
	}
	chance := 100 * float64(good) / mirrors
	show.Plot("How many are at most so good", "Strehl ratio", "share (%)", cumulative(ratios))
	show.Text("The mirror is good enough with a chance of %.0f %%.", chance)
	switch {
	case chance >= 90:
		show.Text("Stop here: any further work can only make it worse.")
	case chance <= 10:
		show.Text("It is not there yet.")
	default:
		show.Text("The test cannot tell. More sets of readings, or a mask with other edges, cost an hour; a spell of work costs more if it was not needed.")
	}
	show.Result("chance that it is good enough, per cent", chance)

	// ## In plain words
	//
	// The same as a verdict on the bare glass: what is wrong, what the readings cannot tell, what would help most.
	show.Verdict(glass, mask, figure.Wish{Strehl: wanted})

	// ## What a star would show
	//
	// In focus, and a little to either side, beside a mirror without any error. Rings that differ on the two sides of
	// the focus mean spherical aberration.
	out := 0.4 * MM
	show.Pictures("This mirror", picture.Star(behind, -out), picture.Star(behind, 0), picture.Star(behind, out))
	perfect := figure.Perfect(blank).Obstructed(secondary)
	show.Pictures("A perfect one", picture.Star(perfect, -out), picture.Star(perfect, 0), picture.Star(perfect, out))
}

// strehl is the Strehl ratio of an exact figure.
func strehl(f *figure.Figure) float64 { return f.Quality().StrehlRMS.Value }

// cumulative draws how many per cent of some numbers lie below each of them.
func cumulative(values []float64) show.Curve {
	c := show.Curve{Name: "mirrors"}
	for i := range 41 {
		x := 0.8 + 0.005*float64(i)
		below := 0
		for _, v := range values {
			if v <= x {
				below++
			}
		}
		c.X, c.Y = append(c.X, x), append(c.Y, 100*float64(below)/float64(len(values)))
	}
	return c
}
