package check

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// A Directive is one part of a format of package fmt that begins with a percent
// sign.
type Directive struct {
	From, To int    // the bytes of the format it takes
	Flags    string // what stands between the percent sign and the verb
	Verb     rune   // 0 where the format ends before it
	Arg      int    // the operand that the verb asks for, or -1
	Stars    []int  // the operands that give width and precision
}

// Sharp tells whether the directive asks for Go syntax.
func (d Directive) Sharp() bool { return d.Verb == 'v' && strings.Contains(d.Flags, "#") }

// NumberedFlags returns what stands between the percent sign and the verb with the
// numbers of the operands that give width and precision, and without the verb's.
func (d Directive) NumberedFlags() string {
	var b strings.Builder
	stars := d.Stars
	for i := 0; i < len(d.Flags); i++ {
		switch d.Flags[i] {
		case '[':
			i += strings.IndexByte(d.Flags[i:], ']')
		case '*':
			b.WriteString("[" + strconv.Itoa(stars[0]+1) + "]*")
			stars = stars[1:]
		default:
			b.WriteByte(d.Flags[i])
		}
	}
	return b.String()
}

// Directives takes a format apart as package fmt does, for n operands. It also
// returns how many of them it asks for before the first that it does not ask for:
// n where an operand is asked for by its number.
func Directives(format string, n int) (list []Directive, used int) {
	r := formatReader{format: format, n: n}
	for r.at < len(format) {
		if format[r.at] != '%' {
			r.at++
			continue
		}
		list = append(list, r.directive())
	}
	if r.numbered {
		return list, n
	}
	return list, r.arg
}

// A formatReader reads a format. The rules are those of doPrintf in fmt/print.go
// of Go 1.26.
type formatReader struct {
	format   string
	n        int  // operands
	at       int  // in format
	arg      int  // the next operand
	numbered bool // an operand was asked for by its number
	good     bool // the numbers of the directive in work make sense
}

func (r *formatReader) is(c byte) bool { return r.at < len(r.format) && r.format[r.at] == c }

func (r *formatReader) directive() Directive {
	d := Directive{From: r.at, Arg: -1}
	r.good = true
	for r.at++; r.at < len(r.format) && strings.IndexByte("#0+- ", r.format[r.at]) >= 0; r.at++ {
	}
	after := r.number()
	if r.is('*') {
		r.star(&d)
		after = false
	} else if r.digits() && after {
		r.good = false
	}
	if r.is('.') && r.at+1 < len(r.format) {
		r.at++
		if after {
			r.good = false
		}
		if after = r.number(); r.is('*') {
			r.star(&d)
			after = false
		} else {
			r.digits()
		}
	}
	if !after {
		r.number()
	}
	d.Flags = r.format[d.From+1 : r.at]
	if r.at < len(r.format) {
		verb, size := utf8.DecodeRuneInString(r.format[r.at:])
		r.at += size
		d.Verb = verb
		if verb != '%' && r.good && r.arg < r.n {
			d.Arg = r.arg
			r.arg++
		}
	}
	d.To = r.at
	return d
}

func (r *formatReader) star(d *Directive) {
	r.at++
	if r.arg < r.n {
		d.Stars = append(d.Stars, r.arg)
		r.arg++
	}
}

// tooLarge is a number that fmt takes for no width.
const tooLarge = 1e6

func (r *formatReader) digits() (there bool) {
	for k := 0; r.at < len(r.format) && '0' <= r.format[r.at] && r.format[r.at] <= '9'; r.at++ {
		if k > tooLarge {
			r.at = len(r.format)
			return false
		}
		there = true
		k = 10*k + int(r.format[r.at]-'0')
	}
	return there
}

// number reads the number of an operand in brackets, if there is one.
func (r *formatReader) number() bool {
	if !r.is('[') {
		return false
	}
	r.numbered = true
	width := strings.IndexByte(r.format[r.at:], ']')
	if width < 0 {
		r.at++
		r.good = false
		return false
	}
	inner := formatReader{format: r.format[r.at+1 : r.at+width]}
	r.at += width + 1
	if !inner.digits() || inner.at < width-1 {
		r.good = false
		return false
	}
	k := 0
	for _, c := range inner.format {
		k = 10*k + int(c-'0')
	}
	if k < 1 || k > r.n {
		r.good = false
		return true
	}
	r.arg = k - 1
	return true
}
