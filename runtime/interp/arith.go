package interp

import (
	"fmt"
	"go/token"
	"go/types"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

type integer interface {
	int | int8 | int16 | int32 | int64 | uint | uint8 | uint16 | uint32 | uint64 | uintptr
}

type float interface{ float32 | float64 }

type ordered interface{ integer | float | string }

// kindOf is the basic kind under a layout, with untyped kinds made typed.
func kindOf(lay *layout) types.BasicKind {
	b, ok := lay.under.(*types.Basic)
	if !ok {
		return types.Invalid
	}
	switch b.Kind() {
	case types.UntypedBool:
		return types.Bool
	case types.UntypedInt:
		return types.Int
	case types.UntypedRune:
		return types.Int32
	case types.UntypedFloat:
		return types.Float64
	case types.UntypedComplex:
		return types.Complex128
	case types.UntypedString:
		return types.String
	}
	return b.Kind()
}

// binary compiles an arithmetic operation.
func (c *compiler) binary(instr *ssa.BinOp) op {
	switch instr.Op {
	case token.EQL, token.NEQ, token.LSS, token.LEQ, token.GTR, token.GEQ:
		return c.compare(instr)
	case token.SHL, token.SHR:
		return c.shift(instr)
	}
	d, a, b := c.slot(instr), c.slot(instr.X).offset, c.slot(instr.Y).offset
	o := arithmetic(kindOf(d.lay), instr.Op, d.offset, a, b)
	if instr.Op == token.QUO || instr.Op == token.REM {
		return c.failing(instr, o)
	}
	return o
}

// failing has the op's place noted before it runs.
func (c *compiler) failing(instr ssa.Instruction, o op) op {
	n := c.site(instr, instr.Pos())
	return func(fr *frame) {
		fr.at = n
		o(fr)
	}
}

func arithmetic(k types.BasicKind, t token.Token, d, a, b uintptr) op {
	switch k {
	case types.Int:
		return integers[int](t, d, a, b)
	case types.Int8:
		return integers[int8](t, d, a, b)
	case types.Int16:
		return integers[int16](t, d, a, b)
	case types.Int32:
		return integers[int32](t, d, a, b)
	case types.Int64:
		return integers[int64](t, d, a, b)
	case types.Uint:
		return integers[uint](t, d, a, b)
	case types.Uint8:
		return integers[uint8](t, d, a, b)
	case types.Uint16:
		return integers[uint16](t, d, a, b)
	case types.Uint32:
		return integers[uint32](t, d, a, b)
	case types.Uint64:
		return integers[uint64](t, d, a, b)
	case types.Uintptr:
		return integers[uintptr](t, d, a, b)
	case types.Float32:
		return numbers[float32](t, d, a, b)
	case types.Float64:
		return numbers[float64](t, d, a, b)
	case types.Complex64:
		return numbers[complex64](t, d, a, b)
	case types.Complex128:
		return numbers[complex128](t, d, a, b)
	case types.String:
		return func(fr *frame) { *at[string](fr, d) = *at[string](fr, a) + *at[string](fr, b) }
	}
	panic(fmt.Sprintf("no operation %v on kind %v", t, k))
}

func numbers[T integer | float | complex64 | complex128](t token.Token, d, a, b uintptr) op {
	switch t {
	case token.ADD:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) + *at[T](fr, b) }
	case token.SUB:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) - *at[T](fr, b) }
	case token.MUL:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) * *at[T](fr, b) }
	case token.QUO:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) / *at[T](fr, b) }
	}
	panic(fmt.Sprintf("no operation %v on numbers", t))
}

func integers[T integer](t token.Token, d, a, b uintptr) op {
	switch t {
	case token.REM:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) % *at[T](fr, b) }
	case token.AND:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) & *at[T](fr, b) }
	case token.OR:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) | *at[T](fr, b) }
	case token.XOR:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) ^ *at[T](fr, b) }
	case token.AND_NOT:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) &^ *at[T](fr, b) }
	}
	return numbers[T](t, d, a, b)
}

