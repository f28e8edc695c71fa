package interp

import (
	"cmp"
	"fmt"
	"go/types"
	"io"
	"reflect"
	"slices"
	"strings"
	"unsafe"

	"lapwright/runtime/check"
)

// Package fmt knows a type by reflection, which does not know the names, fields
// and methods of a recipe's types. A value in which a recipe's type can be found
// is handed to fmt as an operand: fmt reads the format, and asks the operand to
// write itself.

// operands makes arguments fit for fmt to write with the verb v.
func (m *machine) operands(args []any) []any {
	changed := args
	for i, a := range args {
		lay := m.ownLayout(a)
		if lay == nil {
			m.noAddress(a, check.Directive{Verb: 'v'})
			continue
		}
		if &changed[0] == &args[0] {
			changed = slices.Clone(args)
		}
		changed[i] = operand{m, lay, a}
	}
	return changed
}

// ownLayout returns the layout of a value that must be written by an operand, or
// nil.
func (m *machine) ownLayout(x any) *layout {
	if x == nil {
		return nil
	}
	if lay := m.layouts.byWord[wordOf(x)]; lay != nil && m.isOwn(lay.typ) {
		return lay
	}
	return nil
}

// isOwn tells whether a value of the type must be written by an operand.
func (m *machine) isOwn(t types.Type) bool {
	if own, ok := m.own.At(t).(bool); ok {
		return own
	}
	m.own.Set(t, false) // for a type that holds itself
	own := false
	switch u := types.Unalias(t).(type) {
	case *types.Named:
		own = !m.layouts.isHost(u) || types.IsInterface(u) // which may hold one of the recipe's
	case *types.Pointer:
		own = true // its address, or what it points to
		if named, ok := types.Unalias(u.Elem()).(*types.Named); ok && m.layouts.isHost(named) {
			own = false
		}
	case *types.Slice:
		own = m.isOwn(u.Elem())
	case *types.Array:
		own = m.isOwn(u.Elem())
	case *types.Map:
		own = m.isOwn(u.Key()) || m.isOwn(u.Elem())
	case *types.Struct:
		own = true
	case *types.Interface:
		own = true
	case *types.Signature:
		own = true
	}
	m.own.Set(t, own)
	return own
}

// An operand is a value that writes itself as fmt would.
type operand struct {
	m   *machine
	lay *layout
	v   any
}

// Format implements symbols.Machine.
func (m *machine) Format(v any, s fmt.State, verb rune) {
	if lay := m.layouts.byWord[wordOf(v)]; lay != nil {
		operand{m, lay, v}.Format(s, verb)
	}
}

// Recipe returns the value as the machine keeps it.
func (o operand) Recipe() any { return o.v }

// Format implements fmt.Formatter.
func (o operand) Format(s fmt.State, verb rune) {
	p := o.lay.new()
	o.lay.unbox(p, o.v)
	w := &writer{m: o.m, s: s, verb: verb}
	w.value(o.lay, p, 0, true)
}

// A writer writes one operand.
type writer struct {
	m    *machine
	s    fmt.State
	verb rune
}

func (w *writer) text(s string) { io.WriteString(w.s, s) }

func (w *writer) plus() bool  { return w.s.Flag('+') && w.verb == 'v' }
func (w *writer) sharp() bool { return w.s.Flag('#') && w.verb == 'v' }

// leaf has fmt write a value of a basic type.
func (w *writer) leaf(v any) {
	fmt.Fprintf(w.s, fmt.FormatString(w.s, w.verb), v)
}

// bad writes what fmt writes for a verb that does not go with the type.
func (w *writer) bad(lay *layout, p unsafe.Pointer) {
	w.text("%!" + string(w.verb) + "(")
	w.text(w.m.typeName(lay.typ) + "=")
	inner := &writer{m: w.m, s: plainState{w.s}, verb: 'v'}
	inner.value(lay, p, 0, false)
	w.text(")")
}

// plainState is the state of fmt without flags, width and precision.
type plainState struct{ fmt.State }

