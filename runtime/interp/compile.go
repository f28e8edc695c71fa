package interp

import (
	"fmt"
	"go/constant"
	"go/token"
	"go/types"
	"reflect"
	"slices"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// A compiler compiles one function.
type compiler struct {
	m       *machine
	fn      *function
	regs    registers
	values  map[ssa.Value]ticket
	tuples  map[ssa.Value][]ticket
	consts  map[ssa.Value]ticket
	locals  map[*ssa.Alloc]ticket // the variables of allocs that stay in the frame
	scratch map[*ssa.Phi]ticket
	spare   [2]ticket
	place   func(ticket) slot // once all registers are known
	blocks  []*block
	inline  map[ssa.Value]bool // computed where it is used
}

// compile makes a function ready to run.
func (m *machine) compile(fn *function) {
	c := &compiler{
		m: m, fn: fn,
		values: make(map[ssa.Value]ticket), tuples: make(map[ssa.Value][]ticket),
		consts: make(map[ssa.Value]ticket), locals: make(map[*ssa.Alloc]ticket),
		scratch: make(map[*ssa.Phi]ticket), inline: make(map[ssa.Value]bool),
	}
	f := fn.ssa
	c.meet(f)
	for _, p := range f.Params {
		c.values[p] = c.regs.take(m.layouts.of(p.Type()))
	}
	for _, v := range f.FreeVars {
		c.values[v] = c.regs.take(m.layouts.of(v.Type()))
	}
	c.spare[0] = c.regs.take(m.layouts.of(types.Typ[types.Int]))
	c.spare[1] = c.regs.take(m.layouts.of(types.Typ[types.Int]))
	var results []ticket
	if n := f.Signature.Results().Len(); n > 1 {
		for r := range f.Signature.Results().Variables() {
			results = append(results, c.regs.take(m.layouts.of(r.Type())))
		}
	}
	var operands [16]*ssa.Value
	for _, b := range f.Blocks {
		for _, instr := range b.Instrs {
			if _, ok := instr.(*ssa.DebugRef); ok {
				continue
			}
			for _, v := range instr.Operands(operands[:0]) {
				if *v != nil {
					c.constant(*v)
				}
			}
			c.register(instr)
		}
	}
	// An Extract or a Field is part of another register, which may come later
	// in the list of blocks: ask for them only now.
	for _, b := range f.Blocks {
		for _, instr := range b.Instrs {
			if v, ok := instr.(ssa.Value); ok {
				c.ticket(v)
			}
		}
	}
	c.finish()
	for _, p := range f.Params {
		fn.params = append(fn.params, c.slot(p))
	}
	for _, v := range f.FreeVars {
		fn.free = append(fn.free, c.slot(v))
	}
	for _, t := range results {
		fn.results = append(fn.results, c.place(t))
	}
	c.blocks = make([]*block, len(f.Blocks))
	for i := range c.blocks {
		c.blocks[i] = new(block)
	}
	for i, b := range f.Blocks {
		c.block(c.blocks[i], b)
	}
	if f.Recover != nil {
		fn.recover = c.blocks[f.Recover.Index]
	}
	fn.debug = make(map[ssa.Value]slot)
	for v, t := range c.values {
		fn.debug[v] = c.place(t)
	}
	fn.entry = c.blocks[0]
}

// meet lets the layouts know the program's types that a function meets.
func (c *compiler) meet(f *ssa.Function) {
	var operands [16]*ssa.Value
	for _, b := range f.Blocks {
		for _, instr := range b.Instrs {
			for _, v := range instr.Operands(operands[:0]) {
				switch v := (*v).(type) {
				case *ssa.Function:
					if v.Blocks == nil {
						c.m.hostFunction(v)
					}
				case *ssa.Global:
					c.m.global(v)
				}
			}
			if call, ok := instr.(ssa.CallInstruction); ok && call.Common().IsInvoke() {
				common := call.Common()
				lay := c.m.layouts.of(common.Value.Type())
				if lay.real {
					if method, ok := lay.rt.MethodByName(common.Method.Name()); ok {
						c.m.layouts.learn(common.Method.Type(), method.Type)
					}
				}
			}
		}
	}
}

// constant gives a constant, or the address of a function or a variable, a
// register that is set before any call begins.
func (c *compiler) constant(v ssa.Value) {
	switch v.(type) {
	case *ssa.Const, *ssa.Global, *ssa.Function:
		if _, ok := c.consts[v]; !ok {
			c.consts[v] = c.regs.take(c.m.layouts.of(v.Type()))
		}
	}
}

// register gives an instruction's value a register of its own, if it needs one.
func (c *compiler) register(instr ssa.Instruction) {
	v, ok := instr.(ssa.Value)
	if !ok {
		return
	}
	switch v := v.(type) {
	case *ssa.Extract, *ssa.Field:
		return
	case *ssa.ChangeType:
		if c.m.layouts.of(v.X.Type()).real == c.m.layouts.of(v.Type()).real {
			return
		}
	case *ssa.Alloc:
		if !v.Heap {
			c.locals[v] = c.regs.take(c.m.layouts.of(v.Type().Underlying().(*types.Pointer).Elem()))
		}
	case *ssa.Phi:
		c.scratch[v] = c.regs.take(c.m.layouts.of(v.Type()))
	case *ssa.Range:
		c.values[v] = c.regs.take(c.m.iterator(v.X.Type()))
		return
	}
	if tuple, ok := v.Type().(*types.Tuple); ok {
		parts := make([]ticket, tuple.Len())
		for i := range parts {
			t := tuple.At(i).Type()
			if t == types.Typ[types.Invalid] {
				t = types.Typ[types.Bool] // of a Next whose key or element nobody wants
			}
			parts[i] = c.regs.take(c.m.layouts.of(t))
		}
		c.tuples[v] = parts
		return
	}
	c.values[v] = c.regs.take(c.m.layouts.of(v.Type()))
}

// ticket returns the register of a value, or of the part of a register it is.
func (c *compiler) ticket(v ssa.Value) ticket {
	if t, ok := c.values[v]; ok {
		return t
	}
	if t, ok := c.consts[v]; ok {
		return t
	}
	var t ticket
	switch v := v.(type) {
	case *ssa.Extract:
		t = c.tuples[v.Tuple][v.Index]
	case *ssa.ChangeType:
		t = c.ticket(v.X)
		t.lay = c.m.layouts.of(v.Type())
	case *ssa.Field:
		t = c.ticket(v.X)
		t.plus += t.lay.rt.Field(v.Field).Offset
		t.lay = c.m.layouts.of(v.Type())
	default:
		return ticket{}
	}
	c.values[v] = t
	return t
}

// slot returns the register of a value.
func (c *compiler) slot(v ssa.Value) slot { return c.place(c.ticket(v)) }

// finish fixes the frame's type and fills the model frame with the constants.
func (c *compiler) finish() {
	c.fn.typ, c.place = c.regs.frameType()
	c.fn.model = reflect.New(c.fn.typ).Elem()
	model := c.fn.model.Addr().UnsafePointer()
	(*frame)(model).fn = c.fn
	(*frame)(model).guarded = c.fn.guarded
	for v, t := range c.consts {
		s := c.place(t)
		dst := unsafe.Add(model, s.offset)
		switch v := v.(type) {
		case *ssa.Const:
			setConst(s.lay, v.Value, dst)
		case *ssa.Global:
			*(*unsafe.Pointer)(dst) = c.m.global(v)
		case *ssa.Function:
			if v.Blocks != nil {
				*(*unsafe.Pointer)(dst) = unsafe.Pointer(c.m.function(v).value)
			} else if native := nativeOf(qualified(v)); native != nil {
				*(*unsafe.Pointer)(dst) = unsafe.Pointer(c.m.nativeFunction(v, native).value)
			} else {
				x := c.m.hostFunction(v)
				if x.IsValid() {
					x := x.Interface()
					*(*unsafe.Pointer)(dst) = (*face)(unsafe.Pointer(&x)).data
				}
			}
		}
	}
}

// setConst sets a variable to a constant; a nil value is the type's zero.
func setConst(lay *layout, v constant.Value, dst unsafe.Pointer) {
	if v == nil {
		return
	}
	basic, ok := lay.under.(*types.Basic)
	if !ok {
		panic(fmt.Sprintf("constant of type %v", lay.typ))
	}
	integer := func() uint64 {
		n := constant.ToInt(v)
		if i, ok := constant.Int64Val(n); ok {
			return uint64(i)
		}
		u, _ := constant.Uint64Val(n)
		return u
	}
	float := func(v constant.Value) float64 {
		f, _ := constant.Float64Val(v)
		return f
	}
	float32of := func(v constant.Value) float32 {
		f, _ := constant.Float32Val(v)
		return f
	}
	switch basic.Kind() {
	case types.Bool, types.UntypedBool:
		*(*bool)(dst) = constant.BoolVal(v)
	case types.String, types.UntypedString:
		*(*string)(dst) = constant.StringVal(v)
	case types.Int8, types.Uint8:
		*(*uint8)(dst) = uint8(integer())
	case types.Int16, types.Uint16:
		*(*uint16)(dst) = uint16(integer())
	case types.Int32, types.Uint32, types.UntypedRune:
		*(*uint32)(dst) = uint32(integer())
	case types.Float32:
		*(*float32)(dst) = float32of(v)
	case types.Float64, types.UntypedFloat:
		*(*float64)(dst) = float(v)
	case types.Complex64:
		*(*complex64)(dst) = complex(float32of(constant.Real(v)), float32of(constant.Imag(v)))
	case types.Complex128, types.UntypedComplex:
		*(*complex128)(dst) = complex(float(constant.Real(v)), float(constant.Imag(v)))
	case types.UnsafePointer, types.UntypedNil:
	default:
		*(*uint64)(dst) = integer()
	}
}

// site notes an instruction that may fail or call.
func (c *compiler) site(instr ssa.Instruction, pos token.Pos) int32 {
	if !pos.IsValid() && instr.Block() != nil {
		// What is only implied stands where the next thing stands that is written.
		list := instr.Block().Instrs
		for _, next := range list[slices.Index(list, instr):] {
			if pos = next.Pos(); pos.IsValid() {
				break
			}
		}
	}
	c.fn.sites = append(c.fn.sites, site{pos, instr})
	return int32(len(c.fn.sites) - 1)
}

// block compiles one block.
func (c *compiler) block(b *block, s *ssa.BasicBlock) {
	last, part := len(s.Instrs)-1, -1
	for i, instr := range s.Instrs {
		part = c.enterPart(b, instr, part)
		switch instr.(type) {
		case *ssa.Phi, *ssa.DebugRef, *ssa.Extract, *ssa.Field:
			continue
		}
		if i == last {
			b.next = c.control(instr)
			break
		}
		if v, ok := instr.(ssa.Value); ok && c.isInline(v) {
			continue
		}
		if o := c.instruction(instr); o != nil {
			b.ops = append(b.ops, o)
		}
	}
}

// control compiles the end of a block.
func (c *compiler) control(instr ssa.Instruction) func(*frame) *block {
	s := instr.Block()
	switch instr := instr.(type) {
	case *ssa.Jump:
		e := c.edge(s, s.Succs[0])
		if e.run == nil {
			to := e.to
			return func(*frame) *block { return to }
		}
		return e.take
	case *ssa.If:
		yes, no := c.edge(s, s.Succs[0]), c.edge(s, s.Succs[1])
		if cmp, ok := instr.Cond.(*ssa.BinOp); ok && c.isInline(cmp) {
			return c.branch(cmp, yes, no)
		}
		cond := c.slot(instr.Cond).offset
		return func(fr *frame) *block {
			if *at[bool](fr, cond) {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	case *ssa.Return:
		return c.ret(instr)
	case *ssa.Panic:
		x := c.slot(instr.X)
		n := c.site(instr, instr.Pos())
		if misuse := c.misusedYield(s); misuse != nil {
			return func(fr *frame) *block {
				fr.at = n
				panic(goError{"runtime error: range function " + misuse(fr), "runtime.errorString"})
			}
		}
		return func(fr *frame) *block {
			fr.at = n
			c.m.throw(*at[any](fr, x.offset))
			return nil
		}
	}
	panic(fmt.Sprintf("block ends with %T", instr))
}

// misusedYield gives Go's words for a sequence that does not keep to the rules of
// a range over a function, if the block is where the builder notices it.
func (c *compiler) misusedYield(s *ssa.BasicBlock) func(*frame) string {
	switch s.Comment {
	case "rangefunc.resume.busy":
		return func(*frame) string { return "recovered a loop body panic and did not resume panicking" }
	case "yield-invalid":
		// The state of the loop is the first variable that its body captures.
		state := c.slot(c.fn.ssa.FreeVars[0]).offset
		return func(fr *frame) string {
			const busy, done = -1, -2
			switch **at[*int](fr, state) {
			case busy:
				return "continued iteration after loop body panic"
			case done:
				return "continued iteration after whole loop exit"
			}
			return "continued iteration after function for loop body returned false"
		}
	}
	return nil
}

func (c *compiler) ret(instr *ssa.Return) func(*frame) *block {
	leave := c.results(instr)
	if !c.fn.guarded {
		return leave
	}
	// Calls that the body of a range over a function deferred on behalf of this
	// function may be left. The recovery block returns the results as they are
	// after them.
	m, fn := c.m, c.fn
	return func(fr *frame) *block {
		if fr.deferred != nil {
			m.runDeferred(fr)
			return fn.recover
		}
		return leave(fr)
	}
}

func (c *compiler) results(instr *ssa.Return) func(*frame) *block {
	switch len(instr.Results) {
	case 0:
		return func(fr *frame) *block {
			fr.done = true
			return nil
		}
	case 1:
		x := c.slot(instr.Results[0]).offset
		return func(fr *frame) *block {
			fr.result = x
			fr.done = true
			return nil
		}
	}
	var moves []move
	for i, r := range instr.Results {
		moves = append(moves, move{c.fn.results[i], c.slot(r)})
	}
	run := parallel(moves, nil)
	return func(fr *frame) *block {
		run(fr)
		fr.done = true
		return nil
	}
}

// A move copies one register to another.
type move struct{ dst, src slot }

func (m move) do(fr *frame) {
	m.dst.lay.copy(unsafe.Add(unsafe.Pointer(fr), m.dst.offset), unsafe.Add(unsafe.Pointer(fr), m.src.offset))
}

// overlap tells whether two registers share memory.
func overlap(a, b slot) bool {
	return a.offset < b.offset+max(b.lay.size, 1) && b.offset < a.offset+max(a.lay.size, 1)
}

// parallel does the moves as if all at once. A move whose source another move
// overwrites goes by way of a scratch register.
func parallel(moves []move, scratch []slot) op {
	var first, then []move
	for i, m := range moves {
		if m.dst.offset == m.src.offset {
			continue
		}
		clash := false
		for j, o := range moves {
			if i != j && o.dst.offset != o.src.offset && overlap(m.src, o.dst) {
				clash = true
			}
		}
		if clash && scratch != nil {
			first = append(first, move{slot{scratch[i].offset, m.dst.lay}, m.src})
			m.src = scratch[i]
		}
		then = append(then, m)
	}
	// Moves into scratch registers come first. The rest cannot clash.
	return sequence(append(first, then...))
}

// sequence does moves one after the other.
func sequence(moves []move) op {
	all8 := true
	for _, m := range moves {
		all8 = all8 && m.dst.lay.shape == shape8
	}
	switch {
	case len(moves) == 0:
		return nil
	case len(moves) == 1 && all8:
		d, s := moves[0].dst.offset, moves[0].src.offset
		return func(fr *frame) { *at[uint64](fr, d) = *at[uint64](fr, s) }
	case len(moves) == 2 && all8:
		d, s := moves[0].dst.offset, moves[0].src.offset
		e, t := moves[1].dst.offset, moves[1].src.offset
		return func(fr *frame) {
			*at[uint64](fr, d) = *at[uint64](fr, s)
			*at[uint64](fr, e) = *at[uint64](fr, t)
		}
	case len(moves) == 1:
		m := moves[0]
		return func(fr *frame) { m.do(fr) }
	}
	return func(fr *frame) {
		for i := range moves {
			moves[i].do(fr)
		}
	}
}

// edge compiles the way from one block to the next.
func (c *compiler) edge(from, to *ssa.BasicBlock) *edge {
	pred := -1
	for i, p := range to.Preds {
		if p == from {
			pred = i
		}
	}
	var moves []move
	var scratch []slot
	for _, instr := range to.Instrs {
		phi, ok := instr.(*ssa.Phi)
		if !ok {
			break
		}
		moves = append(moves, move{c.slot(phi), c.slot(phi.Edges[pred])})
		scratch = append(scratch, c.place(c.scratch[phi]))
	}
	e := &edge{to: c.blocks[to.Index], run: parallel(moves, scratch)}
	if to.Index <= from.Index {
		// The way back of a loop counts as a step.
		m, run := c.m, e.run
		if run == nil {
			run = func(*frame) {}
		}
		n := c.site(from.Instrs[len(from.Instrs)-1], loopPos(from, to))
		e.run = func(fr *frame) {
			if m.steps--; m.steps < 0 {
				fr.at = n
				m.pause()
			}
			run(fr)
		}
	}
	return e
}

// loopPos is a place in the recipe that a turn of a loop comes by which goes back
// from one block to another.
func loopPos(from, to *ssa.BasicBlock) (pos token.Pos) {
	if pos = lastPos(from); pos.IsValid() {
		return pos
	}
	within := make(map[*ssa.BasicBlock]bool)
	for _, b := range reached(to, func(b *ssa.BasicBlock) []*ssa.BasicBlock { return b.Succs }) {
		within[b] = true
	}
	for _, b := range reached(from, func(b *ssa.BasicBlock) []*ssa.BasicBlock { return b.Preds }) {
		if pos = lastPos(b); within[b] && pos.IsValid() {
			return pos
		}
	}
	return token.NoPos
}

// reached lists the blocks that lie on the ways from b, nearest first.
func reached(b *ssa.BasicBlock, next func(*ssa.BasicBlock) []*ssa.BasicBlock) []*ssa.BasicBlock {
	list := []*ssa.BasicBlock{b}
	seen := map[*ssa.BasicBlock]bool{b: true}
	for i := 0; i < len(list); i++ {
		for _, n := range next(list[i]) {
			if !seen[n] {
				seen[n] = true
				list = append(list, n)
			}
		}
	}
	return list
}

// lastPos is the last place in the recipe that a block comes from.
func lastPos(b *ssa.BasicBlock) (pos token.Pos) {
	for _, instr := range b.Instrs {
		if p := instr.Pos(); p.IsValid() {
			pos = p
		}
	}
	return pos
}

// isInline tells whether a value is computed by the one instruction that uses
// it: an address by the load or store, a comparison by the branch.
func (c *compiler) isInline(v ssa.Value) bool {
	is, ok := c.inline[v]
	if ok {
		return is
	}
	switch v := v.(type) {
	case *ssa.FieldAddr:
		is = c.addressOnly(v)
	case *ssa.IndexAddr:
		is = c.addressOnly(v)
	case *ssa.BinOp:
		if user := c.onlyUser(v); user != nil {
			_, is = user.(*ssa.If)
			is = is && user.Block() == v.Block()
		}
	}
	c.inline[v] = is
	return is
}

// onlyUser returns the one instruction that uses v, or nil.
func (c *compiler) onlyUser(v ssa.Value) (user ssa.Instruction) {
	for _, r := range *v.Referrers() {
		if _, ok := r.(*ssa.DebugRef); ok {
			continue
		}
		if user != nil {
			return nil
		}
		user = r
	}
	return user
}

// addressOnly tells whether v is used once, as the address of a load, a store
// or another inline address, in its own block.
func (c *compiler) addressOnly(v ssa.Value) bool {
	user := c.onlyUser(v)
	if user == nil || user.Block() != v.(ssa.Instruction).Block() {
		return false
	}
	switch u := user.(type) {
	case *ssa.UnOp:
		return u.Op == token.MUL
	case *ssa.Store:
		return u.Addr == v && u.Val != v
	case *ssa.FieldAddr:
		return c.isInline(u)
	}
	return false
}
