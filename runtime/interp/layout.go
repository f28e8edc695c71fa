package interp

import (
	"fmt"
	"go/types"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/types/typeutil"

	"lapwright/runtime/interp/symbols"
)

// A shape says how a value is copied: what its memory is, for Go's collector.
type shape uint8

const (
	shape1    shape = iota // 1 byte without pointers
	shape2                 // 2 bytes without pointers
	shape4                 // 4 bytes without pointers
	shape8                 // 8 bytes without pointers
	shape16                // 16 bytes without pointers
	shapePtr               // one pointer
	shapeStr               // a string
	shapeList              // a slice
	shapeFace              // an interface
	shapeWide              // anything else
)

// header is a slice without its element type.
type header struct {
	data     unsafe.Pointer
	len, cap int
}

// face is an interface value's two words: for an interface without methods, the
// type and the value or a pointer to it.
type face struct{ typ, data unsafe.Pointer }

// A layout is a type of the recipe as it lies in memory: exactly as the Go
// compiler would lay it out. Every distinct type has a distinct reflect.Type, so
// that Go's own interfaces and maps tell a recipe's types apart: a type the
// recipe declares is a struct type with a tag of its own.
type layout struct {
	typ    types.Type
	under  types.Type // the underlying type
	rt     reflect.Type
	word   unsafe.Pointer // rt as an interface's type word
	to     unsafe.Pointer // the type of a pointer to it, as an interface's type word
	size   uintptr
	shape  shape
	bytes  bool // it holds no pointers
	direct bool // in an interface the value itself is the data word
	iface  bool // an interface
	real   bool // an interface as the Go compiler lays it out, with a method table
}

// layouts holds every type met so far.
type layouts struct {
	known   typeutil.Map // types.Type -> *layout
	host    typeutil.Map // named types of the program -> reflect.Type
	byWord  map[unsafe.Pointer]*layout
	ids     typeutil.Map             // types the recipe declares -> int
	pending map[*types.TypeName]bool // named types whose layout is being worked out
	opaque  bool                     // the layout in work leaned on a pending type
}

func newLayouts() *layouts {
	l := &layouts{
		byWord:  make(map[unsafe.Pointer]*layout),
		pending: make(map[*types.TypeName]bool),
	}
	l.host.Set(types.Universe.Lookup("error").Type(), reflect.TypeFor[error]())
	return l
}

func typeWord(rt reflect.Type) unsafe.Pointer {
	return (*face)(unsafe.Pointer(&rt)).data
}

// of returns the layout of a type.
func (l *layouts) of(t types.Type) *layout {
	if lay, ok := l.known.At(t).(*layout); ok {
		return lay
	}
	rt := l.reflect(t)
	lay := &layout{typ: t, under: t.Underlying(), rt: rt, word: typeWord(rt), to: typeWord(reflect.PointerTo(rt)), size: rt.Size()}
	lay.shape, lay.bytes = shapeOf(rt), !pointers(rt)
	zero := reflect.Zero(rt)
	if rt.Kind() != reflect.Interface {
		x := zero.Interface()
		lay.direct = (*face)(unsafe.Pointer(&x)).data == nil
	} else {
		lay.iface, lay.real = true, rt.NumMethod() > 0
	}
	l.known.Set(t, lay)
	if _, ok := l.byWord[lay.word]; !ok {
		l.byWord[lay.word] = lay
	}
	return lay
}

func shapeOf(rt reflect.Type) shape {
	switch rt.Kind() {
	case reflect.Pointer, reflect.Map, reflect.Func, reflect.UnsafePointer, reflect.Chan:
		return shapePtr
	case reflect.String:
		return shapeStr
	case reflect.Slice:
		return shapeList
	case reflect.Interface:
		return shapeFace
	case reflect.Struct:
		// A type the recipe declares is copied as what it holds.
		if rt.NumField() == 1 && rt.Field(0).Type.Size() == rt.Size() {
			return shapeOf(rt.Field(0).Type)
		}
	case reflect.Array:
	default:
		switch rt.Size() {
		case 1:
			return shape1
		case 2:
			return shape2
		case 4:
			return shape4
		case 8:
			return shape8
		case 16:
			return shape16
		}
	}
	if !pointers(rt) {
		switch {
		case rt.Size() == 8 && rt.Align() == 8:
			return shape8
		case rt.Size() == 16 && rt.Align() == 8:
			return shape16
		}
	}
	return shapeWide
}

// pointers tells whether values of the type hold pointers.
func pointers(rt reflect.Type) bool {
	switch rt.Kind() {
	case reflect.Array:
		return rt.Len() > 0 && pointers(rt.Elem())
	case reflect.Struct:
		for i := range rt.NumField() {
			if pointers(rt.Field(i).Type) {
				return true
			}
		}
		return false
	case reflect.Bool, reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr,
		reflect.Float32, reflect.Float64, reflect.Complex64, reflect.Complex128:
		return false
	}
	return true
}

