package interp

import (
	"errors"
	"go/types"
	"iter"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// A native is a function of the program that works on a recipe's values as they
// are.
type native func(m *machine, fr *frame, args, results []slot)

// nativeOf returns the native that stands for a function, or nil.
func nativeOf(name string) native {
	switch name {
	case "fmt.Print":
		return printTo(sprint)
	case "fmt.Println":
		return printTo(sprintln)
	case "fmt.Sprint":
		return sprintTo(sprint)
	case "fmt.Sprintln":
		return sprintTo(sprintln)
	case "fmt.Printf":
		return func(m *machine, fr *frame, args, results []slot) {
			s := m.sprintf(fr, args[0], args[1])
			m.output(fr, s, results)
		}
	case "fmt.Sprintf":
		return func(m *machine, fr *frame, args, results []slot) {
			*at[string](fr, results[0].offset) = m.sprintf(fr, args[0], args[1])
		}
	case "fmt.Errorf":
		return errorf
	case "fmt.Fprint":
		return fprintTo(sprint)
	case "fmt.Fprintln":
		return fprintTo(sprintln)
	case "fmt.Fprintf":
		return func(m *machine, fr *frame, args, results []slot) {
			m.writeTo(fr, args[0], m.sprintf(fr, args[1], args[2]), results)
		}
	case "fmt.Append":
		return appendTo(sprint)
	case "fmt.Appendln":
		return appendTo(sprintln)
	case "fmt.Appendf":
		return func(m *machine, fr *frame, args, results []slot) {
			*at[[]byte](fr, results[0].offset) = append(*at[[]byte](fr, args[0].offset), m.sprintf(fr, args[1], args[2])...)
		}
	case "errors.Is":
		return errorsIs
	case "errors.As":
		return errorsAs
	case "errors.Unwrap":
		return errorsUnwrap
	case "iter.Pull":
		return iterPull
	case "iter.Pull2":
		return iterPull
	case "maps.clone":
		return mapsClone
	}
	return nil
}

// nativeFunction is a native as a function of the recipe, for use as a value.
func (m *machine) nativeFunction(f *ssa.Function, native native) *function {
	if fn, ok := m.functions[f]; ok {
		return fn
	}
	fn := &function{ssa: f, thunk: true, name: f.Name()}
	fn.value = &closure{fn: fn, typ: f.Signature}
	m.functions[f] = fn
	c := &compiler{m: m, fn: fn, consts: make(map[ssa.Value]ticket)}
	var params, results []ticket
	for p := range f.Signature.Params().Variables() {
		params = append(params, c.regs.take(m.layouts.of(p.Type())))
	}
	for r := range f.Signature.Results().Variables() {
		results = append(results, c.regs.take(m.layouts.of(r.Type())))
	}
	c.finish()
	for _, t := range params {
		fn.params = append(fn.params, c.place(t))
	}
	for _, t := range results {
		fn.results = append(fn.results, c.place(t))
	}
	fn.entry = &block{
		ops: []op{func(fr *frame) { native(m, fr, fn.params, fn.results) }},
		next: func(fr *frame) *block {
			if len(fn.results) == 1 {
				fr.result = fn.results[0].offset
			}
			return nil
		},
	}
	return fn
}

// errorsIs implements errors.Is, with the methods Is and Unwrap of the recipe's
// own types.
func errorsIs(m *machine, fr *frame, args, results []slot) {
	err, target := *at[error](fr, args[0].offset), *at[error](fr, args[1].offset)
	found := err == target
	if err != nil && target != nil {
		comparable := reflect.TypeOf(plain(target)).Comparable()
		found = m.anyError(err, func(e error) bool {
			if comparable && e == target {
				return true
			}
			if h, ok := e.(recipeValue); ok {
				var is bool
				return m.hasMethod(h.Recipe(), "Is") &&
					m.callMethod(h.Recipe(), "Is", []unsafe.Pointer{unsafe.Pointer(&target)}, []unsafe.Pointer{unsafe.Pointer(&is)}) && is
			}
			x, ok := e.(interface{ Is(error) bool })
			return ok && x.Is(target)
		})
	}
	m.top = fr
	*at[bool](fr, results[0].offset) = found
}

// errorsAs implements errors.As.
func errorsAs(m *machine, fr *frame, args, results []slot) {
	err, target := *at[error](fr, args[0].offset), *at[any](fr, args[1].offset)
	*at[bool](fr, results[0].offset) = false
	if err == nil {
		return
	}
	var lay *layout
	if target != nil {
		lay = m.layouts.byWord[wordOf(target)]
	}
	if lay == nil || !isPointer(lay.under) || (*face)(unsafe.Pointer(&target)).data == nil {
		errors.As(err, target) // it panics in its own words
		return
	}
	elem := m.layouts.of(lay.under.(*types.Pointer).Elem())
	p := (*face)(unsafe.Pointer(&target)).data
	iface, isInterface := elem.under.(*types.Interface)
	if !isInterface && !types.Implements(elem.typ, types.Universe.Lookup("error").Type().Underlying().(*types.Interface)) {
		panic("errors: *target must be interface or implement error")
	}
	found := m.anyError(err, func(e error) bool {
		v := plain(any(e))
		switch {
		case isInterface && m.missing(v, iface) == "":
			m.keep(elem, p, v)
			return true
		case !isInterface && wordOf(v) == elem.word:
			elem.unbox(p, v)
			return true
		}
		var as bool
		if h, ok := e.(recipeValue); ok {
			return m.hasMethod(h.Recipe(), "As") &&
				m.callMethod(h.Recipe(), "As", []unsafe.Pointer{unsafe.Pointer(&target)}, []unsafe.Pointer{unsafe.Pointer(&as)}) && as
		}
		x, ok := e.(interface{ As(any) bool })
		return ok && x.As(target)
	})
	m.top = fr
	*at[bool](fr, results[0].offset) = found
}

// errorsUnwrap implements errors.Unwrap.
func errorsUnwrap(m *machine, fr *frame, args, results []slot) {
	err := *at[error](fr, args[0].offset)
	next := errors.Unwrap(err)
	if h, ok := err.(recipeValue); ok {
		_, next = m.unwrap(h.Recipe())
	}
	m.top = fr
	*at[error](fr, results[0].offset) = next
}

// hasMethod tells whether a value of the recipe has a method of that name.
func (m *machine) hasMethod(v any, name string) bool {
	lay := m.layouts.byWord[wordOf(v)]
	return lay != nil && m.prog.SSA.MethodSets.MethodSet(lay.typ).Lookup(nil, name) != nil
}

// anyError tells whether f holds for an error or one that it wraps.
func (m *machine) anyError(err error, f func(error) bool) bool {
	for err != nil {
		if f(err) {
			return true
		}
		if h, ok := err.(recipeValue); ok {
			list, next := m.unwrap(h.Recipe())
			for _, e := range list {
				if e != nil && m.anyError(e, f) {
					return true
				}
			}
			err = next
			continue
		}
		switch x := err.(type) {
		case interface{ Unwrap() error }:
			err = x.Unwrap()
		case interface{ Unwrap() []error }:
			for _, e := range x.Unwrap() {
				if e != nil && m.anyError(e, f) {
					return true
				}
			}
			return false
		default:
			return false
		}
	}
	return false
}

// unwrap calls the method Unwrap of a recipe's error.
func (m *machine) unwrap(v any) (list []error, next error) {
	lay := m.layouts.byWord[wordOf(v)]
	if lay == nil {
		return nil, nil
	}
	sel := m.prog.SSA.MethodSets.MethodSet(lay.typ).Lookup(nil, "Unwrap")
	if sel == nil {
		return nil, nil
	}
	sig := sel.Obj().(*types.Func).Signature()
	if sig.Params().Len() != 0 || sig.Results().Len() != 1 {
		return nil, nil
	}
	switch t := m.layouts.of(sig.Results().At(0).Type()); t.rt {
	case errorType:
		m.callMethod(v, "Unwrap", nil, []unsafe.Pointer{unsafe.Pointer(&next)})
	case reflect.TypeFor[[]error]():
		m.callMethod(v, "Unwrap", nil, []unsafe.Pointer{unsafe.Pointer(&list)})
	}
	return list, next
}

// mapsClone implements the part of maps.Clone that has no body in Go.
func mapsClone(m *machine, fr *frame, args, results []slot) {
	x := *at[any](fr, args[0].offset)
	lay := m.layouts.byWord[wordOf(x)]
	p := (*face)(unsafe.Pointer(&x)).data
	rt := m.layouts.mapType(lay)
	src := reflect.NewAt(rt, unsafe.Pointer(&p)).Elem()
	dst := reflect.MakeMapWithSize(rt, src.Len())
	for it := src.MapRange(); it.Next(); {
		dst.SetMapIndex(it.Key(), it.Value())
	}
	q := dst.UnsafePointer()
	*at[any](fr, results[0].offset) = lay.box(unsafe.Pointer(&q))
}

// iterPull implements iter.Pull and iter.Pull2: Go's own iter.Pull runs the
// recipe's sequence and hands over copies of its values.
func iterPull(m *machine, fr *frame, args, results []slot) {
	seq := *at[*closure](fr, args[0].offset)
	next := results[0].lay.under.(*types.Signature)
	var values []*layout // without the bool at the end
	for r := range next.Results().Variables() {
		values = append(values, m.layouts.of(r.Type()))
	}
	values = values[:len(values)-1]
	yieldType := args[0].lay.under.(*types.Signature).Params().At(0).Type().Underlying().(*types.Signature)
	yieldFunc := m.layouts.of(yieldType).rt
	pull, stop := iter.Pull(func(yield func([]unsafe.Pointer) bool) {
		give := reflect.MakeFunc(yieldFunc, func(in []reflect.Value) []reflect.Value {
			copies := make([]unsafe.Pointer, len(in))
			for i := range in {
				copies[i] = values[i].new()
				m.fromHost(values[i], copies[i], in[i])
			}
			return []reflect.Value{reflect.ValueOf(yield(copies))}
		}).Interface()
		f := (*face)(unsafe.Pointer(&give)).data
		m.callAny(seq, func(to *frame) {
			*at[unsafe.Pointer](to, to.fn.params[0].offset) = f
		}, func(*frame) {})
	})
	nextType := m.layouts.of(next).rt
	nextFunc := reflect.MakeFunc(nextType, func([]reflect.Value) []reflect.Value {
		got, ok := pull()
		out := make([]reflect.Value, len(values)+1)
		for i := range values {
			if ok {
				out[i] = reflect.NewAt(nextType.Out(i), got[i]).Elem()
			} else {
				out[i] = reflect.Zero(nextType.Out(i))
			}
		}
		out[len(values)] = reflect.ValueOf(ok)
		return out
	}).Interface()
	stopFunc := any(stop)
	*at[unsafe.Pointer](fr, results[0].offset) = (*face)(unsafe.Pointer(&nextFunc)).data
	*at[unsafe.Pointer](fr, results[1].offset) = (*face)(unsafe.Pointer(&stopFunc)).data
}

// callAny calls a function value that is the recipe's.
func (m *machine) callAny(cl *closure, set, get func(*frame)) {
	if cl == nil {
		nilDereference()
	}
	if cl.code != 0 {
		m.refuse("iter.Pull takes a sequence that the recipe itself declares", "")
	}
	m.callClosure(cl, set, get)
}
