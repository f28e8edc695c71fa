package interp

import (
	"go/types"
	"reflect"
	"strings"
	"unsafe"

	"golang.org/x/tools/go/ssa"

	"lapwright/runtime/check"
	"lapwright/runtime/interp/symbols"
)

// A hostUse is a call of one of the program's functions.
type hostUse struct {
	path  string // of its package
	name  string // as in "sort.Slice"
	label string // as people name it: "mirror.Mirror.Clear"
}

// hostFunction finds a function or method of the program. The value is invalid
// if it is generic or not to be found.
func (m *machine) hostFunction(f *ssa.Function) reflect.Value {
	if v, ok := m.hosts[f]; ok {
		return v
	}
	v := m.findHost(f)
	m.hosts[f] = v
	if v.IsValid() {
		if recv := f.Signature.Recv(); recv != nil {
			m.layouts.learn(recv.Type(), v.Type().In(0))
		}
		m.layouts.learn(f.Signature, v.Type())
	}
	return v
}

func (m *machine) findHost(f *ssa.Function) reflect.Value {
	obj, ok := f.Object().(*types.Func)
	if !ok || obj.Pkg() == nil {
		return reflect.Value{}
	}
	recv := obj.Signature().Recv()
	if recv == nil {
		x := symbols.Lookup(obj.Pkg().Path(), obj.Name())
		if x == nil || reflect.TypeOf(x).Kind() != reflect.Func {
			return reflect.Value{}
		}
		return reflect.ValueOf(x)
	}
	rt := m.layouts.reflect(recv.Type())
	method, ok := rt.MethodByName(obj.Name())
	if !ok {
		return reflect.Value{}
	}
	return method.Func
}

// global returns the address of a package-level variable.
func (m *machine) global(g *ssa.Global) unsafe.Pointer {
	if p, ok := m.globals[g]; ok {
		return p
	}
	var p unsafe.Pointer
	elem := g.Type().Underlying().(*types.Pointer).Elem()
	if x := symbols.Lookup(g.Pkg.Pkg.Path(), g.Name()); x != nil && reflect.TypeOf(x).Kind() == reflect.Pointer {
		v := reflect.ValueOf(x)
		m.layouts.learn(elem, v.Type().Elem())
		p = v.UnsafePointer()
	} else {
		p = m.layouts.of(elem).new()
	}
	m.globals[g] = p
	return p
}

// callHost compiles a call of one of the program's functions.
func (c *compiler) callHost(f *ssa.Function, common *ssa.CallCommon, results []slot, n int32) op {
	m := c.m
	args := c.slots(common.Args)
	name := qualified(f)
	if native := nativeOf(name); native != nil {
		return func(fr *frame) {
			fr.at = n
			native(m, fr, args, results)
		}
	}
	v := m.hostFunction(f)
	if !v.IsValid() {
		if f.Name() == "init" {
			return func(*frame) {}
		}
		return func(fr *frame) {
			fr.at = n
			m.refuse(name+" cannot be called from a recipe", "")
		}
	}
	use := &hostUse{name: name, label: label(f)}
	if obj := f.Object(); obj != nil && obj.Pkg() != nil {
		use.path = obj.Pkg().Path()
	}
	if o := m.quick(v, args, results); o != nil {
		// A panic in it must be known for the program's: the use is noted while
		// it runs. It calls nothing of the recipe.
		return func(fr *frame) {
			fr.at = n
			m.inHost = use
			o(fr)
			m.inHost = nil
		}
	}
	call := m.hostCall(use, f.Signature, args, results, n)
	return func(fr *frame) { call(fr, v) }
}

// label is a function's name as people write it, as in "mirror.Mirror.Clear".
func label(f *ssa.Function) string {
	name := traceName(f)
	if obj := f.Object(); obj != nil && obj.Pkg() != nil {
		name = obj.Pkg().Name() + "." + name
	}
	return name
}

// qualified is a function's name with its package's path, as in "fmt.Println".
func qualified(f *ssa.Function) string {
	if o := f.Origin(); o != nil {
		f = o
	}
	obj, ok := f.Object().(*types.Func)
	if !ok {
		return f.Name()
	}
	return obj.FullName()
}

// hostCall compiles the passing of arguments and results between registers and
// a function of the program.
func (m *machine) hostCall(use *hostUse, sig *types.Signature, args, results []slot, n int32) func(*frame, reflect.Value) {
	variadic := sig.Variadic()
	if use == nil {
		use = &hostUse{}
	}
	format, first := check.Printed(use.name, sig)
	return func(fr *frame, f reflect.Value) {
		fr.at = n
		t := f.Type()
		in := make([]reflect.Value, len(args))
		text, ops := m.toPrint(fr, args, format, first)
		for i, a := range args {
			in[i] = m.toHost(a.lay, register(fr, a), t.In(i))
			switch {
			case ops != nil && i == format:
				in[i] = reflect.ValueOf(text)
			case ops != nil && i == first:
				in[i] = reflect.ValueOf(ops)
			case use.scans():
				m.targets(in[i])
			case use.wantsBare() && t.In(i).Kind() == reflect.Interface:
				x := m.bare(in[i].Interface())
				in[i] = reflect.ValueOf(&x).Elem()
			default:
				in[i], _ = m.presented(in[i])
			}
		}
		outer, depth := m.inHost, m.depth
		m.inHost = use
		var out []reflect.Value
		if variadic {
			out = f.CallSlice(in)
		} else {
			out = f.Call(in)
		}
		m.inHost, m.depth, m.top = outer, depth, fr
		if m.halted != nil {
			panic(m.halted) // the program recovered from the panic that ends the run
		}
		for i, r := range results {
			m.fromHost(r.lay, register(fr, r), out[i])
		}
	}
}

