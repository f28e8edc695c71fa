package zone

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"lapwright/stdlib/host"
	"lapwright/stdlib/sheet"
	"lapwright/stdlib/unit"
)

// Read reads a sheet of readings from a CSV file in the recipe's folder: a head
// line, then one row a set, under the columns
//
//	set          the set's name
//	angle        how far the mirror was turned about its axis, in degrees
//	date         the day, as 2026-11-25, or with the time, as 2026-11-25 19:30
//	temperature  of the room, in °C; temperature F for °F
//	zone 1       the reading of zone 1, the innermost, and so on for all zones
//
// Only the zones must be there; the unit of readings is Sheet.Unit, not in the head.
// Two openings of a zone that are read apart have two
// columns instead of one,
//
//	zone 1 left, zone 1 right
//
// and their mean counts, which is free of how far across the axis the knife stands;
// their difference is kept for Asymmetries. Readings by the caustic method, of the
// centre of curvature of each zone, have two columns as well,
//
//	zone 1         along the axis
//	zone 1 across  from where the left opening darkens evenly to where the right one
//	               does, more than 0 where each centre lies across the axis from its
//	               opening, as for a paraboloid
//
// and count as explained at Caustic. All zones of a sheet are read in one of these
// ways.
//
// A reading that was not taken is a single hyphen; of a pair both are needed. Lines
// that start with # are comments. Package sheet says what the file must be like.
// Read stops the recipe where the sheet is malformed, where a zone of the mask has
// no column, where a column has a name not known, where a word or nothing stands
// for a number, where a date is none, and where a reading is larger than the focal
// length or the zones read so far apart that no mirror near its target can; the
// message names file, line and column.
func Read(k *Mask, file string, s Sheet) *Readings {
	const call = "zone.Read"
	table := sheet.Read(call, file)
	c := k.columns(table)
	r := &Readings{mask: k, sheet: s.checked(call, k.m, c.way), way: c.way}
	for _, row := range table.Rows {
		r.sets = append(r.sets, k.set(c, row, r.sheet, strconv.Itoa(len(r.sets)+1)))
	}
	r.finish(call)
	return r
}

// A Way is how the zones of a sheet are read.
type Way int

// The ways to read a zone.
const (
	Together Way = iota // both openings at once
	Sides               // each opening by itself
	Centres             // its centre of curvature, by the caustic method
)

// String says the way in words that follow "read with": "both openings at once".
func (w Way) String() string {
	switch w {
	case Sides:
		return "left and right openings apart"
	case Centres:
		return "the centre of curvature of each zone"
	}
	return "both openings at once"
}

// The columns of a pair, by the way: what follows the zone's number.
var pairs = map[Way][2]string{Sides: {"left", "right"}, Centres: {"", "across"}}

// columns says which column of a sheet holds what, -1 for none.
type columns struct {
	set, angle, date, temperature int

	fahrenheit bool
	way        Way
	zone       [][2]int // the second is -1 unless the way is one of pairs
}

// columns finds the columns by their heads.
func (k *Mask) columns(table *sheet.Sheet) columns {
	c := columns{set: -1, angle: -1, date: -1, temperature: -1, zone: make([][2]int, k.Zones())}
	for i := range c.zone {
		c.zone[i] = [2]int{-1, -1}
	}
	for _, head := range table.Head {
		switch _, part, _ := zoneHead(head.Text); part {
		case "left", "right":
			c.way = max(c.way, Sides)
		case "across":
			c.way = Centres
		}
	}
	for at, head := range table.Head {
		switch name := signless(head); name {
		case "set":
			c.set = only(head, c.set, at)
			continue
		case "angle":
			c.angle = only(head, c.angle, at)
			continue
		case "date":
			c.date = only(head, c.date, at)
			continue
		case "temperature", "temperaturec", "temperaturef":
			c.temperature, c.fahrenheit = only(head, c.temperature, at), name == "temperaturef"
			continue
		}
		n, part, found := zoneHead(head.Text)
		if !found {
			k.unknown(head)
		}
		if n < 1 || n > k.Zones() {
			head.Stopf("there is no zone %d: the mask has zones 1 to %d", n, k.Zones())
		}
		column := k.columnOf(c.way, n, part, head)
		if c.zone[n-1][column] >= 0 { // "zone 1" and "zone 01"
			head.Stopf("%s has a column already", strings.TrimSpace(fmt.Sprintf("zone %d %s", n, part)))
		}
		c.zone[n-1][column] = at
	}
	for i, pair := range c.zone {
		names := pairs[c.way]
		for column, at := range pair {
			if at < 0 && (column == 0 || c.way != Together) {
				name := strings.TrimSpace(fmt.Sprintf("zone %d %s", i+1, names[column]))
				table.Head[len(table.Head)-1].Stopf("there is no column %s: the mask has %d zones, and each must have its column%s",
					name, k.Zones(), map[bool]string{true: "s"}[c.way != Together])
			}
		}
	}
	return c
}

// signless is the key of a head without the signs that are written about the unit of an
// angle or a temperature: "angle (°)", "temperature [°F]".
func signless(head sheet.Cell) string {
	return sheet.Key(strings.NewReplacer("°", "", "(", "", ")", "", "[", "", "]", "").Replace(head.Text))
}

// only returns at, the place of a column, if there was none of its kind before.
func only(head sheet.Cell, before, at int) int {
	if before >= 0 {
		head.Stopf("there is such a column already, column %d", before+1)
	}
	return at
}

