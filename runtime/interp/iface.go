package interp

import (
	"go/types"
	"reflect"
	"slices"
	"unsafe"

	"golang.org/x/tools/go/ssa"

	"lapwright/runtime/interp/symbols"
)

// recipeValue is what the program's interfaces hold for a recipe's value.
type recipeValue interface{ Recipe() any }

// plain is x with a recipe's value in place of what holds it for the program.
func plain(x any) any {
	if h, ok := x.(recipeValue); ok {
		return h.Recipe()
	}
	return x
}

// dynamic returns what an interface in a register holds, as an empty interface
// holds it.
func (m *machine) dynamic(fr *frame, s slot) any {
	return m.held(s.lay, unsafe.Add(unsafe.Pointer(fr), s.offset))
}

func (m *machine) held(lay *layout, p unsafe.Pointer) any {
	if lay.real {
		// Whatever its methods, an interface with a method table tells the type
		// of its value in the same way.
		return plain(any(*(*error)(p)))
	}
	return *(*any)(p)
}

// keep sets an interface variable to a value known to satisfy it.
func (m *machine) keep(lay *layout, p unsafe.Pointer, x any) {
	switch {
	case x == nil:
		*(*face)(p) = face{}
	case !lay.real:
		*(*any)(p) = x
	default:
		if lay.rt == errorType {
			if e, ok := x.(error); ok {
				*(*error)(p) = e
			} else {
				*(*error)(p) = symbols.Error{Held: symbols.Held{Value: x, Machine: m}}
			}
			return
		}
		v := reflect.ValueOf(x)
		if !v.Type().Implements(lay.rt) {
			named := lay.typ.(*types.Named)
			h := symbols.Hold(named.Obj().Pkg().Path(), named.Obj().Name(), symbols.Held{Value: x, Machine: m})
			if h == nil {
				m.refuse("a recipe's own type cannot stand for "+types.TypeString(lay.typ, shortly)+" here", "")
			}
			v = reflect.ValueOf(h)
		}
		reflect.NewAt(lay.rt, p).Elem().Set(v)
	}
}

var errorType = reflect.TypeFor[error]()

// shortly names a type's package by its name alone.
func shortly(p *types.Package) string { return p.Name() }

// box returns a variable's value as an empty interface.
func (lay *layout) box(p unsafe.Pointer) any {
	if lay.iface {
		if lay.real {
			return plain(any(*(*error)(p)))
		}
		return *(*any)(p)
	}
	var f face
	if lay.direct {
		f = face{lay.word, *(*unsafe.Pointer)(p)}
	} else {
		data := lay.new()
		lay.copy(data, p)
		f = face{lay.word, data}
	}
	return *(*any)(unsafe.Pointer(&f))
}

// unbox sets a variable to the value an empty interface holds, which is of the
// layout's type.
func (lay *layout) unbox(p unsafe.Pointer, x any) {
	f := (*face)(unsafe.Pointer(&x))
	if lay.direct {
		*(*unsafe.Pointer)(p) = f.data
	} else {
		lay.copy(p, f.data)
	}
}

func wordOf(x any) unsafe.Pointer { return (*face)(unsafe.Pointer(&x)).typ }

func (c *compiler) makeInterface(instr *ssa.MakeInterface) op {
	d, x := c.slot(instr), c.slot(instr.X)
	m := c.m
	if d.lay.real {
		return c.failing(instr, func(fr *frame) {
			m.keep(d.lay, unsafe.Add(unsafe.Pointer(fr), d.offset), x.lay.box(unsafe.Add(unsafe.Pointer(fr), x.offset)))
		})
	}
	switch x.lay.rt {
	case reflect.TypeFor[float64]():
		return boxing[float64](d.offset, x.offset)
	case reflect.TypeFor[int]():
		return boxing[int](d.offset, x.offset)
	case reflect.TypeFor[string]():
		return boxing[string](d.offset, x.offset)
	}
	return func(fr *frame) {
		*at[any](fr, d.offset) = x.lay.box(unsafe.Add(unsafe.Pointer(fr), x.offset))
	}
}

func boxing[T any](d, x uintptr) op {
	return func(fr *frame) { *at[any](fr, d) = *at[T](fr, x) }
}

func (c *compiler) changeInterface(instr ssa.Value, from ssa.Value) op {
	d, x := c.slot(instr), c.slot(from)
	if !d.lay.real && !x.lay.real || d.lay.rt == x.lay.rt {
		return copying(d, x.offset)
	}
	m := c.m
	return c.failing(instr.(ssa.Instruction), func(fr *frame) {
		m.keep(d.lay, unsafe.Add(unsafe.Pointer(fr), d.offset), m.dynamic(fr, x))
	})
}

