package document

import (
	"fmt"
	"strings"
)

// tableText sets a table in columns: the heads with their units under them, a
// rule, the rows. Where it would be wider than columns, columns of words are
// broken over several lines.
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

	widths := columnWidths(t.Columns, heads, rows, columns-len(gap)*(len(t.Columns)-1))

	var b strings.Builder
	if t.Title != "" {
		b.WriteString(Wrap(t.Title, "", "", columns))
	}
	for _, head := range heads {
		writeRow(&b, t.Columns, widths, head, gap)
	}
	rule := make([]string, len(widths))
	for i, w := range widths {
		rule[i] = strings.Repeat("─", w)
	}
	b.WriteString(strings.Join(rule, gap) + "\n")
	for _, row := range rows {
		writeRow(&b, t.Columns, widths, row, gap)
	}
	notes := t.Notes
	if anyWarn {
		notes = append([]string{"! needs your eye"}, notes...)
	}
	writeNotes(&b, notes, columns)
	return b.String()
}

// columnWidths gives each column the width it needs. What is missing of the room
// is taken from the widest columns of words.
func columnWidths(cols []Column, heads, rows [][]string, room int) []int {
	const narrowest = 12
	widths := make([]int, len(cols))
	total := 0
	for i := range cols {
		for _, row := range heads {
			widths[i] = max(widths[i], Width(row[i]))
		}
		for _, row := range rows {
			widths[i] = max(widths[i], Width(row[i]))
		}
		total += widths[i]
	}
	for total > room {
		widest := -1
		for i, c := range cols {
			if c.Text && widths[i] > narrowest && (widest < 0 || widths[i] > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
		total--
	}
	return widths
}

// writeRow sets one row, over as many lines as its longest cell takes.
func writeRow(b *strings.Builder, cols []Column, widths []int, cells []string, gap string) {
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
			cell := ""
			if l < len(parts[i]) {
				cell = parts[i][l]
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
