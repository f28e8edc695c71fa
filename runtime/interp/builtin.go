package interp

import (
	"fmt"
	"go/types"
	"reflect"
	"strconv"
	"strings"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

func arrayLen(t types.Type) int {
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	return int(t.Underlying().(*types.Array).Len())
}

// builtin compiles a call of a function that is part of the language.
func (c *compiler) builtin(name string, common *ssa.CallCommon, results []slot, n int32) op {
	m := c.m
	args := c.slots(common.Args)
	var d uintptr
	if len(results) > 0 {
		d = results[0].offset
	}
	failing := func(o op) op {
		return func(fr *frame) {
			fr.at = n
			o(fr)
		}
	}
	switch name {
	case "len", "cap":
		x := args[0].offset
		switch t := args[0].lay.under.(type) {
		case *types.Array, *types.Pointer:
			length := arrayLen(t)
			return func(fr *frame) { *at[int](fr, d) = length }
		case *types.Slice:
			if name == "cap" {
				return func(fr *frame) { *at[int](fr, d) = at[header](fr, x).cap }
			}
			return func(fr *frame) { *at[int](fr, d) = at[header](fr, x).len }
		case *types.Map:
			return func(fr *frame) { *at[int](fr, d) = len(*at[map[int]int](fr, x)) }
		}
		return func(fr *frame) { *at[int](fr, d) = len(*at[string](fr, x)) }
	case "append":
		return failing(c.watchAppend(c.append(results, args), common, results[0], args[0]))
	case "copy":
		return c.copy(results, args)
	case "clear":
		if args[0].lay.shape == shapePtr {
			mapping := c.mapping(common.Args[0])
			return func(fr *frame) {
				if v := mapping(fr); !v.IsNil() {
					v.Clear()
				}
			}
		}
		elem := m.layouts.of(args[0].lay.under.(*types.Slice).Elem())
		return func(fr *frame) {
			h := *at[header](fr, args[0].offset)
			reflect.NewAt(reflect.SliceOf(elem.rt), unsafe.Pointer(&h)).Elem().Clear()
		}
	case "delete":
		mapping := c.mapping(common.Args[0])
		return failing(func(fr *frame) {
			mapping(fr).SetMapIndex(args[1].value(fr), reflect.Value{})
		})
	case "min", "max":
		return opsOf(kindOf(results[0].lay)).least(name == "min", results[0], args)
	case "real", "imag":
		x := args[0].offset
		first := name == "real"
		if args[0].lay.size == 8 {
			return func(fr *frame) {
				if first {
					*at[float32](fr, d) = real(*at[complex64](fr, x))
				} else {
					*at[float32](fr, d) = imag(*at[complex64](fr, x))
				}
			}
		}
		return func(fr *frame) {
			if first {
				*at[float64](fr, d) = real(*at[complex128](fr, x))
			} else {
				*at[float64](fr, d) = imag(*at[complex128](fr, x))
			}
		}
	case "complex":
		x, y := args[0].offset, args[1].offset
		if results[0].lay.size == 8 {
			return func(fr *frame) { *at[complex64](fr, d) = complex(*at[float32](fr, x), *at[float32](fr, y)) }
		}
		return func(fr *frame) { *at[complex128](fr, d) = complex(*at[float64](fr, x), *at[float64](fr, y)) }
	case "print", "println":
		return failing(func(fr *frame) { m.print(fr, args, name == "println") })
	case "panic":
		return failing(func(fr *frame) { m.throw(*at[any](fr, args[0].offset)) })
	case "recover":
		return func(fr *frame) {
			v := m.recovered(fr)
			if len(results) > 0 {
				*at[any](fr, d) = v
			}
		}
	case "ssa:wrapnilchk":
		recv, method := args[1].offset, args[2].offset
		return failing(func(fr *frame) {
			p := *at[unsafe.Pointer](fr, args[0].offset)
			if p == nil {
				panic(goError{fmt.Sprintf("value method %s.%s called using nil *%s pointer",
					*at[string](fr, recv), *at[string](fr, method), lastName(*at[string](fr, recv))), "runtime.plainError"})
			}
			*at[unsafe.Pointer](fr, d) = p
		})
	case "ssa:deferstack":
		return func(fr *frame) { *at[*frame](fr, d) = fr }
	}
	panic("no code for builtin " + name)
}

// lastName is a type's name without its package.
func lastName(s string) string { return s[strings.LastIndexByte(s, '.')+1:] }

// append compiles append(list, more...). Lists of the commoner shapes grow by
// Go's own append, so that their capacities are the same.
func (c *compiler) append(results, args []slot) op {
	d, x, y := results[0].offset, args[0].offset, args[1].offset
	elem := c.m.layouts.of(results[0].lay.under.(*types.Slice).Elem())
	if args[1].lay.shape == shapeStr {
		return func(fr *frame) { *at[[]byte](fr, d) = append(*at[[]byte](fr, x), *at[string](fr, y)...) }
	}
	if elem.size == 0 {
		return appends[struct{}](d, x, y)
	}
	if ops, ok := movesOf(elem.shape); ok {
		return ops.append(d, x, y)
	}
	list := reflect.SliceOf(elem.rt)
	return func(fr *frame) {
		h, more := *at[header](fr, x), at[header](fr, y)
		if h.len+more.len > h.cap {
			v := reflect.NewAt(list, unsafe.Pointer(&h)).Elem()
			v.Grow(more.len)
		}
		old := h.len
		h.len += more.len
		dst := header{unsafe.Add(h.data, uintptr(old)*elem.size), more.len, more.len}
		if more.len > 0 {
			reflect.Copy(reflect.NewAt(list, unsafe.Pointer(&dst)).Elem(), reflect.NewAt(list, unsafe.Pointer(more)).Elem())
		}
		*at[header](fr, d) = h
	}
}

func appends[T any](d, x, y uintptr) op {
	return func(fr *frame) { *at[[]T](fr, d) = append(*at[[]T](fr, x), *at[[]T](fr, y)...) }
}

func (c *compiler) copy(results, args []slot) op {
	x, y := args[0].offset, args[1].offset
	elem := c.m.layouts.of(args[0].lay.under.(*types.Slice).Elem())
	list := reflect.SliceOf(elem.rt)
	set := func(fr *frame, n int) {
		if len(results) > 0 {
			*at[int](fr, results[0].offset) = n
		}
	}
	switch {
	case args[1].lay.shape == shapeStr:
		return func(fr *frame) { set(fr, copy(*at[[]byte](fr, x), *at[string](fr, y))) }
	case elem.shape == shape8:
		return func(fr *frame) { set(fr, copy(*at[[]uint64](fr, x), *at[[]uint64](fr, y))) }
	}
	return func(fr *frame) {
		set(fr, reflect.Copy(reflect.NewAt(list, unsafe.Pointer(at[header](fr, x))).Elem(), reflect.NewAt(list, unsafe.Pointer(at[header](fr, y))).Elem()))
	}
}

// extremes compiles min and max.
func extremes[T ordered](least bool, d slot, args []slot) op {
	return func(fr *frame) {
		x := *at[T](fr, args[0].offset)
		for _, a := range args[1:] {
			if least {
				x = min(x, *at[T](fr, a.offset))
			} else {
				x = max(x, *at[T](fr, a.offset))
			}
		}
		*at[T](fr, d.offset) = x
	}
}

// print writes as the builtins print and println do, which is to the error
// output.
func (m *machine) print(fr *frame, args []slot, line bool) {
	var b strings.Builder
	for i, a := range args {
		if line && i > 0 {
			b.WriteByte(' ')
		}
		p := register(fr, a)
		switch kindOf(a.lay) {
		case types.Bool:
			fmt.Fprint(&b, *(*bool)(p))
		case types.String:
			b.WriteString(*(*string)(p))
		case types.Float32:
			b.WriteString(strconv.FormatFloat(float64(*(*float32)(p)), 'g', -1, 32))
		case types.Float64:
			b.WriteString(strconv.FormatFloat(*(*float64)(p), 'g', -1, 64))
		case types.Complex64:
			b.WriteString(strconv.FormatComplex(complex128(*(*complex64)(p)), 'g', -1, 64))
		case types.Complex128:
			b.WriteString(strconv.FormatComplex(*(*complex128)(p), 'g', -1, 128))
		case types.Invalid, types.UnsafePointer:
			if a.lay.shape != shapeWide && *(*unsafe.Pointer)(p) == nil {
				switch a.lay.shape {
				case shapePtr:
					b.WriteString("0x0")
				case shapeList:
					b.WriteString("[0/0]0x0")
				case shapeFace:
					b.WriteString("(0x0,0x0)")
				}
				break
			}
			m.refuse("print writes an address here, which is another at every run", "")
		default:
			fmt.Fprint(&b, reflect.NewAt(basics[kindOf(a.lay)], p).Elem())
		}
	}
	if line {
		b.WriteByte('\n')
	}
	m.warn(b.String())
}
