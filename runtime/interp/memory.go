package interp

import (
	"go/types"
	"reflect"
	"unicode/utf8"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

var nothing struct{}

// nilDereference panics as Go does where a nil pointer is followed.
func nilDereference() {
	var p *int
	*p = 0
}

// An address is where a load or a store goes: a register, a pointer and a fixed
// distance, an element of a slice, or anything else worked out by a function.
type address struct {
	kind    addressKind
	pointer uintptr // register of the pointer or slice
	offset  uintptr // of the register, or the distance from the pointer
	index   index
	find    func(*frame) unsafe.Pointer
}

type addressKind uint8

const (
	inFrame addressKind = iota
	byPointer
	ofList
	found
)

// An index is an int in a register, or something to be made one.
type index struct {
	offset uintptr
	get    func(*frame) int
}

func (i index) of(fr *frame) int {
	if i.get != nil {
		return i.get(fr)
	}
	return *at[int](fr, i.offset)
}

func (c *compiler) index(v ssa.Value) index {
	s := c.slot(v)
	x := s.offset
	switch kindOf(s.lay) {
	case types.Int, types.Int64:
		return index{offset: x}
	case types.Int8:
		return index{get: func(fr *frame) int { return int(*at[int8](fr, x)) }}
	case types.Int16:
		return index{get: func(fr *frame) int { return int(*at[int16](fr, x)) }}
	case types.Int32:
		return index{get: func(fr *frame) int { return int(*at[int32](fr, x)) }}
	case types.Uint8:
		return index{get: func(fr *frame) int { return int(*at[uint8](fr, x)) }}
	case types.Uint16:
		return index{get: func(fr *frame) int { return int(*at[uint16](fr, x)) }}
	case types.Uint32:
		return index{get: func(fr *frame) int { return int(*at[uint32](fr, x)) }}
	}
	return index{get: func(fr *frame) int { return int(*at[uint64](fr, x)) }}
}

// inBounds panics as Go does if i is no index of n elements.
func inBounds(i, n int) {
	if uint(i) >= uint(n) {
		_ = unsafe.Slice(&nothing, n)[i]
	}
}

// address works out where the address v leads.
func (c *compiler) address(v ssa.Value) address {
	switch v := v.(type) {
	case *ssa.Alloc:
		if !v.Heap {
			return address{kind: inFrame, offset: c.place(c.locals[v]).offset}
		}
	case *ssa.FieldAddr:
		if !c.isInline(v) {
			break
		}
		return c.field(v)
	case *ssa.IndexAddr:
		if !c.isInline(v) {
			break
		}
		return c.element(v)
	}
	return address{kind: byPointer, pointer: c.slot(v).offset}
}

func (c *compiler) field(v *ssa.FieldAddr) address {
	owner := c.m.layouts.of(v.X.Type().Underlying().(*types.Pointer).Elem())
	distance := owner.rt.Field(v.Field).Offset
	a := c.address(v.X)
	switch a.kind {
	case inFrame, byPointer:
		a.offset += distance
		return a
	}
	find := a.finder()
	return address{kind: found, find: func(fr *frame) unsafe.Pointer { return unsafe.Add(find(fr), distance) }}
}

func (c *compiler) element(v *ssa.IndexAddr) address {
	i := c.index(v.Index)
	switch t := v.X.Type().Underlying().(type) {
	case *types.Slice:
		a := address{kind: ofList, pointer: c.slot(v.X).offset, index: i}
		size := c.m.layouts.of(t.Elem()).size
		a.find = func(fr *frame) unsafe.Pointer {
			h := at[header](fr, a.pointer)
			n := i.of(fr)
			inBounds(n, h.len)
			return unsafe.Add(h.data, uintptr(n)*size)
		}
		return a
	case *types.Pointer:
		array := t.Elem().Underlying().(*types.Array)
		size, n := c.m.layouts.of(array.Elem()).size, int(array.Len())
		find := c.address(v.X).finder()
		return address{kind: found, find: func(fr *frame) unsafe.Pointer {
			base := find(fr)
			j := i.of(fr)
			inBounds(j, n)
			return unsafe.Add(base, uintptr(j)*size)
		}}
	}
	panic("element of " + v.X.Type().String())
}

// finder returns a function that works out the address.
func (a address) finder() func(*frame) unsafe.Pointer {
	switch a.kind {
	case inFrame:
		return func(fr *frame) unsafe.Pointer { return unsafe.Add(unsafe.Pointer(fr), a.offset) }
	case byPointer:
		return func(fr *frame) unsafe.Pointer {
			p := *at[unsafe.Pointer](fr, a.pointer)
			if p == nil {
				nilDereference()
			}
			return unsafe.Add(p, a.offset)
		}
	}
	return a.find
}

// addressOf compiles an address that is a value of its own.
func (c *compiler) addressOf(instr ssa.Value, a address) op {
	d := c.slot(instr).offset
	find := a.finder()
	n := c.site(instr.(ssa.Instruction), instr.Pos())
	return func(fr *frame) {
		fr.at = n
		*at[unsafe.Pointer](fr, d) = find(fr)
	}
}

// load compiles *x.
func (c *compiler) load(instr *ssa.UnOp) op {
	d := c.slot(instr)
	a := c.address(instr.X)
	if a.kind == inFrame {
		return copying(d, a.offset)
	}
	pos := instr.Pos()
	if v, ok := instr.X.(ssa.Instruction); ok && c.isInline(instr.X) {
		pos = v.Pos()
	}
	n := c.site(instr, pos)
	if ops, ok := movesOf(d.lay.shape); ok {
		return ops.load(n, d.offset, a)
	}
	find, lay := a.finder(), d.lay
	return func(fr *frame) {
		fr.at = n
		lay.copy(unsafe.Add(unsafe.Pointer(fr), d.offset), find(fr))
	}
}

func loads[T any](n int32, d uintptr, a address) op {
	switch a.kind {
	case byPointer:
		return func(fr *frame) {
			fr.at = n
			p := *at[unsafe.Pointer](fr, a.pointer)
			if p == nil {
				nilDereference()
			}
			*at[T](fr, d) = *(*T)(unsafe.Add(p, a.offset))
		}
	case ofList:
		if a.index.get == nil {
			list, i := a.pointer, a.index.offset
			return func(fr *frame) {
				fr.at = n
				*at[T](fr, d) = (*at[[]T](fr, list))[*at[int](fr, i)]
			}
		}
	}
	find := a.finder()
	return func(fr *frame) {
		fr.at = n
		*at[T](fr, d) = *(*T)(find(fr))
	}
}

// store compiles *x = y.
func (c *compiler) store(instr *ssa.Store) op {
	s := c.slot(instr.Val)
	s.lay = c.m.layouts.of(instr.Addr.Type().Underlying().(*types.Pointer).Elem())
	a := c.address(instr.Addr)
	if a.kind == inFrame {
		return copying(slot{a.offset, s.lay}, s.offset)
	}
	pos := instr.Pos()
	if v, ok := instr.Addr.(ssa.Instruction); ok && c.isInline(instr.Addr) {
		pos = v.Pos()
	}
	n := c.site(instr, pos)
	if ops, ok := movesOf(s.lay.shape); ok {
		return ops.store(n, s.offset, a)
	}
	find, lay := a.finder(), s.lay
	return func(fr *frame) {
		fr.at = n
		lay.copy(find(fr), unsafe.Add(unsafe.Pointer(fr), s.offset))
	}
}

func stores[T any](n int32, s uintptr, a address) op {
	switch a.kind {
	case byPointer:
		return func(fr *frame) {
			fr.at = n
			p := *at[unsafe.Pointer](fr, a.pointer)
			if p == nil {
				nilDereference()
			}
			*(*T)(unsafe.Add(p, a.offset)) = *at[T](fr, s)
		}
	case ofList:
		if a.index.get == nil {
			list, i := a.pointer, a.index.offset
			return func(fr *frame) {
				fr.at = n
				(*at[[]T](fr, list))[*at[int](fr, i)] = *at[T](fr, s)
			}
		}
	}
	find := a.finder()
	return func(fr *frame) {
		fr.at = n
		*(*T)(find(fr)) = *at[T](fr, s)
	}
}

// alloc compiles a new variable.
func (c *compiler) alloc(instr *ssa.Alloc) op {
	d := c.slot(instr).offset
	if !instr.Heap {
		v := c.place(c.locals[instr])
		return func(fr *frame) {
			p := unsafe.Add(unsafe.Pointer(fr), v.offset)
			v.lay.clear(p)
			*at[unsafe.Pointer](fr, d) = p
		}
	}
	lay := c.m.layouts.of(instr.Type().Underlying().(*types.Pointer).Elem())
	if lay.shape == shape8 {
		return func(fr *frame) { *at[*uint64](fr, d) = new(uint64) }
	}
	return func(fr *frame) { *at[unsafe.Pointer](fr, d) = lay.new() }
}

// indexValue compiles an element of an array or string that is a value.
func (c *compiler) indexValue(instr *ssa.Index) op {
	d, x, i := c.slot(instr), c.slot(instr.X), c.index(instr.Index)
	n := c.site(instr, instr.Pos())
	switch t := x.lay.under.(type) {
	case *types.Basic:
		return func(fr *frame) {
			fr.at = n
			*at[byte](fr, d.offset) = (*at[string](fr, x.offset))[i.of(fr)]
		}
	case *types.Array:
		length := int(t.Len())
		return func(fr *frame) {
			fr.at = n
			j := i.of(fr)
			inBounds(j, length)
			d.lay.copy(unsafe.Add(unsafe.Pointer(fr), d.offset), unsafe.Add(unsafe.Pointer(fr), x.offset+uintptr(j)*d.lay.size))
		}
	}
	panic("element of " + x.lay.typ.String())
}

// slice compiles x[low:high:max].
func (c *compiler) slice(instr *ssa.Slice) op {
	d, x := c.slot(instr), c.slot(instr.X)
	n := c.site(instr, instr.Pos())
	bound := func(v ssa.Value) func(fr *frame, otherwise int) int {
		if v == nil {
			return func(_ *frame, otherwise int) int { return otherwise }
		}
		i := c.index(v)
		return func(fr *frame, _ int) int { return i.of(fr) }
	}
	low, high, limit := bound(instr.Low), bound(instr.High), bound(instr.Max)
	if x.lay.shape == shapeStr {
		return func(fr *frame) {
			fr.at = n
			s := *at[string](fr, x.offset)
			*at[string](fr, d.offset) = s[low(fr, 0):high(fr, len(s))]
		}
	}
	size := c.m.layouts.of(d.lay.under.(*types.Slice).Elem()).size
	three := instr.Max != nil
	cut := func(fr *frame, h header) {
		all := unsafe.Slice(&nothing, h.cap)[:h.len]
		lo, hi := low(fr, 0), high(fr, h.len)
		if three {
			all = all[lo:hi:limit(fr, h.cap)]
		} else {
			all = all[lo:hi]
		}
		if cap(all) > 0 {
			h.data = unsafe.Add(h.data, uintptr(lo)*size)
		}
		*at[header](fr, d.offset) = header{h.data, len(all), cap(all)}
	}
	if p, ok := x.lay.under.(*types.Pointer); ok {
		length := int(p.Elem().Underlying().(*types.Array).Len())
		find := c.address(instr.X).finder()
		text := unsafe.String((*byte)(unsafe.Pointer(&nothing)), length)
		if alloc, ok := instr.X.(*ssa.Alloc); ok && alloc.Comment == "makeslice" {
			// make([]T, n, k) with a constant k.
			return func(fr *frame) {
				fr.at = n
				l := high(fr, length)
				checkMake(l, length)
				*at[header](fr, d.offset) = header{find(fr), l, length}
			}
		}
		return func(fr *frame) {
			fr.at = n
			base := find(fr)
			if !three {
				// A string has the words Go has for an array.
				_ = text[low(fr, 0):high(fr, length)]
			}
			cut(fr, header{base, length, length})
		}
	}
	return func(fr *frame) {
		fr.at = n
		cut(fr, *at[header](fr, x.offset))
	}
}

// maxAlloc is the most bytes Go's allocator can give.
const maxAlloc = 1 << 48

func (c *compiler) makeSlice(instr *ssa.MakeSlice) op {
	d, length, capacity := c.slot(instr), c.index(instr.Len), c.index(instr.Cap)
	n := c.site(instr, instr.Pos())
	elem := c.m.layouts.of(d.lay.under.(*types.Slice).Elem())
	list := reflect.SliceOf(elem.rt)
	same := instr.Len == instr.Cap
	return func(fr *frame) {
		fr.at = n
		l, k := length.of(fr), capacity.of(fr)
		bad := func(n int) bool { return n < 0 || elem.size > 0 && uintptr(n) > maxAlloc/elem.size }
		switch {
		case bad(l) || same && bad(k):
			l = -1
			_ = make([]byte, l)
		case bad(k) || k < l:
			k = -1
			_ = make([]byte, 0, k)
		case elem.shape == shape8:
			*at[[]uint64](fr, d.offset) = make([]uint64, l, k)
		default:
			*at[header](fr, d.offset) = header{reflect.MakeSlice(list, l, k).UnsafePointer(), l, k}
		}
	}
}

// checkMake panics as Go does if a slice cannot be made with l elements and room
// for k.
func checkMake(l, k int) {
	switch {
	case l < 0:
		_ = make([]byte, l)
	case k < l:
		k = -1
		_ = make([]byte, 0, k)
	}
}

// value is a register seen through reflection.
func (s slot) value(fr *frame) reflect.Value {
	return s.lay.value(register(fr, s))
}

func (c *compiler) makeMap(instr *ssa.MakeMap) op {
	d := c.slot(instr)
	rt := c.m.layouts.mapType(d.lay)
	if instr.Reserve == nil {
		return func(fr *frame) { *at[unsafe.Pointer](fr, d.offset) = reflect.MakeMap(rt).UnsafePointer() }
	}
	reserve := c.index(instr.Reserve)
	n := c.site(instr, instr.Pos())
	return func(fr *frame) {
		fr.at = n
		r := reserve.of(fr)
		if r < 0 {
			_ = make(map[int]int, r)
			r = 0
		}
		*at[unsafe.Pointer](fr, d.offset) = reflect.MakeMapWithSize(rt, min(r, 1<<20)).UnsafePointer()
	}
}

// mapType is the type of the map itself where the layout is one of a type the
// recipe declares.
func (l *layouts) mapType(lay *layout) reflect.Type {
	m := lay.under.(*types.Map)
	return reflect.MapOf(l.of(m.Key()).rt, l.of(m.Elem()).rt)
}

// mapping is a register that holds a map, seen through reflection.
func (c *compiler) mapping(v ssa.Value) func(*frame) reflect.Value {
	s := c.slot(v)
	rt := c.m.layouts.mapType(s.lay)
	return func(fr *frame) reflect.Value {
		return reflect.NewAt(rt, unsafe.Add(unsafe.Pointer(fr), s.offset)).Elem()
	}
}

// A walk is the state of a range over a string or a map.
type walk struct {
	text string
	next int
	iter *reflect.MapIter
}

// iterator is the layout of a walk.
func (m *machine) iterator(types.Type) *layout {
	return &layout{rt: reflect.TypeFor[walk](), to: typeWord(reflect.TypeFor[*walk]()), shape: shapeWide, size: unsafe.Sizeof(walk{})}
}

func (c *compiler) rangeOver(instr *ssa.Range) op {
	d, x := c.slot(instr).offset, c.slot(instr.X)
	if x.lay.shape == shapeStr {
		return func(fr *frame) { *at[walk](fr, d) = walk{text: *at[string](fr, x.offset)} }
	}
	m := c.mapping(instr.X)
	return func(fr *frame) { *at[walk](fr, d) = walk{iter: m(fr).MapRange()} }
}

func (c *compiler) next(instr *ssa.Next) op {
	w := c.slot(instr.Iter).offset
	parts := c.tuples[instr]
	ok, k, v := c.place(parts[0]).offset, c.place(parts[1]), c.place(parts[2])
	tuple := instr.Type().(*types.Tuple)
	wantKey := tuple.At(1).Type() != types.Typ[types.Invalid]
	wantElem := tuple.At(2).Type() != types.Typ[types.Invalid]
	if instr.IsString {
		return func(fr *frame) {
			w := at[walk](fr, w)
			if w.next >= len(w.text) {
				*at[bool](fr, ok) = false
				return
			}
			r, size := utf8.DecodeRuneInString(w.text[w.next:])
			*at[bool](fr, ok) = true
			if wantKey {
				*at[int](fr, k.offset) = w.next
			}
			if wantElem {
				*at[rune](fr, v.offset) = r
			}
			w.next += size
		}
	}
	return func(fr *frame) {
		w := at[walk](fr, w)
		if !w.iter.Next() {
			*at[bool](fr, ok) = false
			return
		}
		*at[bool](fr, ok) = true
		if wantKey {
			k.value(fr).Set(w.iter.Key())
		}
		if wantElem {
			v.value(fr).Set(w.iter.Value())
		}
	}
}