// Width and the others report nothing.
func (plainState) Width() (int, bool)     { return 0, false }
func (plainState) Precision() (int, bool) { return 0, false }
func (plainState) Flag(int) bool          { return false }

// method writes the value by its own methods, as fmt does, if it has any.
func (w *writer) method(lay *layout, p unsafe.Pointer) (done bool) {
	if lay.iface {
		return false
	}
	if w.sharp() {
		if f := w.m.methodNamed(lay, "GoString"); f {
			w.caught(lay, p, "GoString", func(v any) { w.text(w.m.callString(v, "GoString")) })
			return true
		}
		return false
	}
	if w.m.methodNamed(lay, "Format") {
		w.caught(lay, p, "Format", func(v any) {
			state, verb := w.s, w.verb
			w.m.callMethod(v, "Format", []unsafe.Pointer{unsafe.Pointer(&state), unsafe.Pointer(&verb)}, nil)
		})
		return true
	}
	switch w.verb {
	case 'v', 's', 'x', 'X', 'q':
		for _, name := range []string{"Error", "String"} {
			if w.m.methodNamed(lay, name) {
				w.caught(lay, p, name, func(v any) { w.leafString(w.m.callString(v, name)) })
				return true
			}
		}
	}
	return false
}

// leafString writes a string by the writer's verb.
func (w *writer) leafString(s string) { w.leaf(s) }

// caught runs a method of the value, and writes what fmt writes if it panics.
func (w *writer) caught(lay *layout, p unsafe.Pointer, name string, f func(v any)) {
	m := w.m
	top, depth, inHost := m.top, m.depth, m.inHost
	v := lay.box(p)
	defer func() {
		if m.halted != nil {
			return
		}
		r := recover()
		if r == nil {
			return
		}
		u := m.caught(r)
		m.top, m.depth, m.inHost = top, depth, inHost
		if lay.shape == shapePtr && *(*unsafe.Pointer)(p) == nil && isPointer(lay.under) {
			w.text("<nil>")
			return
		}
		w.text("%!" + string(w.verb) + "(PANIC=" + name + " method: ")
		inner := plainState{w.s}
		fmt.Fprint(inner, m.operands([]any{u.value})...)
		w.text(")")
	}()
	f(v)
}

func isPointer(t types.Type) bool {
	_, ok := t.(*types.Pointer)
	return ok
}

// methodNamed tells whether a type has one of the methods fmt knows.
func (m *machine) methodNamed(lay *layout, name string) bool {
	key := methodKey{lay, name}
	has, ok := m.methods[key]
	if ok {
		return has
	}
	if sel := m.prog.SSA.MethodSets.MethodSet(lay.typ).Lookup(nil, name); sel != nil {
		sig := sel.Obj().(*types.Func).Signature()
		switch name {
		case "Format":
			has = sig.Params().Len() == 2 && sig.Results().Len() == 0 && types.TypeString(sig.Params().At(0).Type(), nil) == "fmt.State" && types.Identical(sig.Params().At(1).Type(), types.Typ[types.Rune])
		default:
			has = sig.Params().Len() == 0 && sig.Results().Len() == 1 && types.Identical(sig.Results().At(0).Type(), types.Typ[types.String])
		}
	}
	m.methods[key] = has
	return has
}

type methodKey struct {
	lay  *layout
	name string
}

// callString calls a method that returns a string.
func (m *machine) callString(v any, name string) (s string) {
	if !m.callMethod(v, name, nil, []unsafe.Pointer{unsafe.Pointer(&s)}) {
		// A method promoted from one of the program's types.
		out := reflect.ValueOf(m.bare(v)).MethodByName(name)
		if !out.IsValid() {
			m.refuse("the method "+name+" of "+m.nameOf(v)+" cannot be called by fmt", "")
		}
		s = out.Call(nil)[0].String()
	}
	return s
}

