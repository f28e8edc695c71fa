package interp

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"lapwright/runtime/interp/symbols"
)

// guard runs f, which calls fmt, and sets right what a panic in a method of the
// recipe leaves behind.
func (m *machine) guard(fr *frame, f func()) {
	depth, inHost := m.depth, m.inHost
	f()
	m.top, m.depth, m.inHost = fr, depth, inHost
	if m.halted != nil {
		panic(m.halted)
	}
}

func printTo(write func(io.Writer, ...any) (int, error)) native {
	return func(m *machine, fr *frame, args, results []slot) {
		var b strings.Builder
		m.guard(fr, func() { write(&b, m.operands(*at[[]any](fr, args[0].offset))...) })
		m.output(fr, b.String(), results)
	}
}

// output writes text to what fmt.Print writes to.
func (m *machine) output(fr *frame, s string, results []slot) {
	n, err := io.WriteString(m.options.Out, s)
	if len(results) > 0 {
		*at[int](fr, results[0].offset) = n
		*at[error](fr, results[1].offset) = err
	}
}

func sprint(write func(...any) string) native {
	return func(m *machine, fr *frame, args, results []slot) {
		m.guard(fr, func() {
			*at[string](fr, results[0].offset) = write(m.operands(*at[[]any](fr, args[0].offset))...)
		})
	}
}

func fprint(write func(...any) string) native {
	return func(m *machine, fr *frame, args, results []slot) {
		var s string
		m.guard(fr, func() { s = write(m.operands(*at[[]any](fr, args[1].offset))...) })
		m.writeTo(fr, args[0], s, results)
	}
}

func appendText(write func(...any) string) native {
	return func(m *machine, fr *frame, args, results []slot) {
		m.guard(fr, func() {
			s := write(m.operands(*at[[]any](fr, args[1].offset))...)
			*at[[]byte](fr, results[0].offset) = append(*at[[]byte](fr, args[0].offset), s...)
		})
	}
}

func (m *machine) writeTo(fr *frame, to slot, s string, results []slot) {
	w := *at[io.Writer](fr, to.offset)
	if w == nil {
		nilDereference()
	}
	n, err := io.WriteString(w, s)
	m.top = fr
	if len(results) > 0 {
		*at[int](fr, results[0].offset) = n
		*at[error](fr, results[1].offset) = err
	}
}

func (m *machine) sprintf(fr *frame, format, args slot) (s string) {
	m.guard(fr, func() {
		f, a := m.typeVerbs(*at[string](fr, format.offset), *at[[]any](fr, args.offset))
		s = fmt.Sprintf(f, m.operands(a)...)
	})
	return s
}

// typeVerbs replaces the verb T, for which fmt asks reflection, where an argument
// is of a type of the recipe: the type's name becomes an argument more.
func (m *machine) typeVerbs(format string, args []any) (string, []any) {
	if !strings.Contains(format, "T") {
		return format, args
	}
	own := slices.ContainsFunc(args, func(a any) bool {
		return a != nil && m.layouts.byWord[wordOf(a)] != nil
	})
	if !own {
		return format, args
	}
	var b strings.Builder
	next := 0
	out := slices.Clone(args)
	for i := 0; i < len(format); {
		if format[i] != '%' {
			b.WriteByte(format[i])
			i++
			continue
		}
		j := i + 1
		for ; j < len(format) && strings.IndexByte("+-# 0123456789.*[]", format[j]) >= 0; j++ {
			switch format[j] {
			case '*':
				next++
			case '[':
				if k := strings.IndexByte(format[j:], ']'); k > 0 {
					if n, err := strconv.Atoi(format[j+1 : j+k]); err == nil {
						next = n - 1
					}
				}
			}
		}
		if j >= len(format) {
			b.WriteString(format[i:])
			break
		}
		verb, size := utf8.DecodeRuneInString(format[j:])
		switch {
		case verb == 'T' && next >= 0 && next < len(args) && args[next] != nil:
			// As many arguments stay as there were: the name takes the value's place.
			if used := strings.Count(format, "["); used == 0 {
				out[next] = m.nameOf(args[next])
				b.WriteString(format[i:j] + "s")
			} else {
				out = append(out, m.nameOf(args[next]))
				flags := format[i:j]
				if k := strings.IndexByte(flags, '['); k >= 0 {
					flags = flags[:k]
				}
				fmt.Fprintf(&b, "%s[%d]s", flags, len(out))
			}
			next++
		case verb == '%':
			b.WriteString(format[i : j+size])
		default:
			b.WriteString(format[i : j+size])
			next++
		}
		i = j + size
	}
	return b.String(), out
}

// errorf implements fmt.Errorf. An operand of the verb w must be an error for
// fmt too.
func errorf(m *machine, fr *frame, args, results []slot) {
	m.guard(fr, func() {
		f, a := m.typeVerbs(*at[string](fr, args[0].offset), *at[[]any](fr, args[1].offset))
		ops := m.operands(a)
		for i := range ops {
			if o, ok := ops[i].(operand); ok && m.methodNamed(o.lay, "Error") {
				ops[i] = symbols.Error{Held: symbols.Held{Value: o.v, Machine: m}}
			}
		}
		err := fmt.Errorf(f, ops...)
		*at[error](fr, results[0].offset) = err
	})
}
