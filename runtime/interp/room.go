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
// it ended; where the recipe forks it (lower's forks), the machine refuses. A copy held
// in a field or another slice is seen here alone: no slice is moved from one place
// twice, unless there were two of it.

// onStack is the most bytes of a slice that the compiler keeps on the stack.
const onStack = 32

// rooms are the slices whose room is the compiler's choice, by their first elements.
type rooms struct {
	grown map[weak.Pointer[byte]]*room
	prune int // the number of them at which the dead are to be taken out
}

// A room is where a slice has grown.
type room struct {
	by   *ssa.Function // that made it grow
	left bool          // a longer one has been moved out of it
}

func (r *rooms) add(first unsafe.Pointer, by *ssa.Function) {
	if r.grown == nil {
		r.grown = make(map[weak.Pointer[byte]]*room)
		r.prune = 1000
	}
	r.grown[weak.Make((*byte)(first))] = &room{by: by}
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

func (r *rooms) find(first unsafe.Pointer) *room {
	if len(r.grown) == 0 || first == nil {
		return nil
	}
	return r.grown[weak.Make((*byte)(first))]
}

// watchAppend has a call of append note the room that is the compiler's choice, and
// refuse to fork a slice that has such room.
func (c *compiler) watchAppend(grow op, call *ssa.CallCommon, result, base slot) op {
	size := int(c.m.layouts.of(result.lay.under.(*types.Slice).Elem()).size)
	if size == 0 {
		return grow
	}
	fork, by, r, m := c.m.prog.Forks[call.Pos()], c.fn.ssa, &c.m.rooms, c.m
	first := onStack / size // how many elements the first room has
	if !oneByOne(call.Args[1]) {
		first = 0
	}
	refuse := func() {
		m.refuse("whether this append writes into the room behind the slice it is given is the compiler's choice",
			"append to a copy, as in append(slices.Clone(x), y), or make the slice with the room it needs: make([]T, 0, n)")
	}
	return func(fr *frame) {
		before := *at[header](fr, base.offset)
		if fork && before.len > 0 && r.find(before.data) != nil {
			refuse()
		}
		grow(fr)
		after := *at[header](fr, result.offset)
		if after.data == before.data || after.len == 0 {
			return
		}
		old := r.find(before.data)
		if before.len == first && before.cap == first && (old == nil || old.by == by) {
			return // However it came here, its room is the same, and full.
		}
		if old != nil {
			if old.left {
				refuse()
			}
			old.left = true
		}
		if before.len == 0 && after.len == first && after.cap == first {
			return
		}
		if after.len <= first || old != nil {
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