// value writes a value at depth within the operand; methods are used unless it
// came from an unexported field.
func (w *writer) value(lay *layout, p unsafe.Pointer, depth int, methods bool) {
	if methods && w.method(lay, p) {
		return
	}
	switch t := lay.under.(type) {
	case *types.Basic:
		w.basic(lay, p, depth)
	case *types.Struct:
		w.structure(lay, t, p, depth, methods)
	case *types.Slice:
		h := (*header)(p)
		w.list(lay, t.Elem(), h.data, h.len, h.data == nil, depth, methods)
	case *types.Array:
		w.list(lay, t.Elem(), p, int(t.Len()), false, depth, methods)
	case *types.Map:
		w.mapping(lay, t, p, depth, methods)
	case *types.Interface:
		x := w.m.held(lay, p)
		switch {
		case x == nil && w.sharp():
			w.text(w.m.typeName(lay.typ) + "(nil)")
		case x == nil:
			w.text("<nil>")
		default:
			w.any(x, depth+1, methods)
		}
	case *types.Pointer:
		w.pointer(lay, t, p, depth, methods)
	default:
		if *(*unsafe.Pointer)(p) == nil {
			w.null(lay)
			return
		}
		w.address()
	}
}

// null writes a nil pointer or function.
func (w *writer) null(lay *layout) {
	switch {
	case w.sharp():
		w.text("(" + w.m.typeName(lay.typ) + ")(nil)")
	case w.verb == 'v':
		w.leafPadded("<nil>")
	case w.verb == 'p', w.verb == 'x', w.verb == 'X', w.verb == 'd', w.verb == 'b', w.verb == 'o':
		w.leaf((*int)(nil))
	default:
		w.text("%!" + string(w.verb) + "(" + w.m.typeName(lay.typ) + "=<nil>)")
	}
}

// leafPadded writes text with the width of the verb.
func (w *writer) leafPadded(s string) {
	fmt.Fprintf(w.s, strings.ReplaceAll(fmt.FormatString(stateWithoutPlus{w.s}, 's'), "#", ""), s)
}

type stateWithoutPlus struct{ fmt.State }

// Flag hides the plus.
func (s stateWithoutPlus) Flag(c int) bool { return c != '+' && c != '#' && s.State.Flag(c) }

func (w *writer) address() { w.m.refuse(printsAddress, "print what it points to") }

// any writes what an interface within the operand holds.
func (w *writer) any(x any, depth int, methods bool) {
	if lay := w.m.ownLayout(x); lay != nil {
		p := lay.new()
		lay.unbox(p, x)
		w.value(lay, p, depth, methods)
		return
	}
	w.hostLeaf(x, depth, methods)
}

// hostLeaf has fmt write a value of one of the program's types. Its methods are
// used unless it came from an unexported field.
func (w *writer) hostLeaf(x any, depth int, methods bool) {
	v := reflect.ValueOf(x)
	holder := v
	if !methods {
		// fmt itself leaves the methods be in an unexported field.
		holder = reflect.New(reflect.StructOf([]reflect.StructField{{Name: "v", PkgPath: "main", Type: v.Type()}})).Elem()
		reflect.NewAt(v.Type(), holder.Addr().UnsafePointer()).Elem().Set(v)
		v = holder.Field(0)
	}
	d := check.Directive{Verb: w.verb}
	if w.sharp() {
		d.Flags = "#"
	}
	w.m.noInside(x, d)
	if w.m.mayHoldAddress(v.Type()) && w.m.writesAddress(v, d, depth) {
		w.m.refuse(printsAddress, insteadOf(v.Type()))
	}
	bytes, isBytes := x.([]byte)
	switch {
	case isBytes && w.sharp():
		// fmt has another name for the type where it is an operand itself.
		text := fmt.Sprintf(fmt.FormatString(w.s, w.verb), bytes)
		w.text("[]uint8" + strings.TrimPrefix(text, "[]byte"))
	case methods || v.NumMethod() == 0:
		w.leaf(x)
	case pointerless(v.Kind()):
		w.leaf(reflect.ValueOf(x).Convert(plainKinds[v.Kind()]).Interface())
	default:
		text := fmt.Sprintf(fmt.FormatString(w.s, w.verb), holder.Interface())
		text = strings.TrimPrefix(strings.TrimSuffix(text[strings.IndexByte(text, '{')+1:], "}"), "v:")
		w.text(text)
	}
}

