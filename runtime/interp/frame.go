package interp

import (
	"go/token"
	"go/types"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// An op is one compiled instruction.
type op func(fr *frame)

// A block is a stretch of ops that ends by choosing the next block, or none when
// the function returns.
type block struct {
	ops  []op
	next func(fr *frame) *block
}

// An edge leads to a block, after the moves that the block's phis ask for.
type edge struct {
	to  *block
	run op // nil if there is nothing to do
}

func (e *edge) take(fr *frame) *block {
	if e.run != nil {
		e.run(fr)
	}
	return e.to
}

// A frame is one call of a function. Its registers follow it in memory, in an
// object of the function's frame type: an op finds a register by its offset.
type frame struct {
	fn       *function
	caller   *frame
	deferred *deferred // calls to run when the function ends, last first
	unwinds  *unwind   // not nil while a panic passes through
	runsFor  *frame    // the frame that ended and runs this call as deferred
	result   uintptr   // register of the one result, at the end
	at       int32     // index in fn.sites of the instruction under way
	guarded  bool      // the function may defer
	done     bool      // returned in the usual way
}

// at is the address of a frame's register.
func at[T any](fr *frame, offset uintptr) *T {
	return (*T)(unsafe.Add(unsafe.Pointer(fr), offset))
}

// A site is an instruction that can fail, call or be asked where it stands.
type site struct {
	pos   token.Pos
	instr ssa.Instruction
}

// A function is a compiled function of the recipe.
type function struct {
	ssa     *ssa.Function
	name    string // as a trace shows it
	value   *closure
	typ     reflect.Type  // of a frame with its registers
	model   reflect.Value // a frame as a call begins with it
	entry   *block
	recover *block
	params  []slot
	free    []slot
	results []slot
	sites   []site
	idle    []*frame // to be used again
	guarded bool
	thunk   bool               // made by the compiler, for a deferred call
	debug   map[ssa.Value]slot // for showing variables when something fails
}

// A slot is a register.
type slot struct {
	offset uintptr
	lay    *layout
}

// registers is the frame being laid out. Offsets are known only once all
// registers are counted, so a register is first a ticket.
type registers struct {
	scalars, pointers, strings, lists, faces int
	wide                                     []reflect.Type
}

// ticket stands for a register before its offset is known.
type ticket struct {
	group int // 0 scalars, 1 pointers, 2 strings, 3 lists, 4 faces, 5+i wide
	index int
	plus  uintptr // offset within it
	lay   *layout
}

func (r *registers) take(lay *layout) ticket {
	t := ticket{lay: lay}
	count := func(group int, n *int, size int) {
		t.group, t.index = group, *n
		*n += size
	}
	switch lay.shape {
	case shape1, shape2, shape4, shape8:
		count(0, &r.scalars, 1)
	case shape16:
		count(0, &r.scalars, 2)
	case shapePtr:
		count(1, &r.pointers, 1)
	case shapeStr:
		count(2, &r.strings, 1)
	case shapeList:
		count(3, &r.lists, 1)
	case shapeFace:
		count(4, &r.faces, 1)
	default:
		t.group, t.index = 5, len(r.wide)
		r.wide = append(r.wide, lay.rt)
	}
	return t
}

// frameType returns the type of the frame and the offset of each group.
func (r *registers) frameType() (reflect.Type, func(ticket) slot) {
	fields := []reflect.StructField{
		{Name: "Frame", Type: reflect.TypeFor[frame]()},
		{Name: "Scalars", Type: reflect.ArrayOf(r.scalars, reflect.TypeFor[uint64]())},
		{Name: "Pointers", Type: reflect.ArrayOf(r.pointers, reflect.TypeFor[unsafe.Pointer]())},
		{Name: "Strings", Type: reflect.ArrayOf(r.strings, reflect.TypeFor[string]())},
		{Name: "Lists", Type: reflect.ArrayOf(r.lists, reflect.TypeFor[header]())},
		{Name: "Faces", Type: reflect.ArrayOf(r.faces, reflect.TypeFor[face]())},
	}
	if len(r.wide) > 0 {
		wide := make([]reflect.StructField, len(r.wide))
		for i, t := range r.wide {
			wide[i] = reflect.StructField{Name: "W" + itoa(i), Type: t}
		}
		fields = append(fields, reflect.StructField{Name: "Wide", Type: reflect.StructOf(wide)})
	}
	typ := reflect.StructOf(fields)
	sizes := []uintptr{8, unsafe.Sizeof(uintptr(0)), unsafe.Sizeof(""), unsafe.Sizeof(header{}), unsafe.Sizeof(face{})}
	return typ, func(t ticket) slot {
		if t.group < 5 {
			return slot{typ.Field(t.group+1).Offset + uintptr(t.index)*sizes[t.group] + t.plus, t.lay}
		}
		wide := typ.Field(6)
		return slot{wide.Offset + wide.Type.Field(t.index).Offset + t.plus, t.lay}
	}
}

func itoa(i int) string {
	if i < 10 {
		return string(rune('0' + i))
	}
	return itoa(i/10) + itoa(i%10)
}

// fresh makes a frame as a call begins with it.
func (f *function) fresh() *frame {
	v := reflect.New(f.typ)
	v.Elem().Set(f.model)
	return (*frame)(v.UnsafePointer())
}

// A closure is a function value of the recipe. Where the program's own function
// values begin with the address of their code, it has nought.
type closure struct {
	code  uintptr
	fn    *function
	bound []unsafe.Pointer // captured variables, or copies of captured values
	typ   types.Type
	host  reflect.Value // the same as one of the program's functions, once asked for
}

// copying copies a value from one place to another.
func (lay *layout) copy(dst, src unsafe.Pointer) {
	switch lay.shape {
	case shape1:
		*(*uint8)(dst) = *(*uint8)(src)
	case shape2:
		*(*uint16)(dst) = *(*uint16)(src)
	case shape4:
		*(*uint32)(dst) = *(*uint32)(src)
	case shape8:
		*(*uint64)(dst) = *(*uint64)(src)
	case shape16:
		*(*[2]uint64)(dst) = *(*[2]uint64)(src)
	case shapePtr:
		*(*unsafe.Pointer)(dst) = *(*unsafe.Pointer)(src)
	case shapeStr:
		*(*string)(dst) = *(*string)(src)
	case shapeList:
		*(*header)(dst) = *(*header)(src)
	case shapeFace:
		*(*face)(dst) = *(*face)(src)
	default:
		switch {
		case dst == src:
		case lay.bytes:
			copy(unsafe.Slice((*byte)(dst), lay.size), unsafe.Slice((*byte)(src), lay.size))
		default:
			lay.value(dst).Set(lay.value(src))
		}
	}
}

// clear makes a variable its type's zero.
func (lay *layout) clear(dst unsafe.Pointer) {
	switch lay.shape {
	case shape1:
		*(*uint8)(dst) = 0
	case shape2:
		*(*uint16)(dst) = 0
	case shape4:
		*(*uint32)(dst) = 0
	case shape8:
		*(*uint64)(dst) = 0
	case shape16:
		*(*[2]uint64)(dst) = [2]uint64{}
	case shapePtr:
		*(*unsafe.Pointer)(dst) = nil
	case shapeStr:
		*(*string)(dst) = ""
	case shapeList:
		*(*header)(dst) = header{}
	case shapeFace:
		*(*face)(dst) = face{}
	default:
		if lay.bytes {
			clear(unsafe.Slice((*byte)(dst), lay.size))
		} else {
			lay.value(dst).SetZero()
		}
	}
}

// value is a variable seen through reflection. It does what reflect.NewAt does,
// which must look the pointer's type up each time.
func (lay *layout) value(p unsafe.Pointer) reflect.Value {
	f := face{lay.to, p}
	return reflect.ValueOf(*(*any)(unsafe.Pointer(&f))).Elem()
}

// new allocates a variable.
func (lay *layout) new() unsafe.Pointer {
	switch lay.shape {
	case shape8:
		return unsafe.Pointer(new(uint64))
	case shapePtr:
		return unsafe.Pointer(new(unsafe.Pointer))
	case shapeStr:
		return unsafe.Pointer(new(string))
	case shapeList:
		return unsafe.Pointer(new(header))
	case shapeFace:
		return unsafe.Pointer(new(face))
	}
	return reflect.New(lay.rt).UnsafePointer()
}