var basics = map[types.BasicKind]reflect.Type{
	types.Bool: reflect.TypeFor[bool](), types.String: reflect.TypeFor[string](),
	types.Int: reflect.TypeFor[int](), types.Int8: reflect.TypeFor[int8](), types.Int16: reflect.TypeFor[int16](),
	types.Int32: reflect.TypeFor[int32](), types.Int64: reflect.TypeFor[int64](),
	types.Uint: reflect.TypeFor[uint](), types.Uint8: reflect.TypeFor[uint8](), types.Uint16: reflect.TypeFor[uint16](),
	types.Uint32: reflect.TypeFor[uint32](), types.Uint64: reflect.TypeFor[uint64](), types.Uintptr: reflect.TypeFor[uintptr](),
	types.Float32: reflect.TypeFor[float32](), types.Float64: reflect.TypeFor[float64](),
	types.Complex64: reflect.TypeFor[complex64](), types.Complex128: reflect.TypeFor[complex128](),
	types.UnsafePointer: reflect.TypeFor[unsafe.Pointer](),
	types.UntypedBool:   reflect.TypeFor[bool](), types.UntypedString: reflect.TypeFor[string](),
	types.UntypedInt: reflect.TypeFor[int](), types.UntypedRune: reflect.TypeFor[rune](),
	types.UntypedFloat: reflect.TypeFor[float64](), types.UntypedComplex: reflect.TypeFor[complex128](),
	types.UntypedNil: reflect.TypeFor[unsafe.Pointer](),
}

// What stands inside a type for one whose layout is being worked out: the same
// memory, and comparable just where that is.
var (
	opaquePointer = reflect.TypeFor[unsafe.Pointer]()
	opaqueSlice   = reflect.TypeFor[[]struct{}]()
	opaqueMap     = reflect.TypeFor[map[struct{}]struct{}]()
	opaqueFunc    = reflect.TypeFor[func()]()
)

// reflect returns the reflect.Type of a type.
func (l *layouts) reflect(t types.Type) reflect.Type {
	if lay, ok := l.known.At(t).(*layout); ok {
		return lay.rt
	}
	// inner returns the type of a part reached by a pointer, or nil if it leans
	// on a type being worked out.
	inner := func(t types.Type) reflect.Type {
		if l.leans(t, 0) {
			l.opaque = true
			return nil
		}
		return l.reflect(t)
	}
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		return basics[t.Kind()]
	case *types.Named:
		if rt, ok := l.host.At(t).(reflect.Type); ok {
			return rt
		}
		if t.Obj().Pkg() != nil {
			if rt, ok := symbols.Lookup(t.Obj().Pkg().Path(), t.Obj().Name()).(reflect.Type); ok && t.TypeArgs().Len() == 0 && t.Obj().Parent() == t.Obj().Pkg().Scope() {
				l.learn(t, rt)
				return rt
			}
		}
		return l.declared(t)
	case *types.Pointer:
		if elem := inner(t.Elem()); elem != nil {
			return reflect.PointerTo(elem)
		}
		return opaquePointer
	case *types.Slice:
		if elem := inner(t.Elem()); elem != nil {
			return reflect.SliceOf(elem)
		}
		return opaqueSlice
	case *types.Array:
		return reflect.ArrayOf(int(t.Len()), l.reflect(t.Elem()))
	case *types.Map:
		key, elem := inner(t.Key()), inner(t.Elem())
		if key != nil && elem != nil {
			return reflect.MapOf(key, elem)
		}
		return opaqueMap
	case *types.Signature:
		var in, out []reflect.Type
		for p := range t.Params().Variables() {
			in = append(in, inner(p.Type()))
		}
		for r := range t.Results().Variables() {
			out = append(out, inner(r.Type()))
		}
		for _, p := range append(in, out...) {
			if p == nil {
				return opaqueFunc
			}
		}
		return reflect.FuncOf(in, out, t.Variadic())
	case *types.Struct:
		return l.structure(t, "")
	case *types.Interface:
		return reflect.TypeFor[any]()
	case *types.Chan:
		return opaquePointer
	case *types.Tuple:
		return reflect.TypeFor[struct{}]()
	}
	panic(fmt.Sprintf("no layout for type %v", t))
}