var plainKinds = map[reflect.Kind]reflect.Type{
	reflect.Bool: reflect.TypeFor[bool](), reflect.String: reflect.TypeFor[string](),
	reflect.Int: reflect.TypeFor[int](), reflect.Int8: reflect.TypeFor[int8](), reflect.Int16: reflect.TypeFor[int16](),
	reflect.Int32: reflect.TypeFor[int32](), reflect.Int64: reflect.TypeFor[int64](),
	reflect.Uint: reflect.TypeFor[uint](), reflect.Uint8: reflect.TypeFor[uint8](), reflect.Uint16: reflect.TypeFor[uint16](),
	reflect.Uint32: reflect.TypeFor[uint32](), reflect.Uint64: reflect.TypeFor[uint64](), reflect.Uintptr: reflect.TypeFor[uintptr](),
	reflect.Float32: reflect.TypeFor[float32](), reflect.Float64: reflect.TypeFor[float64](),
	reflect.Complex64: reflect.TypeFor[complex64](), reflect.Complex128: reflect.TypeFor[complex128](),
}

// verbs are the verbs fmt knows for each sort of basic type.
const (
	boolVerbs    = "tv"
	intVerbs     = "vdbcoOqxXU"
	floatVerbs   = "vbgGxXfFeE"
	complexVerbs = "vbgGxXfFeE"
	stringVerbs  = "vsxXq"
)

func (w *writer) basic(lay *layout, p unsafe.Pointer, depth int) {
	k := kindOf(lay)
	v := reflect.NewAt(basics[k], p).Elem().Interface()
	verbs := intVerbs
	switch info := types.Typ[k].Info(); {
	case info&types.IsBoolean != 0:
		verbs = boolVerbs
	case info&types.IsFloat != 0:
		verbs = floatVerbs
	case info&types.IsComplex != 0:
		verbs = complexVerbs
	case info&types.IsString != 0:
		verbs = stringVerbs
	case k == types.UnsafePointer:
		if *(*unsafe.Pointer)(p) == nil {
			w.null(lay)
			return
		}
		w.address()
	}
	if !strings.ContainsRune(verbs, w.verb) {
		w.bad(lay, p)
		return
	}
	w.leaf(v)
}

func (w *writer) structure(lay *layout, t *types.Struct, p unsafe.Pointer, depth int, methods bool) {
	if w.sharp() {
		w.text(w.m.typeName(lay.typ))
	}
	w.text("{")
	for i := range t.NumFields() {
		if i > 0 {
			if w.sharp() {
				w.text(", ")
			} else {
				w.text(" ")
			}
		}
		f := t.Field(i)
		if w.plus() || w.sharp() {
			w.text(f.Name() + ":")
		}
		fl := w.m.layouts.of(f.Type())
		w.field(fl, unsafe.Add(p, lay.rt.Field(i).Offset), depth+1, methods && f.Exported())
	}
	w.text("}")
}

// field writes a part of a value: by fmt itself if its type is the program's.
func (w *writer) field(lay *layout, p unsafe.Pointer, depth int, methods bool) {
	if iface := types.IsInterface(lay.typ); !iface && !w.m.isOwn(lay.typ) {
		w.hostLeaf(lay.box(p), depth, methods)
		return
	}
	w.value(lay, p, depth, methods)
}

func (w *writer) list(lay *layout, elem types.Type, data unsafe.Pointer, n int, null bool, depth int, methods bool) {
	el := w.m.layouts.of(elem)
	if b, ok := el.under.(*types.Basic); ok && b.Kind() == types.Uint8 && strings.ContainsRune("sqxX", w.verb) {
		w.leaf(string(unsafe.Slice((*byte)(data), n)))
		return
	}
	if w.sharp() {
		w.text(w.m.typeName(lay.typ))
		if null {
			w.text("(nil)")
			return
		}
		w.text("{")
	} else {
		w.text("[")
	}
	for i := range n {
		if i > 0 {
			if w.sharp() {
				w.text(", ")
			} else {
				w.text(" ")
			}
		}
		w.field(el, unsafe.Add(data, uintptr(i)*el.size), depth+1, methods)
	}
	if w.sharp() {
		w.text("}")
	} else {
		w.text("]")
	}
}