func (c *compiler) typeAssert(instr *ssa.TypeAssert) op {
	m, x := c.m, c.slot(instr.X)
	if bindsMethod(instr) {
		return c.failing(instr, func(fr *frame) {
			if m.dynamic(fr, x) == nil {
				nilDereference()
			}
		})
	}
	n := c.site(instr, instr.Pos())
	want := m.layouts.of(instr.AssertedType)
	var d slot
	var ok uintptr
	if instr.CommaOk {
		d, ok = c.place(c.tuples[instr][0]), c.place(c.tuples[instr][1]).offset
	} else {
		d = c.slot(instr)
	}
	iface, isInterface := want.under.(*types.Interface)
	from := instr.X.Type()
	return func(fr *frame) {
		fr.at = n
		v := m.dynamic(fr, x)
		p := unsafe.Add(unsafe.Pointer(fr), d.offset)
		var holds bool
		missing := ""
		if isInterface {
			holds = v != nil
			if holds {
				missing = m.missing(v, iface)
				holds = missing == ""
			}
		} else {
			holds = wordOf(v) == want.word
		}
		switch {
		case holds && isInterface:
			m.keep(want, p, v)
		case holds:
			want.unbox(p, v)
		case !instr.CommaOk:
			panic(m.assertion(from, v, instr.AssertedType, missing))
		default:
			want.clear(p)
		}
		if instr.CommaOk {
			*at[bool](fr, ok) = holds
		}
	}
}

// bindsMethod tells whether an assertion is not of the recipe's writing but stands
// before the function value of a method, whose interface must not be nil.
func bindsMethod(instr *ssa.TypeAssert) bool {
	block := instr.Block().Instrs
	next := slices.Index(block, ssa.Instruction(instr)) + 1
	if _, ok := block[next].(*ssa.ChangeInterface); ok {
		next++
	}
	bound, ok := block[next].(*ssa.MakeClosure)
	return ok && len(bound.Bindings) == 1 && unchanged(bound.Bindings[0]) == unchanged(instr.X)
}

// unchanged is the value that an interface had before it became one of another type.
func unchanged(v ssa.Value) ssa.Value {
	if c, ok := v.(*ssa.ChangeInterface); ok {
		return c.X
	}
	return v
}

type satisfaction struct {
	word  unsafe.Pointer
	iface *types.Interface
}

// missing names a method of the interface that the value lacks, or "".
func (m *machine) missing(v any, iface *types.Interface) string {
	if iface.NumMethods() == 0 {
		return ""
	}
	key := satisfaction{wordOf(v), iface}
	name, ok := m.satisfied[key]
	if ok {
		return name
	}
	rt := reflect.TypeOf(v)
	if lay := m.layouts.byWord[key.word]; lay != nil {
		f, _ := types.MissingMethod(lay.typ, iface, true)
		if f != nil {
			name = f.Name()
		}
	} else {
		for i := range iface.NumMethods() {
			f := iface.Method(i)
			method, ok := rt.MethodByName(f.Name())
			if !ok || method.Type.NumIn()-1 != f.Signature().Params().Len() || method.Type.NumOut() != f.Signature().Results().Len() {
				name = f.Name()
				break
			}
		}
	}
	m.satisfied[key] = name
	return name
}

// A goError stands for an error of Go's own that the machine must word itself.
type goError struct {
	words string
	typ   string // of package runtime, as Go has it
}

func (e goError) Error() string { return e.words }

// RuntimeError marks the failure as one of the language.
func (goError) RuntimeError() {}

func asGoError(v any) (goError, bool) {
	if p, ok := v.(*goError); ok {
		return *p, true
	}
	e, ok := v.(goError)
	return e, ok
}

func (m *machine) assertion(from types.Type, v any, to types.Type, missing string) error {
	failed := func(words string) error { return &goError{words, "*runtime.TypeAssertionError"} }
	text := "interface conversion: "
	want := m.typeName(to)
	switch {
	case v == nil && types.IsInterface(to):
		return failed(text + "interface is nil, not " + want)
	case v == nil:
		return failed(text + m.interfaceName(from) + " is nil, not " + want)
	case missing != "":
		return failed(text + m.nameOf(v) + " is not " + want + ": missing method " + missing)
	}
	have := m.nameOf(v)
	text += m.interfaceName(from) + " is " + have + ", not " + want
	if have == want {
		text += " (types from different scopes)"
	}
	return failed(text)
}

func (m *machine) interfaceName(t types.Type) string { return m.typeName(t) }
