// Package show writes a recipe's document: words, tables, drawings of curves,
// and the pictures and tables of the trade. Each call adds to the document where
// it stands.
//
// Numbers stand with the doubt they have: "31.2 (27.0 to 36.1)" is a value and
// the range it lies in with a chance of 68 %. Units stand in the heads of tables
// and at the axes.
package show

import (
	"fmt"
	"math"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

// Text shows a paragraph of plain words, in the manner of fmt.Sprintf.
func Text(format string, args ...any) {
	text := format
	if len(args) > 0 {
		text = fmt.Sprintf(format, args...)
	}
	emit(document.Text{Text: text})
}

func emit(b document.Block) { host.Current().Emit(b) }

// shop is how lengths across the glass are printed on a mirror.
type shop struct {
	unit     unit.Length
	decimals int
}

func shopOf(m *mirror.Mirror) shop {
	if m.Shop() == unit.Inch {
		return shop{unit.Inch, 2}
	}
	return shop{m.Shop(), 1}
}

// in returns a length as a number of the shop's unit.
func (s shop) in(l unit.Length) float64 { return l.In(s.unit) }

// text prints a length with the unit.
func (s shop) text(l unit.Length) string { return l.Text(s.unit, s.decimals) }

// fall prints where the edges of a lap fall, without the unit, to whole
// millimetres or hundredths of an inch.
func (s shop) fall(f wear.Fall) string {
	decimals := 0
	if s.unit == unit.Inch {
		decimals = 2
	}
	return fixed(s.in(f.Inner), decimals) + " to " + fixed(s.in(f.Outer), decimals)
}

// symbol is the name of the unit.
func (s shop) symbol() string { return s.unit.Symbol() }

// nm returns a height in metres as a number of nanometres.
func nm(metres float64) float64 { return metres * 1e9 }

// percent prints a chance, never as sure where it is not.
func percent(chance float64) string {
	switch {
	case chance > 0 && chance < 0.01:
		return "less than 1 %"
	case chance < 1 && chance > 0.99:
		return "more than 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*chance)
}

// round drops digits beyond a hundredth, which no drawing shows and which may
// differ between processors.
func round(v float64) float64 { return math.Round(v*100) / 100 }
