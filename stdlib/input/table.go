package input

import (
	"fmt"
	"slices"
	"strings"

	"lapwright/stdlib/host"
	"lapwright/stdlib/sheet"
	"lapwright/stdlib/unit"
)

// Data is a table read from a file. It does not change.
type Data struct {
	sheet *sheet.Sheet
	names []string // of the columns, without their units
	units []string // as written in the head, "" for none
}

// Table reads a CSV file in the recipe's own folder. Its first line names the
// columns, each with its unit in brackets where it has one: "radius (mm)". Lines
// that start with # are comments. It stops the recipe, with the line and the
// column, where the file is missing or not such a table.
func Table(file string) *Data {
	d := &Data{sheet: sheet.Read("input.Table", file)}
	for _, head := range d.sheet.Head {
		if name, u, square := strings.Cut(head.Text, "["); square {
			head.Stopf("the column %q must have its unit in round brackets: %s (%s)", head.Text, strings.TrimSpace(name), strings.TrimSpace(strings.TrimSuffix(u, "]")))
		}
		name, rest, found := strings.Cut(head.Text, "(")
		u, tail, closed := strings.Cut(rest, ")")
		if found && (!closed || strings.TrimSpace(tail) != "" || strings.TrimSpace(u) == "" || strings.TrimSpace(name) == "") {
			head.Stopf("the column %q must be a name, or a name and a unit in brackets, like radius (mm)", head.Text)
		}
		d.names = append(d.names, strings.TrimSpace(name))
		d.units = append(d.units, strings.TrimSpace(u))
	}
	for i, name := range d.names {
		if j := d.find(name); j < i {
			d.sheet.Head[i].Stopf("the column %q is there twice, first as %q", name, d.sheet.Head[j].Text)
		}
	}
	return d
}

// Rows returns the number of rows below the head.
func (d *Data) Rows() int { return len(d.sheet.Rows) }

// String says what the table is: "heights.csv: 12 rows of radius (mm), depth (nm)".
func (d *Data) String() string {
	var heads []string
	for _, h := range d.sheet.Head {
		heads = append(heads, h.Text)
	}
	return fmt.Sprintf("%s: %d rows of %s", d.sheet.File, d.Rows(), strings.Join(heads, ", "))
}

// Columns returns the names of the columns, without their units.
func (d *Data) Columns() []string { return slices.Clone(d.names) }

// Numbers returns a column of plain numbers. Like the other methods that return
// a column, it stops the recipe where there is no such column and where one of
// its cells is not what it must be. A column with a unit in its head is not one
// of plain numbers.
func (d *Data) Numbers(column string) []float64 {
	i := d.column("Data.Numbers", column)
	if d.units[i] != "" {
		d.sheet.Head[i].Stopf("the column %q has a unit, %s; read it as the quantity it is, not as numbers", d.names[i], d.units[i])
	}
	var all []float64
	for _, row := range d.sheet.Rows {
		all = append(all, row[i].Number())
	}
	return all
}

// Lengths returns a column of lengths, in the unit of its head or, where that
// has none, each with its own.
func (d *Data) Lengths(column string) []unit.Length {
	return quantities(d, "Data.Lengths", column, unit.ParseLength)
}

// Angles returns a column of angles, as Lengths does.
func (d *Data) Angles(column string) []unit.Angle {
	return quantities(d, "Data.Angles", column, unit.ParseAngle)
}

// Forces returns a column of forces, as Lengths does.
func (d *Data) Forces(column string) []unit.Force {
	return quantities(d, "Data.Forces", column, unit.ParseForce)
}

// Pressures returns a column of pressures, as Lengths does.
func (d *Data) Pressures(column string) []unit.Pressure {
	return quantities(d, "Data.Pressures", column, unit.ParsePressure)
}

// Times returns a column of times, as Lengths does.
func (d *Data) Times(column string) []unit.Time {
	return quantities(d, "Data.Times", column, unit.ParseTime)
}

// Rates returns a column of rates of turning, as Lengths does.
func (d *Data) Rates(column string) []unit.Rate {
	return quantities(d, "Data.Rates", column, unit.ParseRate)
}

// Words returns a column as it is written.
func (d *Data) Words(column string) []string {
	i := d.column("Data.Words", column)
	var all []string
	for _, row := range d.sheet.Rows {
		all = append(all, row[i].Text)
	}
	return all
}

func quantities[Q ~float64](d *Data, call, column string, parse func(string) (Q, error)) []Q {
	i := d.column(call, column)
	one := Q(1)
	if u := d.units[i]; u != "" {
		var err error
		if one, err = parse("1 " + u); err != nil {
			d.sheet.Head[i].Stopf("the unit of the column: %v", err)
		}
	}
	var all []Q
	for _, row := range d.sheet.Rows {
		if d.units[i] != "" {
			all = append(all, Q(row[i].Number())*one)
			continue
		}
		q, err := parse(row[i].Text)
		if err != nil {
			row[i].Stopf("%v, or name the unit in the head of the column", err)
		}
		all = append(all, q)
	}
	return all
}

// find returns the place of the first column of that name, or -1.
func (d *Data) find(column string) int {
	return slices.IndexFunc(d.names, func(name string) bool { return sheet.Key(name) == sheet.Key(column) })
}

func (d *Data) column(call, column string) int {
	i := d.find(column)
	if i < 0 {
		stop := &host.Stop{Call: call, Message: fmt.Sprintf("%s has no column %q; its columns are: %s", d.sheet.File, column, strings.Join(d.names, ", "))}
		if near := host.Nearest(column, d.names); near != "" {
			stop.Hint = fmt.Sprintf("The nearest is %s.", near)
		}
		panic(stop)
	}
	return i
}
