package document

import (
	"fmt"
	"slices"
	"strings"
)

// tableText sets a table in columns: the heads with their units under them, a
// rule, the rows. Where it would be wider than columns, heads and columns of
// words are broken over several lines; where that does not help and the table
// has fewer rows than columns, it is turned. What is wider still is cut into parts that
// stand below one another.
func tableText(t Table, columns int) string {
	const gap = "  "
	heads := make([][]string, 0, 2)
	names, units, anyUnit := make([]string, len(t.Columns)), make([]string, len(t.Columns)), false
	for i, c := range t.Columns {
		names[i], units[i] = Line(c.Name), Line(c.Unit)
		anyUnit = anyUnit || c.Unit != ""
	}
	heads = append(heads, names)
	if anyUnit {
		heads = append(heads, units)
	}
	rows := make([][]string, len(t.Rows))
	warned := make([]bool, len(t.Columns)) // columns that keep a place for the mark
	anyWarn := false
	for i, row := range t.Rows {
		rows[i] = make([]string, len(t.Columns))
		for j := range t.Columns {
			if j >= len(row) {
				continue
			}
			rows[i][j] = Line(row[j].Text)
			warned[j] = warned[j] || row[j].Warn
		}
	}
	for i, row := range t.Rows {
		for j := range t.Columns {
			if warned[j] && j < len(row) {
				mark := " "
				if row[j].Warn {
					mark, anyWarn = "!", true
				}
				rows[i][j] += mark
			}
		}
	}

	room := columns - len(gap)*(len(t.Columns)-1)
	widths := columnWidths(t.Columns, heads, rows, room)
	if turned := t.Turned(); sum(widths) > room && len(turned.Columns) < len(t.Columns) {
		return tableText(turned, columns)
	}
	if at := fitting(widths, len(gap), columns); at < len(widths) {
		first, rest := t.halves(at)
		return tableText(first, columns) + "\n" + tableText(rest, columns)
	}

	var b strings.Builder
	if t.Title != "" {
		b.WriteString(Wrap(t.Title, "", "", columns))
	}
	for _, head := range heads {
		writeRow(&b, t.Columns, widths, head, gap, true)
	}
	rule := make([]string, len(widths))
	for i, w := range widths {
		rule[i] = strings.Repeat("─", w)
	}
	b.WriteString(strings.Join(rule, gap) + "\n")
	for _, row := range rows {
		writeRow(&b, t.Columns, widths, row, gap, false)
	}
	notes := t.Notes
	if anyWarn {
		notes = append([]string{"! needs your eye"}, notes...)
	}
	writeNotes(&b, notes, columns)
	return b.String()
}

// fitting returns how many columns stand side by side in the room there is; at least
// two, as a part of a table repeats the first.
func fitting(widths []int, gap, room int) int {
	for i, w := range widths {
		if room -= w; room < 0 && i >= 2 {
			return i
		}
		room -= gap
	}
	return len(widths)
}

// halves cuts a table in two at a column. The second half begins with the first
// column again, and has the notes.
func (t Table) halves(at int) (first, rest Table) {
	first = Table{Title: t.Title, Columns: t.Columns[:at]}
	rest = Table{Columns: slices.Concat(t.Columns[:1], t.Columns[at:]), Notes: t.Notes}
	for _, row := range t.Rows {
		first.Rows = append(first.Rows, row[:min(at, len(row))])
		rest.Rows = append(rest.Rows, slices.Concat(row[:min(1, len(row))], row[min(at, len(row)):]))
	}
	return first, rest
}

// columnWidths gives each column the width it needs. What is missing of the room
// is taken first from heads that can be broken and are wider than what is under
// them, then from the widest columns of words.
func columnWidths(cols []Column, heads, rows [][]string, room int) []int {
	const narrowest = 12
	widths, needed := make([]int, len(cols)), make([]int, len(cols))
	total := 0
	for i := range cols {
		for _, row := range rows {
			needed[i] = max(needed[i], Width(row[i]))
		}
		widths[i] = needed[i]
		for _, row := range heads {
			widths[i] = max(widths[i], Width(row[i]))
			for _, word := range strings.Fields(row[i]) {
				needed[i] = max(needed[i], Width(word))
			}
		}
		if cols[i].Text {
			widths[i] = min(widths[i], max(room, narrowest))
			needed[i] = min(needed[i], widths[i])
		}
		total += widths[i]
	}
	// take narrows the column that has most to give, and tells whether one had.
	take := func(spare func(i int) int) bool {
		most := -1
		for i := range cols {
			if spare(i) > 0 && (most < 0 || spare(i) > spare(most)) {
				most = i
			}
		}
		if most >= 0 {
			widths[most]--
			total--
		}
		return most >= 0
	}
	for total > room {
		if !take(func(i int) int { return widths[i] - needed[i] }) &&
			!take(func(i int) int {
				if !cols[i].Text {
					return 0
				}
				return widths[i] - narrowest
			}) {
			break
		}
	}
	return widths
}

// writeRow sets one row, over as many lines as its longest cell takes. The lines
// of shorter cells stand above, or below where the row is a head.
func writeRow(b *strings.Builder, cols []Column, widths []int, cells []string, gap string, head bool) {
	parts := make([][]string, len(cols))
	lines := 1
	for i, cell := range cells {
		parts[i] = []string{cell}
		if Width(cell) > widths[i] {
			parts[i] = strings.Split(strings.TrimSuffix(Wrap(cell, "", "", widths[i]), "\n"), "\n")
		}
		lines = max(lines, len(parts[i]))
	}
	for l := range lines {
		line := ""
		for i, c := range cols {
			cell, at := "", l
			if head {
				at -= lines - len(parts[i])
			}
			if at >= 0 && at < len(parts[i]) {
				cell = parts[i][at]
			}
			if i > 0 {
				line += gap
			}
			if c.Text {
				line += Pad(cell, widths[i])
			} else {
				line += padLeft(cell, widths[i])
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

func writeNotes(b *strings.Builder, notes []string, columns int) {
	for _, note := range notes {
		fmt.Fprint(b, Wrap(note, "  ", "  ", columns))
	}
}

func sum(values []int) (total int) {
	for _, v := range values {
		total += v
	}
	return total
}
