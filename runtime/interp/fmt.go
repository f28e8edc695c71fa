package interp

import (
	"fmt"
	"go/types"
	"io"
	"reflect"
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

// A texter makes the text of operands, as fmt.Sprint or fmt.Sprintln does.
type texter func(m *machine, args []any) string

// sprint sets a space between operands of which neither is a string, whatever
// its type is called.
func sprint(m *machine, args []any) string {
	var b strings.Builder
	wasString := false
	for i, a := range args {
		isString := false
		if a != nil {
			if lay := m.layouts.byWord[wordOf(a)]; lay != nil {
				isString = kindOf(lay) == types.String
			} else {
				isString = reflect.TypeOf(a).Kind() == reflect.String
			}
		}
		if i > 0 && !isString && !wasString {
			b.WriteByte(' ')
		}
		fmt.Fprint(&b, m.operands(args[i:i+1])...)
		wasString = isString
	}
	return b.String()
}

func sprintln(m *machine, args []any) string { return fmt.Sprintln(m.operands(args)...) }

func printTo(text texter) native {
	return func(m *machine, fr *frame, args, results []slot) {
		var s string
		m.guard(fr, func() { s = text(m, *at[[]any](fr, args[0].offset)) })
		m.output(fr, s, results)
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

func sprintTo(text texter) native {
	return func(m *machine, fr *frame, args, results []slot) {
		m.guard(fr, func() { *at[string](fr, results[0].offset) = text(m, *at[[]any](fr, args[0].offset)) })
	}
}

func fprintTo(text texter) native {
	return func(m *machine, fr *frame, args, results []slot) {
		var s string
		m.guard(fr, func() { s = text(m, *at[[]any](fr, args[1].offset)) })
		m.writeTo(fr, args[0], s, results)
	}
}

func appendTo(text texter) native {
	return func(m *machine, fr *frame, args, results []slot) {
		m.guard(fr, func() {
			s := text(m, *at[[]any](fr, args[1].offset))
			*at[[]byte](fr, results[0].offset) = append(*at[[]byte](fr, args[0].offset), s...)
		})
	}
}

func (m *machine) writeTo(fr *frame, to slot, s string, results []slot) {
	w := *at[io.Writer](fr, to.offset)
	if w == nil {
		nilDereference()
	}
	n, err := w.Write([]byte(s))
	m.top = fr
	if len(results) > 0 {
		*at[int](fr, results[0].offset) = n
		*at[error](fr, results[1].offset) = err
	}
}

func (m *machine) sprintf(fr *frame, format, args slot) (s string) {
	m.guard(fr, func() {
		f, a, left := m.typeVerbs(*at[string](fr, format.offset), *at[[]any](fr, args.offset))
		s = fmt.Sprintf(f, m.operands(a)...) + m.extra(left)
	})
	return s
}

// extra writes what fmt writes about arguments that no verb asked for.
func (m *machine) extra(args []any) string {
	if len(args) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("%!(EXTRA ")
	for i, a := range args {
		if i > 0 {
			b.WriteString(", ")
		}
		if a == nil {
			b.WriteString("<nil>")
			continue
		}
		b.WriteString(m.nameOf(a) + "=")
		fmt.Fprint(&b, m.operands(args[i:i+1])...)
	}
	b.WriteByte(')')
	return b.String()
}

// typeVerbs makes a format and its arguments fit where an argument is of a type
// the machine knows and fmt may not: the verb T, for which fmt asks reflection,
// is replaced by the type's name, and arguments that no verb asks for are left.
func (m *machine) typeVerbs(format string, args []any) (f string, used, left []any) {
	if !slices.ContainsFunc(args, func(a any) bool {
		return a != nil && m.layouts.byWord[wordOf(a)] != nil && m.isOwn(m.layouts.byWord[wordOf(a)].typ)
	}) {
		return format, args, nil
	}
	var b strings.Builder
	next := 0
	numbered := false
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
				numbered = true
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
			if strings.Contains(format, "[") {
				// The argument may be asked for again: the name is one more.
				out = append(out, m.nameOf(args[next]))
				flags, _, _ := strings.Cut(format[i:j], "[")
				fmt.Fprintf(&b, "%s[%d]s", flags, len(out))
			} else {
				out[next] = m.nameOf(args[next])
				b.WriteString(format[i:j] + "s")
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
	if !numbered && next < len(args) {
		return b.String(), out[:next], args[next:]
	}
	return b.String(), out, nil
}

// errorf implements fmt.Errorf. An operand of the verb w must be an error for
// fmt too.
func errorf(m *machine, fr *frame, args, results []slot) {
	m.guard(fr, func() {
		f, a, left := m.typeVerbs(*at[string](fr, args[0].offset), *at[[]any](fr, args[1].offset))
		ops := m.operands(a)
		for i := range ops {
			if o, ok := ops[i].(operand); ok && m.methodNamed(o.lay, "Error") {
				ops[i] = symbols.Error{Held: symbols.Held{Value: o.v, Machine: m}}
			}
		}
		if len(left) > 0 {
			f += strings.ReplaceAll(m.extra(left), "%", "%%")
		}
		*at[error](fr, results[0].offset) = fmt.Errorf(f, ops...)
	})
}
