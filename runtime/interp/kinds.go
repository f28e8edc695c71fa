package interp

import (
	"go/token"
	"go/types"
	"unsafe"
)

// kindOps compile the operations on values of one basic kind. Those that the kind
// does not have are nil.
type kindOps struct {
	binary  func(t token.Token, d, a, b uintptr) op
	shift   func(left, signed bool, d, a, count uintptr) op
	negate  func(d, a uintptr) op
	compare func(t token.Token, a, b uintptr) comparison
	least   func(least bool, d slot, args []slot) op
	convert func(from types.BasicKind, d, a uintptr) op // to the kind
}

func opsOf(k types.BasicKind) kindOps {
	switch k {
	case types.Bool:
		return kindOps{compare: equality[bool], convert: func(_ types.BasicKind, d, a uintptr) op { return assign[bool](d, a) }}
	case types.Int:
		return integerOps[int]()
	case types.Int8:
		return integerOps[int8]()
	case types.Int16:
		return integerOps[int16]()
	case types.Int32:
		return integerOps[int32]()
	case types.Int64:
		return integerOps[int64]()
	case types.Uint:
		return integerOps[uint]()
	case types.Uint8:
		return integerOps[uint8]()
	case types.Uint16:
		return integerOps[uint16]()
	case types.Uint32:
		return integerOps[uint32]()
	case types.Uint64:
		return integerOps[uint64]()
	case types.Uintptr:
		return integerOps[uintptr]()
	case types.Float32:
		return floatOps[float32]()
	case types.Float64:
		return floatOps[float64]()
	case types.Complex64:
		return complexOps[complex64]()
	case types.Complex128:
		return complexOps[complex128]()
	case types.String:
		return kindOps{binary: concatenation, compare: order[string], least: extremes[string]}
	}
	return kindOps{}
}

func integerOps[T integer]() kindOps {
	return kindOps{integers[T], shifts[T], negative[T], order[T], extremes[T], fromKind[T]}
}

func floatOps[T float]() kindOps {
	return kindOps{binary: numbers[T], negate: negative[T], compare: order[T], least: extremes[T], convert: fromKind[T]}
}

func complexOps[T complex64 | complex128]() kindOps {
	return kindOps{binary: numbers[T], negate: negative[T], compare: equality[T], convert: fromComplex[T]}
}

// shapeOps compile what moves values of one shape about.
type shapeOps struct {
	assign func(d, a uintptr) op                    // from register to register
	load   func(n int32, d uintptr, a address) op   // from memory
	store  func(n int32, src uintptr, a address) op // to memory
	append func(d, list, more uintptr) op
}

// movesOf returns the operations for a shape; none for shapeWide, whose values differ
// in size.
func movesOf(s shape) (ops shapeOps, ok bool) {
	switch s {
	case shape1:
		return shaped[uint8](), true
	case shape2:
		return shaped[uint16](), true
	case shape4:
		return shaped[uint32](), true
	case shape8:
		return shaped[uint64](), true
	case shape16:
		return shaped[[2]uint64](), true
	case shapePtr:
		return shaped[unsafe.Pointer](), true
	case shapeStr:
		return shaped[string](), true
	case shapeList:
		return shaped[header](), true
	case shapeFace:
		return shaped[face](), true
	}
	return shapeOps{}, false
}

func shaped[T any]() shapeOps { return shapeOps{assign[T], loads[T], stores[T], appends[T]} }