// toPrint looks at what a function of ours is going to write, from argument first on,
// by the format if it takes one. That and its operands it returns as fmt can write
// them.
func (m *machine) toPrint(fr *frame, args []slot, format, first int) (text string, ops []any) {
	if first < 0 {
		return "", nil
	}
	if format < 0 {
		for _, a := range args[first:] {
			switch a.lay.shape {
			case shapeFace:
				m.operands([]any{*at[any](fr, a.offset)})
			case shapeList:
				m.operands(*at[[]any](fr, a.offset))
			}
		}
		return "", nil
	}
	list := *at[[]any](fr, args[first].offset)
	if len(list) == 0 {
		return "", nil
	}
	text, ops, extra := m.fit(*at[string](fr, args[format].offset), list)
	return text + strings.ReplaceAll(extra, "%", "%%"), ops
}

// toHost makes an argument for the program of a variable of the recipe.
func (m *machine) toHost(lay *layout, p unsafe.Pointer, want reflect.Type) reflect.Value {
	switch want.Kind() {
	case reflect.Func:
		cl := *(**closure)(p)
		if cl != nil && cl.code == 0 {
			return m.hostValue(cl, want)
		}
	case reflect.Interface:
		if want.NumMethod() > 0 {
			if !lay.real {
				v := reflect.New(want)
				m.keep(&layout{typ: lay.typ, rt: want, real: true}, v.UnsafePointer(), *(*any)(p))
				return v.Elem()
			}
			break
		}
		x := m.bareFunction(m.held(lay, p))
		return reflect.ValueOf(&x).Elem()
	default:
		m.realFunctions(want, p, 0)
	}
	return reflect.NewAt(want, p).Elem()
}

// wantsBare tells whether a function looks at the values it is given by
// reflection.
func (use *hostUse) wantsBare() bool {
	switch use.name {
	case "sort.Slice", "sort.SliceStable", "sort.SliceIsSorted":
		return true
	}
	return false
}

// scans tells whether a function sets the variables it is given pointers to.
func (use *hostUse) scans() bool {
	return strings.HasPrefix(use.name, "fmt.Sscan") || strings.HasPrefix(use.name, "fmt.Fscan")
}

// targets makes pointers to variables of the recipe's own types ones to variables
// of the types under them, in place: the list was made for this call.
func (m *machine) targets(v reflect.Value) {
	if v.Kind() != reflect.Slice || !holdsAny(v.Type()) {
		return
	}
	for i := range v.Len() {
		x := v.Index(i).Interface()
		lay := m.layouts.byWord[wordOf(x)]
		if lay == nil || !isPointer(lay.under) {
			continue
		}
		elem := lay.under.(*types.Pointer).Elem()
		if named, ok := types.Unalias(elem).(*types.Named); ok && !m.layouts.isHost(named) {
			p := (*face)(unsafe.Pointer(&x)).data
			v.Index(i).Set(reflect.NewAt(m.layouts.of(named.Underlying()).rt, p))
		}
	}
}

// presented is an argument of any type, or a slice of such, with values of the
// recipe's own types as ones that write themselves.
func (m *machine) presented(v reflect.Value) (as reflect.Value, changed bool) {
	switch t := v.Type(); {
	case t.Kind() == reflect.Interface && t.NumMethod() == 0 && !v.IsNil():
		x := v.Interface()
		lay := m.layouts.byWord[wordOf(x)]
		if lay == nil || !m.isOwn(lay.typ) {
			return v, false
		}
		var y any = operand{m, lay, x}
		if m.methodNamed(lay, "Error") || m.methodNamed(lay, "String") {
			y = stringerOperand{operand{m, lay, x}}
		}
		return reflect.ValueOf(&y).Elem(), true
	case t.Kind() == reflect.Slice && holdsAny(t):
		var out reflect.Value
		for i := range v.Len() {
			x, changed := m.presented(v.Index(i))
			if !changed {
				continue
			}
			if !out.IsValid() {
				out = reflect.MakeSlice(t, v.Len(), v.Len())
				reflect.Copy(out, v)
			}
			out.Index(i).Set(x)
		}
		if out.IsValid() {
			return out, true
		}
	}
	return v, false
}

// holdsAny tells whether a type is a slice of empty interfaces, or of such
// slices.
func holdsAny(t reflect.Type) bool {
	for t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t.Kind() == reflect.Interface && t.NumMethod() == 0
}