// columnOf returns which of a zone's columns a head is.
func (k *Mask) columnOf(w Way, n int, part string, head sheet.Cell) int {
	for column, name := range pairs[w] {
		if name == part && (w != Together || column == 0) {
			return column
		}
	}
	if w == Together && part == "" {
		return 0
	}
	names := pairs[w]
	head.Stopf("other zones of this sheet have the columns %s and zone N %s; all must be read in one way", strings.TrimSpace("zone N "+names[0]), names[1])
	return 0
}

// zoneHead reads a head like "zone 3" or "zone 3 left".
func zoneHead(text string) (n int, part string, found bool) {
	rest, found := strings.CutPrefix(sheet.Key(text), "zone")
	part = strings.TrimLeft(rest, "0123456789")
	n, err := strconv.Atoi(strings.TrimSuffix(rest, part))
	switch part {
	case "", "left", "right", "across":
		return n, part, found && err == nil
	}
	return 0, "", false
}

func (k *Mask) unknown(head sheet.Cell) {
	allowed := []string{"set", "angle", "date", "temperature"}
	for i := range k.Zones() {
		for _, part := range []string{"", " left", " right", " across"} {
			allowed = append(allowed, fmt.Sprintf("zone %d%s", i+1, part))
		}
	}
	near := "."
	if at := strings.IndexAny(head.Text, "(["); at > 0 {
		if _, _, found := zoneHead(head.Text[:at]); found {
			head.Stopf("%q names a unit; write the head as %q and give the unit of readings in the recipe, as Sheet.Unit", head.Text, strings.TrimSpace(head.Text[:at]))
		}
	}
	if _, err := strconv.ParseFloat(head.Text, 64); err == nil {
		near = ": its first row holds no readings, it names the columns."
	}
	if name := host.Nearest(head.Text, allowed); name != "" {
		near = fmt.Sprintf("; did you mean %q?", name)
	}
	head.Stopf("%q is no column of a sheet of readings%s The columns are set, angle, date and temperature, which may be left out, and zone 1 to zone %d",
		head.Text, near, k.Zones())
}

// set reads one row.
func (k *Mask) set(c columns, row []sheet.Cell, s Sheet, name string) set {
	one := set{about: Set{Name: name, Angle: unit.Angle(math.NaN()), Temperature: math.NaN()}}
	if c.set >= 0 && row[c.set].Text != "" {
		one.about.Name = row[c.set].Text
	}
	if c.angle >= 0 {
		one.about.Angle = unit.Angle(within(row[c.angle], "°", 360, "the angle must be from -360 to 360 degrees")) * unit.Degree
	}
	if c.date >= 0 && !untaken(row[c.date]) {
		one.about.Date = day(row[c.date])
	}
	if c.temperature >= 0 {
		most, reason := 60.0, "the temperature must be from -60 to 60 °C; write temperature F at the head for °F"
		if c.fahrenheit {
			most, reason = 140, "the temperature must be from -140 to 140 °F"
		}
		t := within(row[c.temperature], "°", most, reason)
		if c.fahrenheit {
			t = (t - 32) / 1.8
		}
		one.about.Temperature = t
	}
	var across []float64
	for i, pair := range c.zone {
		first := k.number(row[pair[0]], s)
		one.places = append(one.places, row[pair[0]].Position.String())
		switch c.way {
		case Sides:
			second := k.number(row[pair[1]], s)
			one.apart = append(one.apart, first-second)
			first = (first + second) / 2
		case Centres:
			second := k.number(row[pair[1]], s)
			if most := k.Radius(i); math.Abs(second) > float64(most) {
				row[pair[1]].Stopf("the centres lie %v apart; they must be less than the zone's radius, %v: is the unit right? The sheet is read in %s",
					unit.Length(second), most, s.Unit.Symbol())
			}
			across = append(across, second)
			first += 0 * second // untaken where the second is
		}
		one.values = append(one.values, first)
	}
	if c.way == Centres {
		k.alongAxis(s.Source, one.values, across)
	}
	return one
}

// untaken tells whether a cell is a hyphen.
func untaken(c sheet.Cell) bool {
	switch c.Text {
	case "-", "−", "–", "—":
		return true
	}
	return false
}

// within reads a number that may be followed by a sign and must lie within ±most,
// NaN where none was taken.
func within(c sheet.Cell, sign string, most float64, reason string) float64 {
	if untaken(c) {
		return math.NaN()
	}
	if c.Text == "" {
		c.Stopf("there is nothing here; write a hyphen where it was not noted")
	}
	c.Text = strings.TrimSpace(strings.TrimSuffix(c.Text, sign))
	v := c.Number()
	if math.Abs(v) > most {
		c.Stopf("%s; %v stands here", reason, v)
	}
	return v
}

// day checks a date and returns it as written.
func day(c sheet.Cell) string {
	for _, layout := range []string{"2006-01-02", "2006-01-02 15:04", "2006-01-02T15:04"} {
		if _, err := time.Parse(layout, c.Text); err == nil {
			return c.Text
		}
	}
	c.Stopf("%q is no date; write it as 2026-11-25, with the time as 2026-11-25 19:30, or a hyphen where it was not noted", c.Text)
	return ""
}

// number reads one reading in metres, NaN where none was taken.
func (k *Mask) number(c sheet.Cell, s Sheet) float64 {
	if untaken(c) {
		return math.NaN()
	}
	if c.Text == "" {
		c.Stopf("there is no reading here; write a hyphen where none was taken")
	}
	if !strings.ContainsAny(c.Text, "0123456789") {
		c.Stopf("%q is no reading; write a number, or a hyphen where none was taken", c.Text)
	}
	v := c.Number() * float64(s.Unit)
	if wrong := k.reason(v); wrong != "" {
		c.Stopf("%s The sheet is read in %s", wrong, s.Unit.Symbol())
	}
	return v
}
