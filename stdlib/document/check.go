package document

import "fmt"

// Check returns an error where a block is not what its type promises: the slices
// of a curve of one length, a row as long as the columns, every number finite, a panel
// with as many greys as it has room for.
func Check(b Block) error {
	switch b := b.(type) {
	case Text, Printed:
		return nil
	case Table:
		return b.check()
	case Plot:
		return b.check()
	case View:
		return b.check()
	case Image:
		return b.check()
	case Drawing:
		return b.check()
	case Card:
		return b.Spells.check()
	case Result:
		if !finite(b.Value) {
			return fmt.Errorf("document: result %q is not finite", b.Name)
		}
		return nil
	case Expect:
		if !finite(b.Got, b.Want, b.Tolerance) {
			return fmt.Errorf("document: expectation %q holds a number that is not finite", b.Name)
		}
		return nil
	}
	return fmt.Errorf("document: %T is no kind of block", b)
}

func (t Table) check() error {
	for i, row := range t.Rows {
		if len(row) != len(t.Columns) {
			return fmt.Errorf("document: row %d of table %q has %d cells for %d columns", i, t.Title, len(row), len(t.Columns))
		}
		for _, cell := range row {
			if cell.Number != nil && !finite(*cell.Number) {
				return fmt.Errorf("document: row %d of table %q holds a number that is not finite", i, t.Title)
			}
		}
	}
	return nil
}

func (p Plot) check() error {
	for _, a := range []Axis{p.X, p.Y} {
		if !finite(a.Low, a.High) {
			return fmt.Errorf("document: an axis of plot %q ends at a number that is not finite", p.Title)
		}
	}
	for _, c := range p.Curves {
		n := len(c.X)
		if len(c.Y) != n || len(c.Low) != len(c.High) || len(c.Low) != 0 && len(c.Low) != n {
			return fmt.Errorf("document: curve %q of plot %q has %d values of x, %d of y, %d low and %d high",
				c.Name, p.Title, n, len(c.Y), len(c.Low), len(c.High))
		}
		for _, values := range [][]float64{c.X, c.Y, c.Low, c.High} {
			if !finite(values...) {
				return fmt.Errorf("document: curve %q of plot %q holds a number that is not finite", c.Name, p.Title)
			}
		}
	}
	for _, m := range p.Marks {
		if !finite(m.At) {
			return fmt.Errorf("document: mark %q of plot %q lies nowhere", m.Name, p.Title)
		}
	}
	for _, spans := range [][]Span{p.Below, p.Above} {
		for _, s := range spans {
			if !finite(s.From, s.To) || s.From > s.To {
				return fmt.Errorf("document: span %q of plot %q runs from %v to %v", s.Name, p.Title, s.From, s.To)
			}
		}
	}
	return nil
}

func (m Image) check() error {
	for _, p := range m.Panels {
		if p.Width < 1 || p.Width > PanelSide || p.Height < 1 || p.Height > PanelSide || len(p.Grey) != p.Width*p.Height {
			return fmt.Errorf("document: panel %q of image %q has %d greys for %d by %d, each from 1 to %d", p.Name, m.Title, len(p.Grey), p.Width, p.Height, PanelSide)
		}
	}
	return nil
}