// shift compiles a shift. The count is first made an int64 or a uint64, for
// which Go's own shift does the rest.
func (c *compiler) shift(instr *ssa.BinOp) op {
	d, a, n := c.slot(instr), c.slot(instr.X).offset, c.slot(instr.Y)
	left := instr.Op == token.SHL
	count := c.place(c.spare[0]).offset
	signed := false
	if b := n.lay.under.(*types.Basic); b.Info()&types.IsUnsigned == 0 {
		signed = true
	}
	var widen op
	if signed {
		widen = convert(types.Int64, kindOf(n.lay), count, n.offset)
	} else {
		widen = convert(types.Uint64, kindOf(n.lay), count, n.offset)
	}
	var o op
	switch kindOf(d.lay) {
	case types.Int:
		o = shifts[int](left, signed, d.offset, a, count)
	case types.Int8:
		o = shifts[int8](left, signed, d.offset, a, count)
	case types.Int16:
		o = shifts[int16](left, signed, d.offset, a, count)
	case types.Int32:
		o = shifts[int32](left, signed, d.offset, a, count)
	case types.Int64:
		o = shifts[int64](left, signed, d.offset, a, count)
	case types.Uint:
		o = shifts[uint](left, signed, d.offset, a, count)
	case types.Uint8:
		o = shifts[uint8](left, signed, d.offset, a, count)
	case types.Uint16:
		o = shifts[uint16](left, signed, d.offset, a, count)
	case types.Uint32:
		o = shifts[uint32](left, signed, d.offset, a, count)
	case types.Uint64:
		o = shifts[uint64](left, signed, d.offset, a, count)
	case types.Uintptr:
		o = shifts[uintptr](left, signed, d.offset, a, count)
	}
	return c.failing(instr, func(fr *frame) {
		widen(fr)
		o(fr)
	})
}

func shifts[T integer](left, signed bool, d, a, n uintptr) op {
	switch {
	case left && signed:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) << *at[int64](fr, n) }
	case left:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) << *at[uint64](fr, n) }
	case signed:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) >> *at[int64](fr, n) }
	}
	return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) >> *at[uint64](fr, n) }
}

// unary compiles an operation on one value.
func (c *compiler) unary(instr *ssa.UnOp) op {
	if instr.Op == token.MUL {
		return c.load(instr)
	}
	d, a := c.slot(instr), c.slot(instr.X).offset
	switch instr.Op {
	case token.NOT:
		return func(fr *frame) { *at[bool](fr, d.offset) = !*at[bool](fr, a) }
	case token.SUB:
		switch kindOf(d.lay) {
		case types.Int:
			return negative[int](d.offset, a)
		case types.Int8:
			return negative[int8](d.offset, a)
		case types.Int16:
			return negative[int16](d.offset, a)
		case types.Int32:
			return negative[int32](d.offset, a)
		case types.Int64:
			return negative[int64](d.offset, a)
		case types.Uint:
			return negative[uint](d.offset, a)
		case types.Uint8:
			return negative[uint8](d.offset, a)
		case types.Uint16:
			return negative[uint16](d.offset, a)
		case types.Uint32:
			return negative[uint32](d.offset, a)
		case types.Uint64:
			return negative[uint64](d.offset, a)
		case types.Uintptr:
			return negative[uintptr](d.offset, a)
		case types.Float32:
			return negative[float32](d.offset, a)
		case types.Float64:
			return negative[float64](d.offset, a)
		case types.Complex64:
			return negative[complex64](d.offset, a)
		case types.Complex128:
			return negative[complex128](d.offset, a)
		}
	case token.XOR:
		switch d.lay.size {
		case 1:
			return func(fr *frame) { *at[uint8](fr, d.offset) = ^*at[uint8](fr, a) }
		case 2:
			return func(fr *frame) { *at[uint16](fr, d.offset) = ^*at[uint16](fr, a) }
		case 4:
			return func(fr *frame) { *at[uint32](fr, d.offset) = ^*at[uint32](fr, a) }
		case 8:
			return func(fr *frame) { *at[uint64](fr, d.offset) = ^*at[uint64](fr, a) }
		}
	}
	panic(fmt.Sprintf("no operation %v on %v", instr.Op, d.lay.typ))
}

func negative[T integer | float | complex64 | complex128](d, a uintptr) op {
	return func(fr *frame) { *at[T](fr, d) = -*at[T](fr, a) }
}

// A comparison compiles to an op that sets a register or to the end of a block.
type comparison struct {
	set    func(d uintptr) op
	branch func(yes, no *edge) func(*frame) *block
}

func (c *compiler) compare(instr *ssa.BinOp) op {
	o := c.comparison(instr).set(c.slot(instr).offset)
	if types.IsInterface(instr.X.Type()) || c.slot(instr.X).lay.shape == shapeWide {
		return c.failing(instr, o)
	}
	return o
}

func (c *compiler) branch(instr *ssa.BinOp, yes, no *edge) func(*frame) *block {
	next := c.comparison(instr).branch(yes, no)
	if types.IsInterface(instr.X.Type()) || c.slot(instr.X).lay.shape == shapeWide {
		n := c.site(instr, instr.Pos())
		return func(fr *frame) *block {
			fr.at = n
			return next(fr)
		}
	}
	return next
}

