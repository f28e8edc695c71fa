package zone

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lapwright/stdlib/host"
	"lapwright/stdlib/sheet"
)

// Read reads a sheet of readings from a CSV file in the recipe's folder: a head
// line, then one row a set, under the columns
//
//	set       the set's name (may be left out)
//	zone 1    the reading of zone 1, the innermost, and so on for all zones
//
// A reading that was not taken is a single hyphen. Lines that start with # are
// comments. Package sheet says what the file must be like. Read stops the recipe
// where the sheet is malformed, where a zone of the mask has no column, where a
// column has a name not known, where a word or nothing stands for a number, and
// where a reading is larger than the focal length; the message names file, line
// and column.
func Read(k *Mask, file string, s Sheet) *Readings {
	const call = "zone.Read"
	s = s.checked(call, k.m)
	table := sheet.Read(call, file)
	c := k.columns(table)
	r := &Readings{mask: k, sheet: s}
	for _, row := range table.Rows {
		one := set{name: strconv.Itoa(len(r.sets) + 1)}
		if c.name >= 0 && row[c.name].Text != "" {
			one.name = row[c.name].Text
		}
		for _, at := range c.zone {
			one.values = append(one.values, k.number(row[at], s))
			one.places = append(one.places, row[at].Position.String())
		}
		r.sets = append(r.sets, one)
	}
	r.finish(call)
	return r
}

// columns says which column of a sheet holds what.
type columns struct {
	name int // -1 for none
	zone []int
}

// columns finds the columns by their heads.
func (k *Mask) columns(table *sheet.Sheet) columns {
	c := columns{name: -1, zone: make([]int, k.Zones())}
	for i := range c.zone {
		c.zone[i] = -1
	}
	allowed := []string{"set"}
	for i := range c.zone {
		allowed = append(allowed, fmt.Sprintf("zone %d", i+1))
	}
	for at, head := range table.Head {
		key := sheet.Key(head.Text)
		if key == "set" {
			c.name = at
			continue
		}
		digits, found := strings.CutPrefix(key, "zone")
		n, err := strconv.Atoi(digits)
		switch {
		case !found || err != nil || n < 0 || digits[0] == '+':
			near := ""
			if name := host.Nearest(head.Text, allowed); name != "" {
				near = fmt.Sprintf("; did you mean %q?", name)
			}
			head.Stopf("%q is no column of a sheet of readings%s The columns are set, which may be left out, and zone 1 to zone %d",
				head.Text, or(near, "."), k.Zones())
		case n < 1 || n > k.Zones():
			head.Stopf("there is no zone %d: the mask has zones 1 to %d", n, k.Zones())
		case c.zone[n-1] >= 0: // "zone 1" and "zone 01"
			head.Stopf("zone %d has a column already", n)
		}
		c.zone[n-1] = at
	}
	for i, at := range c.zone {
		if at < 0 {
			table.Head[len(table.Head)-1].Stopf("there is no column zone %d: the mask has %d zones, and each must have its column", i+1, k.Zones())
		}
	}
	return c
}

func or(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// number reads one reading in metres, NaN where none was taken.
func (k *Mask) number(c sheet.Cell, s Sheet) float64 {
	switch c.Text {
	case "-", "−", "–":
		return math.NaN()
	case "":
		c.Stopf("there is no reading here; write a hyphen where none was taken")
	}
	v := c.Number() * float64(s.Unit)
	if wrong := k.reason(v); wrong != "" {
		c.Stopf("%s The sheet is read in %s", wrong, s.Unit.Symbol())
	}
	return v
}
