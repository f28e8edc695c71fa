package render

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lapwright/stdlib/document"
)

// plotTables returns the data of a plot as tables: one for the curves that share
// their values of x. Of long curves it takes values at even steps, and says so.
func plotTables(p document.Plot) []document.Table {
	const most = 16 // rows of a table
	var tables []document.Table
	for i, c := range p.Curves {
		if slices.ContainsFunc(p.Curves[:i], func(o document.Curve) bool { return slices.Equal(o.X, c.X) }) {
			continue
		}
		var together []document.Curve
		for _, o := range p.Curves[i:] {
			if slices.Equal(o.X, c.X) {
				together = append(together, o)
			}
		}
		t := document.Table{Columns: []document.Column{{Name: p.X.Label, Unit: p.X.Unit}}}
		columns := [][]float64{c.X}
		for _, o := range together {
			columns = append(columns, o.Y)
			t.Columns = append(t.Columns, document.Column{Name: o.Name, Unit: p.Y.Unit})
			if len(o.Low) > 0 || len(o.High) > 0 {
				columns = append(columns, o.Low, o.High)
				t.Columns = append(t.Columns,
					document.Column{Name: o.Name + ", low", Unit: p.Y.Unit},
					document.Column{Name: o.Name + ", high", Unit: p.Y.Unit})
			}
		}
		decimals := make([]int, len(columns))
		for j, column := range columns {
			decimals[j] = places(column)
		}
		step := 1
		if n := len(c.X); n > most {
			step = int(math.Ceil(float64(n-1) / (most - 1)))
			t.Notes = []string{fmt.Sprintf("One value in %d; the JSON form has all %d.", step, n)}
		}
		for r := range c.X {
			if r%step != 0 && r != len(c.X)-1 {
				continue
			}
			row := make([]document.Cell, len(columns))
			for j, column := range columns {
				if r < len(column) {
					row[j].Text = strings.Replace(strconv.FormatFloat(column[r], 'f', decimals[j], 64), "-", "−", 1)
				}
			}
			t.Rows = append(t.Rows, row)
		}
		tables = append(tables, t)
	}
	return tables
}

// places returns the decimals that give the largest of some values about four
// digits.
func places(values []float64) int {
	largest := 0.0
	for _, v := range values {
		if a := math.Abs(v); a > largest && !math.IsInf(a, 0) {
			largest = a
		}
	}
	if largest == 0 {
		return 0
	}
	return int(min(max(2-math.Floor(math.Log10(largest)), 0), 12))
}
