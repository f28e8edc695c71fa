package record

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lapwright/stdlib/document"
)

// Likeness says how alike two runs are.
type Likeness int

// From the least alike.
const (
	Different Likeness = iota // something printed or drawn differs
	Digits                    // the same in every printed digit
	Bits                      // the same to the last bit
)

// A Comparison is what came of holding a run against a record.
type Comparison struct {
	Like    Likeness
	Values  int          // how many entries were held against each other
	Differ  []Difference // in the order of the record; those that are seen first, where any is
	Changed []string     // what else went in, in words
}

// A Difference is an entry that is not the same in two runs. Was or Is is nil
// where only one run has it.
type Difference struct {
	Was, Is *Entry
	Seen    bool // in what is printed or drawn
	Column  int  // of Numbers, where those differ; otherwise -1
}

// Numbers returns the two numbers that differ and whether there are any.
func (d Difference) Numbers() (was, is float64, ok bool) {
	if d.Column < 0 || d.Was == nil || d.Is == nil {
		return 0, 0, false
	}
	return d.Was.Numbers[d.Column], d.Is.Numbers[d.Column], true
}

// Relative returns the difference of two numbers over the greater of them.
func Relative(a, b float64) float64 {
	if a == b {
		return 0
	}
	return math.Abs(a-b) / max(math.Abs(a), math.Abs(b))
}

// Places returns how many float64 lie between two numbers, the second counted:
// their distance in units of the last place where they have one exponent.
func Places(a, b float64) uint64 {
	order := func(v float64) int64 {
		if bits := int64(math.Float64bits(v)); bits >= 0 {
			return bits
		} else {
			return math.MinInt64 - bits
		}
	}
	x, y := order(a), order(b)
	return uint64(max(x, y)) - uint64(min(x, y))
}

// Hair is how far a value that is drawn and not printed may be off before it
// counts as seen: a part of the greatest value of its kind in the drawing, less
// than the width of a line.
const Hair = 1e-3

// Compare holds a run against what was recorded before.
func Compare(was, is *Record) Comparison {
	c := Comparison{Like: Bits, Values: len(was.Results), Changed: changed(was, is)}
	now := make(map[[3]string][]*Entry)
	for i := range is.Results {
		e := &is.Results[i]
		now[e.key()] = append(now[e.key()], e)
	}
	scales := scales(was, is)
	for i := range was.Results {
		e := &was.Results[i]
		same := now[e.key()]
		if len(same) == 0 {
			c.add(Difference{Was: e, Seen: true, Column: -1})
			continue
		}
		now[e.key()] = same[1:]
		if d := differ(e, same[0], scales[group(e)]); d != nil {
			c.add(*d)
		}
	}
	for i := range is.Results {
		e := &is.Results[i]
		if slices.Contains(now[e.key()], e) {
			c.Values++
			c.add(Difference{Is: e, Seen: true, Column: -1})
		}
	}
	slices.SortStableFunc(c.Differ, func(a, b Difference) int {
		switch {
		case a.Seen == b.Seen:
			return 0
		case a.Seen:
			return -1
		}
		return 1
	})
	return c
}

func (c *Comparison) add(d Difference) {
	like := Digits
	if d.Seen {
		like = Different
	}
	c.Like = min(c.Like, like)
	c.Differ = append(c.Differ, d)
}

// group is what the entries of one curve have in common.
func group(e *Entry) [3]string { return [3]string{e.Section, e.Block, of(e.Name)} }

// scales returns the greatest value in each column of what is drawn.
func scales(records ...*Record) map[[3]string][]float64 {
	all := make(map[[3]string][]float64)
	for _, r := range records {
		for i := range r.Results {
			e := &r.Results[i]
			s := all[group(e)]
			for j, v := range e.Numbers {
				if j == len(s) {
					s = append(s, 0)
				}
				s[j] = max(s[j], math.Abs(v))
			}
			all[group(e)] = s
		}
	}
	return all
}

