package interp

import (
	"fmt"
	"go/types"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// conversion compiles a conversion that changes a value.
func (c *compiler) conversion(instr ssa.Value, from ssa.Value) op {
	d, a := c.slot(instr), c.slot(from)
	to, of := kindOf(d.lay), kindOf(a.lay)
	switch {
	case to == types.String:
		switch list, _ := a.lay.under.(*types.Slice); {
		case list != nil && c.m.layouts.of(list.Elem()).size == 1:
			return func(fr *frame) { *at[string](fr, d.offset) = string(*at[[]byte](fr, a.offset)) }
		case list != nil:
			return func(fr *frame) { *at[string](fr, d.offset) = string(*at[[]rune](fr, a.offset)) }
		case of == types.String:
			return copying(d, a.offset)
		}
		wide := c.place(c.spare[0]).offset
		if b := a.lay.under.(*types.Basic); b.Info()&types.IsUnsigned != 0 {
			widen := fromKind[uint64](of, wide, a.offset)
			return func(fr *frame) {
				widen(fr)
				*at[string](fr, d.offset) = runeString(*at[uint64](fr, wide) <= 0x10FFFF, rune(*at[uint64](fr, wide)))
			}
		}
		widen := fromKind[int64](of, wide, a.offset)
		return func(fr *frame) {
			widen(fr)
			n := *at[int64](fr, wide)
			*at[string](fr, d.offset) = runeString(n >= 0 && n <= 0x10FFFF, rune(n))
		}
	case of == types.String:
		list := d.lay.under.(*types.Slice)
		if c.m.layouts.of(list.Elem()).size == 1 {
			return func(fr *frame) { *at[[]byte](fr, d.offset) = []byte(*at[string](fr, a.offset)) }
		}
		return func(fr *frame) { *at[[]rune](fr, d.offset) = []rune(*at[string](fr, a.offset)) }
	case a.lay.shape == shapePtr && d.lay.shape == shapePtr,
		a.lay.shape == shapePtr && to == types.Uintptr:
		return copying(slot{d.offset, d.lay}, a.offset)
	case of == types.Uintptr && d.lay.shape == shapePtr:
		panic("conversion of a number to a pointer")
	}
	return opsOf(to).convert(of, d.offset, a.offset)
}

func runeString(valid bool, r rune) string {
	if !valid {
		r = 0xFFFD
	}
	return string(r)
}

// copying compiles a copy from one register to another.
func copying(d slot, a uintptr) op {
	if ops, ok := movesOf(d.lay.shape); ok {
		return ops.assign(d.offset, a)
	}
	lay := d.lay
	return func(fr *frame) {
		lay.copy(unsafe.Add(unsafe.Pointer(fr), d.offset), unsafe.Add(unsafe.Pointer(fr), a))
	}
}

func assign[T any](d, a uintptr) op {
	return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) }
}

// fromKind compiles a conversion of a number of one kind to another.
func fromKind[T integer | float](from types.BasicKind, d, a uintptr) op {
	switch from {
	case types.Int:
		return number[T, int](d, a)
	case types.Int8:
		return number[T, int8](d, a)
	case types.Int16:
		return number[T, int16](d, a)
	case types.Int32:
		return number[T, int32](d, a)
	case types.Int64:
		return number[T, int64](d, a)
	case types.Uint:
		return number[T, uint](d, a)
	case types.Uint8:
		return number[T, uint8](d, a)
	case types.Uint16:
		return number[T, uint16](d, a)
	case types.Uint32:
		return number[T, uint32](d, a)
	case types.Uint64:
		return number[T, uint64](d, a)
	case types.Uintptr:
		return number[T, uintptr](d, a)
	case types.Float32:
		return number[T, float32](d, a)
	case types.Float64:
		return number[T, float64](d, a)
	}
	panic(fmt.Sprintf("no conversion from kind %v to a number", from))
}

func number[T, S integer | float](d, a uintptr) op {
	return func(fr *frame) { *at[T](fr, d) = T(*at[S](fr, a)) }
}

func fromComplex[T complex64 | complex128](from types.BasicKind, d, a uintptr) op {
	if from == types.Complex64 {
		return func(fr *frame) { *at[T](fr, d) = T(*at[complex64](fr, a)) }
	}
	return func(fr *frame) { *at[T](fr, d) = T(*at[complex128](fr, a)) }
}