// restored undoes presented, in place.
func restored(v reflect.Value) {
	if v.Kind() != reflect.Slice || !holdsAny(v.Type()) {
		return
	}
	for i := range v.Len() {
		x := v.Index(i)
		if x.Kind() == reflect.Slice {
			restored(x)
		} else if h, ok := x.Interface().(recipeValue); ok {
			x.Set(reflect.ValueOf(h.Recipe()))
		}
	}
}

// A stringerOperand is an operand whose type has a method for its text.
type stringerOperand struct{ operand }

// String returns the text.
func (o stringerOperand) String() string {
	if o.m.methodNamed(o.lay, "Error") {
		return o.m.callString(o.v, "Error")
	}
	return o.m.callString(o.v, "String")
}

// bareFunction is x, or the program's function value for a recipe's.
func (m *machine) bareFunction(x any) any {
	if x == nil {
		return nil
	}
	lay := m.layouts.byWord[wordOf(x)]
	if lay == nil {
		return x
	}
	if sig, ok := lay.under.(*types.Signature); ok {
		cl := (*closure)((*face)(unsafe.Pointer(&x)).data)
		if cl != nil && cl.code == 0 {
			return m.hostValue(cl, m.layouts.of(sig).rt).Interface()
		}
	}
	return x
}

// bare is a value for the program to look at: a value of a type the recipe
// declares as one of the type under it.
func (m *machine) bare(x any) any {
	if x == nil {
		return nil
	}
	lay := m.layouts.byWord[wordOf(x)]
	if lay == nil {
		return x
	}
	named, ok := types.Unalias(lay.typ).(*types.Named)
	if !ok || m.layouts.isHost(named) {
		return x
	}
	under := m.layouts.of(named.Underlying())
	if under.direct != lay.direct {
		return x
	}
	f := *(*face)(unsafe.Pointer(&x))
	f.typ = under.word
	return *(*any)(unsafe.Pointer(&f))
}

// realFunctions makes function values inside a variable the program's own, so
// that the program can call them.
func (m *machine) realFunctions(t reflect.Type, p unsafe.Pointer, depth int) {
	if depth > 8 || !m.mayHoldFunction(t) {
		return
	}
	switch t.Kind() {
	case reflect.Func:
		cl := *(**closure)(p)
		if cl != nil && cl.code == 0 {
			reflect.NewAt(t, p).Elem().Set(m.hostValue(cl, t))
		}
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			m.realFunctions(f.Type, unsafe.Add(p, f.Offset), depth+1)
		}
	case reflect.Array:
		for i := range t.Len() {
			m.realFunctions(t.Elem(), unsafe.Add(p, uintptr(i)*t.Elem().Size()), depth+1)
		}
	case reflect.Slice:
		h := (*header)(p)
		for i := range h.len {
			m.realFunctions(t.Elem(), unsafe.Add(h.data, uintptr(i)*t.Elem().Size()), depth+1)
		}
	case reflect.Pointer:
		if q := *(*unsafe.Pointer)(p); q != nil {
			m.realFunctions(t.Elem(), q, depth+1)
		}
	}
}

// mayHoldFunction tells whether a variable of the type can hold a function
// value, not counting interfaces and maps.
func (m *machine) mayHoldFunction(t reflect.Type) bool {
	may, ok := m.holdsFunction[t]
	if ok {
		return may
	}
	m.holdsFunction[t] = false // for a type that holds itself
	switch t.Kind() {
	case reflect.Func:
		may = true
	case reflect.Struct:
		for i := range t.NumField() {
			may = may || m.mayHoldFunction(t.Field(i).Type)
		}
	case reflect.Array, reflect.Slice, reflect.Pointer:
		may = m.mayHoldFunction(t.Elem())
	}
	m.holdsFunction[t] = may
	return may
}

// fromHost sets a variable of the recipe to a result of the program.
func (m *machine) fromHost(lay *layout, p unsafe.Pointer, v reflect.Value) {
	if lay.iface && !lay.real {
		if v.IsNil() {
			*(*any)(p) = nil
		} else {
			*(*any)(p) = plain(v.Interface())
		}
		return
	}
	restored(v)
	tmp := reflect.New(v.Type())
	tmp.Elem().Set(v)
	lay.copy(p, tmp.UnsafePointer())
}

// hostValue is a function value of the recipe as one of the program's.
func (m *machine) hostValue(cl *closure, t reflect.Type) reflect.Value {
	if cl.host.IsValid() && cl.host.Type() == t {
		return cl.host
	}
	cl.host = reflect.MakeFunc(t, func(in []reflect.Value) []reflect.Value {
		out := make([]reflect.Value, t.NumOut())
		m.callClosure(cl, func(to *frame) {
			for i, p := range to.fn.params {
				m.fromHost(p.lay, register(to, p), in[i])
			}
		}, func(to *frame) {
			for i := range out {
				r := to.fn.ssa.Signature.Results().At(i).Type()
				lay := m.layouts.of(r)
				v := lay.new()
				m.result(to, i, v)
				out[i] = m.toHost(lay, v, t.Out(i))
			}
		})
		return out
	})
	return cl.host
}
