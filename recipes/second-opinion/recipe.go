// # A second opinion
//
// A friend will test the same mirror, an invented 8 inch f/6, with another mask and a lamp that stays where it is. What
// should come out, if the first test was right? Said beforehand, with ranges, it is a check; said afterwards it is a
// story. The friend's sheet lies beside the first one.
package main

import (
	"lapwright/stdlib/figure"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/picture"
	"lapwright/stdlib/show"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/zone"
)

func main() {
	// ## The first test
	//
	// Lengths across the glass are shown in inches here; the sheets are in millimetres.
	blank := mirror.New(mirror.Spec{Name: "Invented 8 inch mirror", Diameter: 8 * Inch, FocalLength: 48 * Inch, Bevel: 1 * MM, Shop: Inch})
	mine := zone.EqualAreas(blank, 5)
	first := zone.Read(mine, "mine.csv", zone.Sheet{Source: zone.Moving, Unit: MM})
	show.Readings(first)
	glass := zone.Reduce(first)
	show.Figure("By the first test", glass, mine)

	// ## What the second should read
	//
	// From zone 1, through the other mask, with the lamp left in its place. The ranges hold the doubt of the first test,
	// and a scatter of 0.04 mm for each of three readings, which is what the friend thinks of that stand.
	theirs := zone.NewMask(blank, 0*MM, 30*MM, 48*MM, 62*MM, 75*MM, 88*MM, 100*MM)
	foreseen := zone.Expect(theirs, glass, zone.Fixed, 0.04*MM/1.732)
	rows := make([][]any, 0, 6)
	for _, e := range foreseen {
		rows = append(rows, show.Row(e.Zone, e.Reading, e.Low, e.High))
	}
	show.Table("Readings to expect", show.Heads("zone", "reads (mm)", "from (mm)", "to (mm)"), rows...)

	// ## What should be seen
	//
	// Where the first test has a high ring, the knife shows it lit from one side. A friend who sees it lit from the other
	// side, with the knife on the same side, sees a low ring: then something is the wrong way round.
	show.Pictures("Knife at the null of 2.4 inches, and a grating", picture.Shadow(glass, picture.Knife{Null: 2.4 * Inch}),
		picture.Bands(glass, picture.Grating{Null: 2.4 * Inch, Beyond: 2 * MM}))

	// ## What the second did read
	//
	// Each zone against its range. A range of 68 % should miss one zone in three; missing most, or one by far, is news.
	second := zone.Read(theirs, "theirs.csv", zone.Sheet{Source: zone.Fixed, Unit: MM})
	rows = nil
	inside := 0
	for i, m := range second.Means() {
		e := foreseen[i]
		within := m.Reading >= e.Low && m.Reading <= e.High
		if within {
			inside++
		}
		rows = append(rows, show.Row(e.Zone, e.Reading, m.Reading, m.Reading-e.Reading, within))
	}
	show.Table("The second test", show.Heads("zone", "expected (mm)", "read (mm)", "more by (mm)", "in range"), rows...)
	show.Text("%d of %d zones are in range.", inside, theirs.Zones())

	// ## Do they agree
	//
	// The two figures by themselves, and both sheets reduced together: where two masks agree the band is narrower, and a
	// ring that hides from one may show to the other. Expectations are held: a run in which they fail says so and ends
	// with another exit code.
	other := zone.Reduce(second)
	both := zone.Reduce(first, second)
	show.Quality("Three judgements", show.As("first", glass), show.As("second", other), show.As("both", both))
	show.Figure("First less second", glass.Minus(other))
	rms := func(f *figure.Figure) Length { return Length(f.Quality().RMSSurface.Value) }
	show.Expect("rms by the second test", rms(other), rms(glass), 4*NM)
	show.Result("rms of the surface by both tests, nm", rms(both).In(NM))
}