// differ returns how two entries of one name differ, or nil.
func differ(was, is *Entry, scale []float64) *Difference {
	d := &Difference{Was: was, Is: is, Column: -1, Seen: was.Text != is.Text || len(was.Numbers) != len(is.Numbers)}
	if len(was.Numbers) == len(is.Numbers) {
		worst := uint64(0)
		for j, v := range was.Numbers {
			w := is.Numbers[j]
			if math.Float64bits(v) == math.Float64bits(w) {
				continue
			}
			if p := Places(v, w); p > worst || d.Column < 0 {
				worst, d.Column = p, j
			}
			if was.Text == "" && math.Abs(v-w) > Hair*scale[j] {
				d.Seen = true
			}
		}
	}
	if !d.Seen && d.Column < 0 && was.Sum == is.Sum {
		return nil
	}
	return d
}

// changed says what went in that did not before, in words.
func changed(was, is *Record) []string {
	var all []string
	say := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	if was.Engine != is.Engine {
		say("the engine: revision %d then, %d now", was.Engine, is.Engine)
	}
	if was.Numbers != is.Numbers {
		say("the numbers of the primitives: revision %d then, %d now", was.Numbers, is.Numbers)
	}
	if was.Recipe.SHA256 != is.Recipe.SHA256 {
		say("the recipe %s", document.Line(is.Recipe.Name))
	}
	sums := make(map[string]string)
	for _, f := range was.Files {
		sums[f.Name] = f.SHA256
	}
	for _, f := range is.Files {
		if then, ok := sums[f.Name]; !ok {
			say("the file %s, which was not read then", document.Line(f.Name))
		} else if then != f.SHA256 {
			say("the file %s", document.Line(f.Name))
		}
		delete(sums, f.Name)
	}
	for _, f := range was.Files {
		if _, left := sums[f.Name]; left {
			say("the file %s, which is not read now", document.Line(f.Name))
		}
	}
	values := make(map[string]string)
	for _, in := range was.Inputs {
		values[in.Name] = in.Value
	}
	for _, in := range is.Inputs {
		if then, ok := values[in.Name]; !ok {
			say("the input %s, which is new", document.Line(in.Name))
		} else if then != in.Value {
			say("the input %s: %s then, %s now", document.Line(in.Name), document.Line(then), document.Line(in.Value))
		}
		delete(values, in.Name)
	}
	for _, in := range was.Inputs {
		if _, left := values[in.Name]; left {
			say("the input %s, which is gone", document.Line(in.Name))
		}
	}
	return all
}

// String says in a few lines how the entry differs.
func (d Difference) String() string {
	switch {
	case d.Is == nil:
		return d.Was.Place() + "\n  is not there any more"
	case d.Was == nil:
		return d.Is.Place() + "\n  was not there then"
	}
	var b strings.Builder
	b.WriteString(d.Was.Place())
	was, is, numbers := d.Numbers()
	if d.Was.Text != d.Is.Text {
		fmt.Fprintf(&b, "\n  then  %s\n  now   %s", document.Line(d.Was.Text), document.Line(d.Is.Text))
	}
	switch {
	case numbers:
		write := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
		fmt.Fprintf(&b, "\n  then  %s\n  now   %s\n  apart by %.2g, %.2g of the value, %s in the last place", write(was), write(is), math.Abs(was-is), Relative(was, is), units(Places(was, is)))
	case len(d.Was.Numbers) != len(d.Is.Numbers):
		fmt.Fprintf(&b, "\n  held %d numbers then, %d now", len(d.Was.Numbers), len(d.Is.Numbers))
	case d.Was.Sum != d.Is.Sum:
		b.WriteString("\n  is not the same to the last grey")
	}
	return b.String()
}

func units(n uint64) string {
	if n == 1 {
		return "1 unit"
	}
	if n > 1e6 {
		return fmt.Sprintf("%.1e units", float64(n))
	}
	return strconv.FormatUint(n, 10) + " units"
}
