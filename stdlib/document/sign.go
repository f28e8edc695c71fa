package document

import "strings"

// Signed returns a block as it is read: a number below nought has a minus, as on the
// axes of plots, where the recipe's own text has a hyphen. What was printed with fmt
// stays to the letter. The block itself is as it was.
func Signed(b Block) Block {
	switch b := b.(type) {
	case Text:
		b.Text = signed(b.Text)
		return b
	case Table:
		return b.signed()
	case Plot:
		b.Alt, b.Notes = signed(b.Alt), allSigned(b.Notes)
		return b
	case View:
		b.Alt, b.Notes = signed(b.Alt), allSigned(b.Notes)
		return b
	case Drawing:
		b.Alt, b.Notes = signed(b.Alt), allSigned(b.Notes)
		return b
	case Image:
		b.Panels, b.Notes = append([]Panel(nil), b.Panels...), allSigned(b.Notes)
		for i := range b.Panels {
			b.Panels[i].Name, b.Panels[i].Alt = signed(b.Panels[i].Name), signed(b.Panels[i].Alt)
		}
		return b
	case Card:
		b.Facts = append([]Fact(nil), b.Facts...)
		for i := range b.Facts {
			b.Facts[i].Text = signed(b.Facts[i].Text)
		}
		b.Spells, b.Steps, b.Warnings = b.Spells.signed(), allSigned(b.Steps), allSigned(b.Warnings)
		return b
	case Result:
		b.Text = signed(b.Text)
		return b
	case Expect:
		b.Text = signed(b.Text)
		return b
	}
	return b
}

func (t Table) signed() Table {
	t.Notes = allSigned(t.Notes)
	rows := make([][]Cell, len(t.Rows))
	for i, row := range t.Rows {
		rows[i] = append([]Cell(nil), row...)
		for j := range rows[i] {
			rows[i][j].Text = signed(rows[i][j].Text)
		}
	}
	t.Rows = rows
	return t
}

func allSigned(texts []string) []string {
	var all []string
	for _, t := range texts {
		all = append(all, signed(t))
	}
	return all
}

// signed makes a minus of each hyphen that stands before a number or a bracket and after nothing,
// a space or a bracket.
func signed(s string) string {
	if !strings.Contains(s, "-") {
		return s
	}
	var b strings.Builder
	before := ' '
	for i, c := range s {
		if c == '-' && strings.ContainsRune(" \u00a0\n\t([", before) && i+1 < len(s) && strings.IndexByte("0123456789.(", s[i+1]) >= 0 {
			b.WriteString("−")
		} else {
			b.WriteRune(c)
		}
		before = c
	}
	return b.String()
}