// leans tells whether a type mentions one that is being worked out.
func (l *layouts) leans(t types.Type, depth int) bool {
	if len(l.pending) == 0 {
		return false
	}
	switch t := types.Unalias(t).(type) {
	case *types.Named:
		if l.pending[t.Obj()] {
			return true
		}
		if depth > 20 {
			return true
		}
		if _, known := l.known.At(t).(*layout); known {
			return false
		}
		if l.isHost(t) {
			return false
		}
		return l.leans(t.Underlying(), depth+1)
	case *types.Pointer:
		return l.leans(t.Elem(), depth+1)
	case *types.Slice:
		return l.leans(t.Elem(), depth+1)
	case *types.Array:
		return l.leans(t.Elem(), depth+1)
	case *types.Map:
		return l.leans(t.Key(), depth+1) || l.leans(t.Elem(), depth+1)
	case *types.Signature:
		for p := range t.Params().Variables() {
			if l.leans(p.Type(), depth+1) {
				return true
			}
		}
		for r := range t.Results().Variables() {
			if l.leans(r.Type(), depth+1) {
				return true
			}
		}
	case *types.Struct:
		for f := range t.Fields() {
			if l.leans(f.Type(), depth+1) {
				return true
			}
		}
	}
	return false
}

// isHost tells whether a named type is one of the program's own.
func (l *layouts) isHost(t *types.Named) bool {
	if l.host.At(t) != nil {
		return true
	}
	pkg := t.Obj().Pkg()
	return pkg != nil && symbols.Lookup(pkg.Path(), t.Obj().Name()) != nil
}

// declared returns the type of a named type of the recipe.
func (l *layouts) declared(t *types.Named) reflect.Type {
	if types.IsInterface(t) {
		return reflect.TypeFor[any]()
	}
	id, ok := l.ids.At(t).(int)
	if !ok {
		id = l.ids.Len() + 1
		l.ids.Set(t, id)
	}
	tag := fmt.Sprintf("%s#%d", types.TypeString(t, nil), id)
	l.pending[t.Obj()] = true
	defer delete(l.pending, t.Obj())
	if s, ok := t.Underlying().(*types.Struct); ok {
		return l.structure(s, tag)
	}
	return reflect.StructOf([]reflect.StructField{{Name: "V", Type: l.reflect(t.Underlying()), Tag: reflect.StructTag(tag)}})
}

// structure returns a struct type. A type the recipe declares bears its tag on
// the first field.
func (l *layouts) structure(t *types.Struct, tag string) reflect.Type {
	fields := make([]reflect.StructField, t.NumFields(), t.NumFields()+1)
	blanks := 0
	for i := range fields {
		f := t.Field(i)
		field := reflect.StructField{Name: f.Name(), Type: l.reflect(f.Type()), Tag: reflect.StructTag(t.Tag(i))}
		if f.Name() == "_" {
			blanks++
			field.Name = fmt.Sprintf("blank%d", blanks)
		}
		if !f.Exported() {
			field.PkgPath = "main"
		}
		if f.Embedded() {
			field.Tag += " embedded"
		}
		fields[i] = field
	}
	if tag != "" {
		if len(fields) == 0 {
			fields = append(fields, reflect.StructField{Name: "V", Type: reflect.TypeFor[struct{}]()})
		}
		fields[0].Tag += reflect.StructTag(" " + tag)
	}
	return reflect.StructOf(fields)
}

// learn notes the program's named types that a type mentions, given the
// reflect.Type that the program has for it.
func (l *layouts) learn(t types.Type, rt reflect.Type) {
	switch t := types.Unalias(t).(type) {
	case *types.Named:
		if l.host.At(t) != nil || rt.Name() == "" {
			return
		}
		l.host.Set(t, rt)
		if rt.Kind() != reflect.Interface {
			l.learn(t.Underlying(), rt)
		}
	case *types.Pointer:
		if rt.Kind() == reflect.Pointer {
			l.learn(t.Elem(), rt.Elem())
		}
	case *types.Slice:
		if rt.Kind() == reflect.Slice {
			l.learn(t.Elem(), rt.Elem())
		}
	case *types.Array:
		if rt.Kind() == reflect.Array {
			l.learn(t.Elem(), rt.Elem())
		}
	case *types.Map:
		if rt.Kind() == reflect.Map {
			l.learn(t.Key(), rt.Key())
			l.learn(t.Elem(), rt.Elem())
		}
	case *types.Struct:
		if rt.Kind() == reflect.Struct && rt.NumField() == t.NumFields() {
			for i := range t.NumFields() {
				l.learn(t.Field(i).Type(), rt.Field(i).Type)
			}
		}
	case *types.Signature:
		if rt.Kind() != reflect.Func {
			return
		}
		skip := rt.NumIn() - t.Params().Len() // a method's receiver
		for i := range t.Params().Len() {
			l.learn(t.Params().At(i).Type(), rt.In(i+skip))
		}
		for i := range t.Results().Len() {
			l.learn(t.Results().At(i).Type(), rt.Out(i))
		}
	}
}
