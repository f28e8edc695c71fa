package interp

import (
	"go/types"
	"reflect"
	"strconv"
	"strings"

	"golang.org/x/tools/go/ssa"
)

// typeName writes a type as package reflect writes it.
func (m *machine) typeName(t types.Type) string {
	var b strings.Builder
	m.writeType(&b, t)
	return b.String()
}

func (m *machine) writeType(b *strings.Builder, t types.Type) {
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		if t.Kind() == types.UnsafePointer {
			b.WriteString("unsafe.Pointer")
			return
		}
		b.WriteString(reflectBasic(t))
	case *types.Named:
		if pkg := t.Obj().Pkg(); pkg != nil {
			b.WriteString(pkg.Name() + ".")
		}
		b.WriteString(t.Obj().Name())
		if n := t.TypeArgs().Len(); n > 0 {
			b.WriteByte('[')
			for i := range n {
				if i > 0 {
					b.WriteByte(',')
				}
				m.writeType(b, t.TypeArgs().At(i))
			}
			b.WriteByte(']')
		}
	case *types.Pointer:
		b.WriteByte('*')
		m.writeType(b, t.Elem())
	case *types.Slice:
		b.WriteString("[]")
		m.writeType(b, t.Elem())
	case *types.Array:
		b.WriteString("[" + strconv.FormatInt(t.Len(), 10) + "]")
		m.writeType(b, t.Elem())
	case *types.Map:
		b.WriteString("map[")
		m.writeType(b, t.Key())
		b.WriteByte(']')
		m.writeType(b, t.Elem())
	case *types.Signature:
		b.WriteString("func")
		m.writeSignature(b, t)
	case *types.Struct:
		b.WriteString("struct {")
		for i := range t.NumFields() {
			if i > 0 {
				b.WriteByte(';')
			}
			b.WriteByte(' ')
			if f := t.Field(i); !f.Embedded() {
				b.WriteString(f.Name() + " ")
			}
			m.writeType(b, t.Field(i).Type())
			if tag := t.Tag(i); tag != "" {
				b.WriteString(" " + strconv.Quote(tag))
			}
		}
		if t.NumFields() > 0 {
			b.WriteByte(' ')
		}
		b.WriteByte('}')
	case *types.Interface:
		b.WriteString("interface {")
		for i := range t.NumMethods() {
			if i > 0 {
				b.WriteByte(';')
			}
			b.WriteString(" " + t.Method(i).Name())
			m.writeSignature(b, t.Method(i).Signature())
		}
		if t.NumMethods() > 0 {
			b.WriteByte(' ')
		}
		b.WriteByte('}')
	default:
		b.WriteString(types.TypeString(t, shortly))
	}
}

func (m *machine) writeSignature(b *strings.Builder, t *types.Signature) {
	b.WriteByte('(')
	for i := range t.Params().Len() {
		if i > 0 {
			b.WriteString(", ")
		}
		p := t.Params().At(i).Type()
		if t.Variadic() && i == t.Params().Len()-1 {
			b.WriteString("...")
			p = p.(*types.Slice).Elem()
		}
		m.writeType(b, p)
	}
	b.WriteByte(')')
	switch n := t.Results().Len(); n {
	case 0:
	case 1:
		b.WriteByte(' ')
		m.writeType(b, t.Results().At(0).Type())
	default:
		b.WriteString(" (")
		for i := range n {
			if i > 0 {
				b.WriteString(", ")
			}
			m.writeType(b, t.Results().At(i).Type())
		}
		b.WriteByte(')')
	}
}

// reflectBasic names a basic type without its other names, byte and rune.
func reflectBasic(t *types.Basic) string { return types.Typ[t.Kind()].Name() }

// nameOf names the type of a value.
func (m *machine) nameOf(v any) string {
	if v == nil {
		return "nil"
	}
	if lay := m.layouts.byWord[wordOf(v)]; lay != nil {
		return m.typeName(lay.typ)
	}
	if e, ok := asGoError(v); ok {
		return e.typ
	}
	return reflect.TypeOf(v).String()
}

// traceName names a function as a trace shows it.
func traceName(f *ssa.Function) string {
	if f.Parent() != nil {
		outer := f
		for outer.Parent() != nil {
			outer = outer.Parent()
		}
		return "a function in " + traceName(outer)
	}
	if o := f.Origin(); o != nil {
		f = o
	}
	if recv := f.Signature.Recv(); recv != nil {
		t := recv.Type()
		if p, ok := types.Unalias(t).(*types.Pointer); ok {
			t = p.Elem()
		}
		if named, ok := types.Unalias(t).(*types.Named); ok {
			return named.Obj().Name() + "." + f.Name()
		}
	}
	return f.Name()
}
