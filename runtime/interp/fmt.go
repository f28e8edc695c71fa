package interp

import (
	"fmt"
	"go/types"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"lapwright/runtime/check"
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
		f, ops, extra := m.fit(*at[string](fr, format.offset), *at[[]any](fr, args.offset))
		s = fmt.Sprintf(f, ops...) + extra
	})
	return s
}

// extra writes what fmt writes about operands that no verb asked for.
func (m *machine) extra(args []any) string {
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

// fit makes a format and its operands fit for fmt, which does not know a recipe's
// types. What fmt would write about operands that no verb asks for comes apart.
func (m *machine) fit(format string, args []any) (f string, ops []any, extra string) {
	list, used := check.Directives(format, len(args))
	ops = args
	set := func(i int, x any) {
		if len(ops) > 0 && &ops[0] == &args[0] {
			ops = slices.Clone(args)
		}
		ops[i] = x
	}
	names := false // an operand of the recipe's is asked for its type's name
	for _, d := range list {
		for _, i := range d.Stars {
			if x := m.bare(args[i]); wordOf(x) != wordOf(args[i]) {
				set(i, x)
			}
		}
		if d.Arg < 0 {
			continue
		}
		switch lay := m.ownLayout(args[d.Arg]); {
		case d.Verb == 'T' && m.renamed(args[d.Arg]):
			names = true
		case lay == nil:
			m.noAddress(args[d.Arg], d)
		case d.Verb == 'p':
			m.refuse(printsAddress, "print what it points to")
		default:
			set(d.Arg, operand{m, lay, args[d.Arg]})
		}
	}
	if used < len(args) {
		extra = m.extra(args[used:])
		ops = ops[:used]
	}
	if names {
		format, ops = m.typeNames(format, list, args, ops)
	}
	return format, ops, extra
}

// typeNames has the verb T, for which fmt asks reflection, ask for the name of the
// type of an operand of the recipe's. Every operand is asked for by its number, and
// the names come after them.
func (m *machine) typeNames(format string, list []check.Directive, args, ops []any) (string, []any) {
	var b strings.Builder
	ops = slices.Clone(ops)
	at := 0
	for _, d := range list {
		b.WriteString(format[at:d.From])
		at = d.To
		switch {
		case d.Verb == '%':
			b.WriteString("%%")
			continue
		case d.Arg < 0, strings.Count(d.Flags, "*") > len(d.Stars):
			m.refuse("a format that asks for the type of a value asks for an operand that is not there", "")
		}
		arg, verb := d.Arg, d.Verb
		if verb == 'T' && m.renamed(args[arg]) {
			ops = append(ops, m.nameOf(args[arg]))
			arg, verb = len(ops)-1, 's'
		}
		b.WriteString("%" + d.NumberedFlags() + "[" + strconv.Itoa(arg+1) + "]" + string(verb))
	}
	b.WriteString(format[at:])
	return b.String(), ops
}

// renamed tells whether reflection has another name for the type of x than Go.
func (m *machine) renamed(x any) bool {
	_, ok := asGoError(x)
	return ok || m.ownLayout(x) != nil
}

// errorf implements fmt.Errorf. An operand of the verb w must be an error for
// fmt too.
func errorf(m *machine, fr *frame, args, results []slot) {
	m.guard(fr, func() {
		format, operands := *at[string](fr, args[0].offset), *at[[]any](fr, args[1].offset)
		f, ops, extra := m.fit(format, operands)
		list, _ := check.Directives(format, len(operands))
		for _, d := range list {
			if d.Arg < 0 || d.Verb != 'w' {
				continue
			}
			if o, ok := ops[d.Arg].(operand); ok && m.methodNamed(o.lay, "Error") {
				ops[d.Arg] = symbols.Error{Held: symbols.Held{Value: o.v, Machine: m}}
			}
		}
		*at[error](fr, results[0].offset) = fmt.Errorf(f+strings.ReplaceAll(extra, "%", "%%"), ops...)
	})
}