func (c *compiler) comparison(instr *ssa.BinOp) comparison {
	a, b := c.slot(instr.X), c.slot(instr.Y)
	x, y := a.offset, b.offset
	switch kindOf(a.lay) {
	case types.Int:
		return order[int](instr.Op, x, y)
	case types.Int8:
		return order[int8](instr.Op, x, y)
	case types.Int16:
		return order[int16](instr.Op, x, y)
	case types.Int32:
		return order[int32](instr.Op, x, y)
	case types.Int64:
		return order[int64](instr.Op, x, y)
	case types.Uint:
		return order[uint](instr.Op, x, y)
	case types.Uint8:
		return order[uint8](instr.Op, x, y)
	case types.Uint16:
		return order[uint16](instr.Op, x, y)
	case types.Uint32:
		return order[uint32](instr.Op, x, y)
	case types.Uint64:
		return order[uint64](instr.Op, x, y)
	case types.Uintptr:
		return order[uintptr](instr.Op, x, y)
	case types.Float32:
		return order[float32](instr.Op, x, y)
	case types.Float64:
		return order[float64](instr.Op, x, y)
	case types.String:
		return order[string](instr.Op, x, y)
	case types.Bool:
		return equality[bool](instr.Op, x, y)
	case types.Complex64:
		return equality[complex64](instr.Op, x, y)
	case types.Complex128:
		return equality[complex128](instr.Op, x, y)
	}
	switch {
	case a.lay.iface:
		m := c.m
		switch {
		case a.lay.real && b.lay.real:
			return equality[error](instr.Op, x, y)
		case a.lay.real || b.lay.real:
			return test(instr.Op, func(fr *frame) bool { return m.dynamic(fr, a) == m.dynamic(fr, b) })
		}
		return equality[any](instr.Op, x, y)
	case a.lay.shape == shapePtr, a.lay.shape == shapeList:
		return equality[unsafe.Pointer](instr.Op, x, y)
	}
	word := a.lay.word
	if a.lay.direct {
		return test(instr.Op, func(fr *frame) bool {
			p := face{word, *at[unsafe.Pointer](fr, x)}
			q := face{word, *at[unsafe.Pointer](fr, y)}
			return *(*any)(unsafe.Pointer(&p)) == *(*any)(unsafe.Pointer(&q))
		})
	}
	return test(instr.Op, func(fr *frame) bool {
		p := face{word, unsafe.Add(unsafe.Pointer(fr), x)}
		q := face{word, unsafe.Add(unsafe.Pointer(fr), y)}
		return *(*any)(unsafe.Pointer(&p)) == *(*any)(unsafe.Pointer(&q))
	})
}

func test(t token.Token, equal func(*frame) bool) comparison {
	want := t == token.EQL
	return comparison{
		func(d uintptr) op { return func(fr *frame) { *at[bool](fr, d) = equal(fr) == want } },
		func(yes, no *edge) func(*frame) *block {
			return func(fr *frame) *block {
				if equal(fr) == want {
					return yes.take(fr)
				}
				return no.take(fr)
			}
		},
	}
}

func equality[T comparable](t token.Token, a, b uintptr) comparison {
	if t == token.NEQ {
		return comparison{
			func(d uintptr) op { return func(fr *frame) { *at[bool](fr, d) = *at[T](fr, a) != *at[T](fr, b) } },
			func(yes, no *edge) func(*frame) *block {
				return func(fr *frame) *block {
					if *at[T](fr, a) != *at[T](fr, b) {
						return yes.take(fr)
					}
					return no.take(fr)
				}
			},
		}
	}
	return comparison{
		func(d uintptr) op { return func(fr *frame) { *at[bool](fr, d) = *at[T](fr, a) == *at[T](fr, b) } },
		func(yes, no *edge) func(*frame) *block {
			return func(fr *frame) *block {
				if *at[T](fr, a) == *at[T](fr, b) {
					return yes.take(fr)
				}
				return no.take(fr)
			}
		},
	}
}

func order[T ordered](t token.Token, a, b uintptr) comparison {
	switch t {
	case token.GTR:
		return order[T](token.LSS, b, a)
	case token.GEQ:
		return order[T](token.LEQ, b, a)
	case token.LSS:
		return comparison{
			func(d uintptr) op { return func(fr *frame) { *at[bool](fr, d) = *at[T](fr, a) < *at[T](fr, b) } },
			func(yes, no *edge) func(*frame) *block {
				return func(fr *frame) *block {
					if *at[T](fr, a) < *at[T](fr, b) {
						return yes.take(fr)
					}
					return no.take(fr)
				}
			},
		}
	case token.LEQ:
		return comparison{
			func(d uintptr) op { return func(fr *frame) { *at[bool](fr, d) = *at[T](fr, a) <= *at[T](fr, b) } },
			func(yes, no *edge) func(*frame) *block {
				return func(fr *frame) *block {
					if *at[T](fr, a) <= *at[T](fr, b) {
						return yes.take(fr)
					}
					return no.take(fr)
				}
			},
		}
	}
	return equality[T](t, a, b)
}
