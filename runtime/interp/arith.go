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
	o := opsOf(kindOf(d.lay)).binary(instr.Op, d.offset, a, b)
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

func concatenation(_ token.Token, d, a, b uintptr) op {
	return func(fr *frame) { *at[string](fr, d) = *at[string](fr, a) + *at[string](fr, b) }
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
		widen = fromKind[int64](kindOf(n.lay), count, n.offset)
	} else {
		widen = fromKind[uint64](kindOf(n.lay), count, n.offset)
	}
	o := opsOf(kindOf(d.lay)).shift(left, signed, d.offset, a, count)
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
		return opsOf(kindOf(d.lay)).negate(d.offset, a)
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
	if compare := opsOf(kindOf(a.lay)).compare; compare != nil {
		return compare(instr.Op, x, y)
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
