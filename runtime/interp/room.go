package interp

import (
	"go/types"
	"unsafe"
	"weak"

	"golang.org/x/tools/go/ssa"
)

// How much room append gives a slice is the compiler's choice as long as the slice
// is small: it may keep the first 32 bytes on the stack (func append in
// cmd/compile/internal/ssagen/ssa.go), and when it moves them from there, where they
// just fit (package cmd/compile/internal/slice). A slice that grows from such room may
// get other room in its turn. Nobody can tell as long as the slice goes on from where
// it ended; where the recipe forks it (lower's forks), the machine refuses.

// onStack is the most bytes of a slice that the compiler keeps on the stack.
const onStack = 32

// rooms are the first elements of the slices whose room is the compiler's choice,
// each with the function that made the slice grow.
type rooms struct {
	grown map[weak.Pointer[byte]]*ssa.Function
	prune int // the number of them at which the dead are to be taken out
}

func (r *rooms) add(first unsafe.Pointer, by *ssa.Function) {
	if r.grown == nil {
		r.grown = make(map[weak.Pointer[byte]]*ssa.Function)
		r.prune = 1000
	}
	r.grown[weak.Make((*byte)(first))] = by
	if len(r.grown) < r.prune {
		return
	}
	for w := range r.grown {
		if w.Value() == nil {
			delete(r.grown, w)
		}
	}
	r.prune = 2*len(r.grown) + 1000
}

func (r *rooms) find(first unsafe.Pointer) *ssa.Function {
	if len(r.grown) == 0 || first == nil {
		return nil
	}
	return r.grown[weak.Make((*byte)(first))]
}

// watchAppend has a call of append note the room that is the compiler's choice, and
// refuse to fork a slice that has such room. Most recipes do not fork any.
func (c *compiler) watchAppend(grow op, call *ssa.CallCommon, result, base slot) op {
	forks := c.m.prog.Forks
	size := int(c.m.layouts.of(result.lay.under.(*types.Slice).Elem()).size)
	if len(forks) == 0 || size == 0 {
		return grow
	}
	fork, by, r, m := forks[call.Pos()], c.fn.ssa, &c.m.rooms, c.m
	room := onStack / size
	if !oneByOne(call.Args[1]) {
		room = 0
	}
	return func(fr *frame) {
		before := *at[header](fr, base.offset)
		if fork && before.len > 0 && r.find(before.data) != nil {
			m.refuse("whether this append writes into the room behind the slice it is given is the compiler's choice",
				"append to a copy, as in append(slices.Clone(x), y), or make the slice with the room it needs: make([]T, 0, n)")
		}
		grow(fr)
		after := *at[header](fr, result.offset)
		if after.data == before.data || after.len == 0 {
			return
		}
		switch grower := r.find(before.data); {
		case before.len == 0 && after.len == room && after.cap == room:
		case grower == by && before.len == room && before.cap == room:
			// However it came here, its room is the same.
		case after.len <= room || grower != nil:
			r.add(after.data, by)
		}
	}
}

// oneByOne tells whether what is appended is written one by one: what xs... appends
// never begins on the stack.
func oneByOne(more ssa.Value) bool {
	s, ok := more.(*ssa.Slice)
	if !ok {
		return false
	}
	list, ok := s.X.(*ssa.Alloc)
	return ok && list.Comment == "varargs"
}
