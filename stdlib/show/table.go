package show

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// Heads lists the heads of the columns of a table, each with its unit in
// brackets where it has one: "depth (nm)".
func Heads(heads ...string) []string { return heads }

// Row is a row of a table. Its cells may be words, whole numbers, numbers, yes
// or no, quantities of package unit, and figure.Estimate.
func Row(cells ...any) []any { return cells }

// Table shows a table. Quantities are shown in the unit of their column's head
// or, where that has none, each in its own. Numbers of a column are shown with
// the same number of decimals, four digits for the largest. It stops the recipe
// where a row is not as long as the heads, where a quantity is not of the kind
// its column's unit is of, and where a cell is of a kind a table cannot show.
func Table(title string, heads []string, rows ...[]any) {
	const call = "show.Table"
	t := newTable(title, heads...)
	units := make([]string, len(heads))
	for i, c := range t.Columns {
		units[i] = c.Unit
	}
	decimals := make([]int, len(heads))
	for i := range decimals {
		most := 0.0
		for _, row := range rows {
			if i < len(row) {
				if v, ok := value(row[i], units[i]); ok && !math.IsInf(v, 0) {
					most = math.Max(most, math.Abs(v))
				}
			}
		}
		decimals[i] = 3
		if most > 0 {
			decimals[i] = min(max(3-int(math.Floor(math.Log10(most))), 0), 9)
		}
	}
	for r, row := range rows {
		if len(row) != len(heads) {
			host.Stopf(call, "row %d of %q has %d cells; the table has %d columns", r+1, title, len(row), len(heads))
		}
		var cells []document.Cell
		for i, c := range row {
			v, isNumber := value(c, units[i])
			switch c := c.(type) {
			case string:
				cells = append(cells, words(c))
			case bool:
				cells = append(cells, words(map[bool]string{true: "yes", false: "no"}[c]))
			case int:
				cells = append(cells, number(float64(c), 0))
			case figure.Estimate:
				cells = append(cells, estimate(c, metres(units[i]), decimals[i]))
			case fmt.Stringer:
				switch {
				case isNumber:
					cells = append(cells, number(v, decimals[i]))
				case units[i] == "":
					cells = append(cells, words(c.String()))
				default:
					host.Stopf(call, "%v in row %d of %q cannot be shown in %s, the unit of %q", c, r+1, title, units[i], heads[i])
				}
			default:
				if !isNumber {
					host.Stopf(call, "cell %d in row %d of %q is a %T; a table shows words, numbers, quantities and estimates", i+1, r+1, title, c)
				}
				cells = append(cells, number(v, decimals[i]))
			}
		}
		t.row(cells...)
	}
	t.show()
}

// value returns what a cell is as a number of the named unit, and whether it is
// one.
func value(cell any, symbol string) (float64, bool) {
	switch c := cell.(type) {
	case float64:
		return c, true
	case figure.Estimate:
		return c.Value / metres(symbol), true
	case unit.Length:
		return over(c, symbol, unit.ParseLength)
	case unit.Angle:
		return over(c, symbol, unit.ParseAngle)
	case unit.Force:
		return over(c, symbol, unit.ParseForce)
	case unit.Pressure:
		return over(c, symbol, unit.ParsePressure)
	case unit.Time:
		return over(c, symbol, unit.ParseTime)
	case unit.Rate:
		return over(c, symbol, unit.ParseRate)
	case unit.Preston:
		return over(c, symbol, unit.ParsePreston)
	}
	return 0, false
}

// metres returns how long the named unit is, 1 where it is no length.
func metres(symbol string) float64 {
	if l, err := unit.ParseLength("1 " + symbol); err == nil && symbol != "" {
		return float64(l)
	}
	return 1
}

func over[Q ~float64](q Q, symbol string, parse func(string) (Q, error)) (float64, bool) {
	one, err := parse("1 " + symbol)
	if err != nil || symbol == "" {
		return 0, false
	}
	return float64(q / one), true
}

// A table is one in the making.
type table struct{ document.Table }

// newTable begins a table with the given heads, each with its unit in brackets.
func newTable(title string, heads ...string) *table {
	t := &table{document.Table{Title: title}}
	for _, h := range heads {
		c := document.Column{Name: h}
		if name, rest, found := strings.Cut(h, " ("); found && strings.HasSuffix(rest, ")") {
			c = document.Column{Name: name, Unit: strings.TrimSuffix(rest, ")")}
		}
		t.Columns = append(t.Columns, c)
	}
	return t
}

func (t *table) row(cells ...document.Cell) { t.Rows = append(t.Rows, cells) }

func (t *table) note(format string, args ...any) {
	t.Notes = append(t.Notes, fmt.Sprintf(format, args...))
}

// finished returns the table with columns that hold words only marked as such.
func (t *table) finished() document.Table {
	for i := range t.Columns {
		t.Columns[i].Text = true
		for _, row := range t.Rows {
			if row[i].Number != nil {
				t.Columns[i].Text = false
			}
		}
	}
	return t.Table
}

func (t *table) show() { emit(t.finished()) }

// words is a cell of words.
func words(text string) document.Cell { return document.Cell{Text: text} }

// number is a cell of a number; a dash where there is none.
func number(v float64, decimals int) document.Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return document.Cell{Text: "–"}
	}
	return document.Cell{Text: fixed(v, decimals), Number: &v}
}

// fixed prints a number, without the sign of a nought. It is rounded to 12 digits
// first: the mean of a few readings often lies on the tie between two decimals, and
// the last bits, in which processors may differ, must not decide.
func fixed(v float64, decimals int) string {
	if settled, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 11, 64), 64); err == nil {
		v = settled
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}

// estimate is a cell of a value and its range, as numbers of size.
func estimate(e figure.Estimate, size float64, decimals int) document.Cell {
	c := number(e.Value/size, decimals)
	if c.Number != nil && e.Low != e.High {
		c.Text += fmt.Sprintf(" (%s to %s)", fixed(e.Low/size, decimals), fixed(e.High/size, decimals))
	}
	return c
}

// warned marks a cell as in need of the reader's eye.
func warned(c document.Cell, when bool) document.Cell {
	c.Warn = when
	return c
}
