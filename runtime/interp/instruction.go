package interp

import (
	"fmt"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// instruction compiles one instruction that is not the end of its block. It
// returns nil where there is nothing to do.
func (c *compiler) instruction(instr ssa.Instruction) op {
	switch instr := instr.(type) {
	case *ssa.Alloc:
		return c.alloc(instr)
	case *ssa.BinOp:
		return c.binary(instr)
	case *ssa.Call:
		return c.call(instr)
	case *ssa.ChangeInterface:
		return c.changeInterface(instr, instr.X)
	case *ssa.ChangeType:
		if c.slot(instr.X).offset == c.slot(instr).offset {
			return nil
		}
		return c.changeInterface(instr, instr.X)
	case *ssa.Convert:
		return c.conversion(instr, instr.X)
	case *ssa.Defer:
		return c.deferral(instr)
	case *ssa.FieldAddr:
		return c.addressOf(instr, c.field(instr))
	case *ssa.Index:
		return c.indexValue(instr)
	case *ssa.IndexAddr:
		return c.addressOf(instr, c.element(instr))
	case *ssa.Lookup:
		return c.lookup(instr)
	case *ssa.MakeClosure:
		return c.makeClosure(instr)
	case *ssa.MakeInterface:
		return c.makeInterface(instr)
	case *ssa.MakeMap:
		return c.makeMap(instr)
	case *ssa.MakeSlice:
		return c.makeSlice(instr)
	case *ssa.MapUpdate:
		return c.mapUpdate(instr)
	case *ssa.Next:
		return c.next(instr)
	case *ssa.Range:
		return c.rangeOver(instr)
	case *ssa.RunDefers:
		m := c.m
		return func(fr *frame) {
			if fr.deferred != nil {
				m.runDeferred(fr)
			}
		}
	case *ssa.Slice:
		return c.slice(instr)
	case *ssa.SliceToArrayPointer:
		return c.toArray(instr)
	case *ssa.Store:
		return c.store(instr)
	case *ssa.TypeAssert:
		return c.typeAssert(instr)
	case *ssa.UnOp:
		return c.unary(instr)
	}
	panic(fmt.Sprintf("no code for %T", instr))
}

// toArray compiles the conversion of a slice to a pointer to an array.
func (c *compiler) toArray(instr *ssa.SliceToArrayPointer) op {
	d, x := c.slot(instr).offset, c.slot(instr.X).offset
	want := arrayLen(instr.Type())
	return c.failing(instr, func(fr *frame) {
		h := at[header](fr, x)
		if h.len < want {
			panic(goError{fmt.Sprintf("runtime error: cannot convert slice with length %d to array or pointer to array with length %d", h.len, want), "runtime.boundsError"})
		}
		if want == 0 && h.data == nil {
			*at[unsafe.Pointer](fr, d) = nil
			return
		}
		*at[unsafe.Pointer](fr, d) = h.data
	})
}