func (w *writer) mapping(lay *layout, t *types.Map, p unsafe.Pointer, depth int, methods bool) {
	m := reflect.NewAt(w.m.layouts.mapType(lay), p).Elem()
	if w.sharp() {
		w.text(w.m.typeName(lay.typ))
		if m.IsNil() {
			w.text("(nil)")
			return
		}
		w.text("{")
	} else {
		w.text("map[")
	}
	kl, vl := w.m.layouts.of(t.Key()), w.m.layouts.of(t.Elem())
	keys := m.MapKeys()
	slices.SortStableFunc(keys, func(a, b reflect.Value) int { return w.m.compareKeys(kl, a, b) })
	for i, k := range keys {
		if i > 0 {
			if w.sharp() {
				w.text(", ")
			} else {
				w.text(" ")
			}
		}
		kp, vp := reflect.New(kl.rt), reflect.New(vl.rt)
		kp.Elem().Set(k)
		vp.Elem().Set(m.MapIndex(k))
		w.field(kl, kp.UnsafePointer(), depth+1, methods)
		w.text(":")
		w.field(vl, vp.UnsafePointer(), depth+1, methods)
	}
	if w.sharp() {
		w.text("}")
	} else {
		w.text("]")
	}
}

// compareKeys orders the keys of a map as fmt does.
func (m *machine) compareKeys(lay *layout, a, b reflect.Value) int {
	switch lay.under.(type) {
	case *types.Basic:
		// A type the recipe declares is a struct of one field.
		for a.Kind() == reflect.Struct {
			a, b = a.Field(0), b.Field(0)
		}
		switch a.Kind() {
		case reflect.Bool:
			return cmp.Compare(btoi(a.Bool()), btoi(b.Bool()))
		case reflect.String:
			return cmp.Compare(a.String(), b.String())
		case reflect.Float32, reflect.Float64:
			return cmp.Compare(a.Float(), b.Float())
		case reflect.Complex64, reflect.Complex128:
			x, y := a.Complex(), b.Complex()
			return cmp.Or(cmp.Compare(real(x), real(y)), cmp.Compare(imag(x), imag(y)))
		}
		if a.CanInt() {
			return cmp.Compare(a.Int(), b.Int())
		}
		return cmp.Compare(a.Uint(), b.Uint())
	case *types.Struct:
		t := lay.under.(*types.Struct)
		for i := range t.NumFields() {
			if c := m.compareKeys(m.layouts.of(t.Field(i).Type()), a.Field(i), b.Field(i)); c != 0 {
				return c
			}
		}
		return 0
	case *types.Array:
		t := lay.under.(*types.Array)
		for a.Kind() == reflect.Struct {
			a, b = a.Field(0), b.Field(0)
		}
		el := m.layouts.of(t.Elem())
		for i := range int(t.Len()) {
			if c := m.compareKeys(el, a.Index(i), b.Index(i)); c != 0 {
				return c
			}
		}
		return 0
	case *types.Interface:
		if a.IsNil() || b.IsNil() {
			return cmp.Compare(btoi(!a.IsNil()), btoi(!b.IsNil()))
		}
		a, b = a.Elem(), b.Elem()
		if a.Type() != b.Type() {
			m.refuse(printsOrder, "")
		}
		x := reflect.New(a.Type())
		x.Elem().Set(a)
		if el := m.layouts.byWord[typeWord(a.Type())]; el != nil {
			return m.compareKeys(el, a, b)
		}
		return 0
	}
	m.refuse(printsOrder, "")
	return 0
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (w *writer) pointer(lay *layout, t *types.Pointer, p unsafe.Pointer, depth int, methods bool) {
	q := *(*unsafe.Pointer)(p)
	if q == nil {
		w.null(lay)
		return
	}
	if depth == 0 {
		switch t.Elem().Underlying().(type) {
		case *types.Struct, *types.Array, *types.Slice, *types.Map:
			w.text("&")
			w.value(w.m.layouts.of(t.Elem()), q, depth+1, methods)
			return
		}
	}
	w.address()
}
