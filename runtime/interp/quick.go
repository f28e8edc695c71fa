package interp

import (
	"reflect"
	"unsafe"
)

// quick compiles calls of functions with the commonest signatures without
// reflection. It returns nil for others.
//
// What a function's types are called does not matter to a call of it, only what
// they are: a func(Length) Time is called as a func(float64) float64.
func (m *machine) quick(v reflect.Value, args, results []slot) op {
	t := v.Type()
	if len(results) != 1 || len(args) == 0 || t.IsVariadic() {
		return nil
	}
	key := make([]byte, 0, 4)
	for i := range t.NumIn() {
		if m.mayHoldFunction(t.In(i)) {
			return nil // which the program could call
		}
		key = append(key, letter(t.In(i)))
	}
	key = append(key, ':', letter(t.Out(0)))
	x := v.Interface()
	f := (*face)(unsafe.Pointer(&x)).data
	r := results[0].offset
	switch string(key) {
	case "f:f":
		return call1[float64, float64](f, args, r)
	case "f:i":
		return call1[float64, uint64](f, args, r)
	case "f:b":
		return call1[float64, bool](f, args, r)
	case "f:s":
		return call1[float64, string](f, args, r)
	case "i:f":
		return call1[uint64, float64](f, args, r)
	case "i:i":
		return call1[uint64, uint64](f, args, r)
	case "i:s":
		return call1[uint64, string](f, args, r)
	case "s:s":
		return call1[string, string](f, args, r)
	case "s:i":
		return call1[string, uint64](f, args, r)
	case "r:b":
		return call1[rune, bool](f, args, r)
	case "r:r":
		return call1[rune, rune](f, args, r)
	case "p:f":
		return call1[unsafe.Pointer, float64](f, args, r)
	case "p:i":
		return call1[unsafe.Pointer, uint64](f, args, r)
	case "p:p":
		return call1[unsafe.Pointer, unsafe.Pointer](f, args, r)
	case "p:s":
		return call1[unsafe.Pointer, string](f, args, r)
	case "ff:f":
		return call2[float64, float64, float64](f, args, r)
	case "fi:f":
		return call2[float64, uint64, float64](f, args, r)
	case "fi:b":
		return call2[float64, uint64, bool](f, args, r)
	case "ii:i":
		return call2[uint64, uint64, uint64](f, args, r)
	case "ss:b":
		return call2[string, string, bool](f, args, r)
	case "ss:i":
		return call2[string, string, uint64](f, args, r)
	case "pf:f":
		return call2[unsafe.Pointer, float64, float64](f, args, r)
	case "pi:f":
		return call2[unsafe.Pointer, uint64, float64](f, args, r)
	case "pi:i":
		return call2[unsafe.Pointer, uint64, uint64](f, args, r)
	case "fff:f":
		a, b, c := args[0].offset, args[1].offset, args[2].offset
		g := *(*func(float64, float64, float64) float64)(unsafe.Pointer(&f))
		return func(fr *frame) {
			*at[float64](fr, r) = g(*at[float64](fr, a), *at[float64](fr, b), *at[float64](fr, c))
		}
	}
	return nil
}

// letter stands for what a type is to a call.
func letter(t reflect.Type) byte {
	switch t.Kind() {
	case reflect.Float64:
		return 'f'
	case reflect.Int, reflect.Int64, reflect.Uint, reflect.Uint64:
		return 'i'
	case reflect.Int32:
		return 'r'
	case reflect.Bool:
		return 'b'
	case reflect.String:
		return 's'
	case reflect.Pointer:
		return 'p'
	}
	return '?'
}

func call1[A, R any](f unsafe.Pointer, args []slot, r uintptr) op {
	g, a := *(*func(A) R)(unsafe.Pointer(&f)), args[0].offset
	return func(fr *frame) { *at[R](fr, r) = g(*at[A](fr, a)) }
}

func call2[A, B, R any](f unsafe.Pointer, args []slot, r uintptr) op {
	g, a, b := *(*func(A, B) R)(unsafe.Pointer(&f)), args[0].offset, args[1].offset
	return func(fr *frame) { *at[R](fr, r) = g(*at[A](fr, a), *at[B](fr, b)) }
}
