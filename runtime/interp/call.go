package interp

import (
	"fmt"
	"go/types"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// function returns the compiled form of a function, which is compiled at its
// first call.
func (m *machine) function(f *ssa.Function) *function {
	fn, ok := m.functions[f]
	if !ok {
		fn = &function{ssa: f, name: traceName(f), guarded: f.Recover != nil}
		fn.value = &closure{fn: fn, typ: f.Signature}
		m.functions[f] = fn
	}
	return fn
}

// enter begins a call: its frame is ready for the arguments.
func (m *machine) enter(fn *function, caller *frame) *frame {
	if fn.entry == nil {
		m.compile(fn)
	}
	if m.steps--; m.steps < 0 {
		m.pause()
	}
	if m.depth++; m.depth > m.maxDepth {
		m.tooDeep()
	}
	var fr *frame
	if n := len(fn.idle); n > 0 {
		fr = fn.idle[n-1]
		fn.idle = fn.idle[:n-1]
	} else {
		fr = fn.fresh()
	}
	fr.caller = caller
	m.top = fr
	return fr
}

// run runs a call to its end.
func (m *machine) run(fr *frame) {
	if fr.guarded {
		m.runGuarded(fr)
		return
	}
	for b := fr.fn.entry; b != nil; {
		for _, o := range b.ops {
			o(fr)
		}
		b = b.next(fr)
	}
}

// leave ends a call; its frame can serve another.
func (m *machine) leave(fr *frame) {
	m.top = fr.caller
	m.depth--
	fr.fn.idle = append(fr.fn.idle, fr)
}

func register(fr *frame, s slot) unsafe.Pointer { return unsafe.Add(unsafe.Pointer(fr), s.offset) }

// outcome copies the results of a call, still in its frame, to the caller.
func (callee *function) outcome(from, to *frame, results []slot) {
	switch len(results) {
	case 0:
	case 1:
		if results[0].lay.shape == shape8 {
			*at[uint64](to, results[0].offset) = *at[uint64](from, from.result)
			return
		}
		results[0].lay.copy(register(to, results[0]), unsafe.Add(unsafe.Pointer(from), from.result))
	default:
		for i, r := range results {
			r.lay.copy(register(to, r), register(from, callee.results[i]))
		}
	}
}

// resultSlots are the registers that take the results of a call.
func (c *compiler) resultSlots(instr ssa.CallInstruction) []slot {
	v := instr.Value()
	if v == nil {
		return nil
	}
	switch n := instr.Common().Signature().Results().Len(); n {
	case 0:
		return nil
	case 1:
		if _, ok := c.values[v]; ok {
			return []slot{c.slot(v)}
		}
	}
	var slots []slot
	for _, t := range c.tuples[v] {
		slots = append(slots, c.place(t))
	}
	return slots
}

func (c *compiler) slots(values []ssa.Value) []slot {
	slots := make([]slot, len(values))
	for i, v := range values {
		slots[i] = c.slot(v)
	}
	return slots
}

// call compiles a call.
func (c *compiler) call(instr ssa.CallInstruction) op {
	common := instr.Common()
	results := c.resultSlots(instr)
	n := c.site(instr, instr.Pos())
	if common.IsInvoke() {
		return c.invoke(common, results, n)
	}
	switch f := common.Value.(type) {
	case *ssa.Builtin:
		return c.builtin(f.Name(), common, results, n)
	case *ssa.Function:
		if f.Blocks == nil {
			return c.callHost(f, common, results, n)
		}
		return c.callStatic(c.m.function(f), c.slots(common.Args), results, n)
	}
	return c.callValue(common, results, n)
}

func (c *compiler) callStatic(callee *function, args, results []slot, n int32) op {
	m := c.m
	plain := len(args) <= 2
	for _, a := range args {
		plain = plain && a.lay.shape == shape8
	}
	if plain && len(results) == 1 && results[0].lay.shape == shape8 && len(args) > 0 {
		// The commonest calls, without a loop.
		a, b, r := args[0].offset, args[len(args)-1].offset, results[0].offset
		return func(fr *frame) {
			fr.at = n
			to := m.enter(callee, fr)
			*at[uint64](to, callee.params[0].offset) = *at[uint64](fr, a)
			*at[uint64](to, callee.params[len(callee.params)-1].offset) = *at[uint64](fr, b)
			m.run(to)
			*at[uint64](fr, r) = *at[uint64](to, to.result)
			m.leave(to)
		}
	}
	pass := passing(args)
	return func(fr *frame) {
		fr.at = n
		to := m.enter(callee, fr)
		pass(to, fr)
		m.run(to)
		callee.outcome(to, fr, results)
		m.leave(to)
	}
}

// passing compiles the passing of arguments to the parameters of a call.
func passing(args []slot) func(to, from *frame) {
	words := true
	offsets := make([]uintptr, len(args))
	for i, a := range args {
		words = words && a.lay.shape == shape8
		offsets[i] = a.offset
	}
	switch {
	case len(args) == 0:
		return func(to, from *frame) {}
	case words:
		return func(to, from *frame) {
			for i, p := range to.fn.params {
				*at[uint64](to, p.offset) = *at[uint64](from, offsets[i])
			}
		}
	}
	return func(to, from *frame) {
		for i, p := range to.fn.params {
			p.lay.copy(register(to, p), register(from, args[i]))
		}
	}
}

// bind sets the captured variables of a call.
func (to *frame) bind(bound []unsafe.Pointer) {
	for i, f := range to.fn.free {
		if _, ok := f.lay.under.(*types.Pointer); ok {
			*at[unsafe.Pointer](to, f.offset) = bound[i]
		} else {
			f.lay.copy(register(to, f), bound[i])
		}
	}
}

// callValue compiles a call of a function value.
func (c *compiler) callValue(common *ssa.CallCommon, results []slot, n int32) op {
	m := c.m
	f := c.slot(common.Value)
	args := c.slots(common.Args)
	sig := f.lay.under.(*types.Signature)
	host := m.hostCall(nil, sig, args, results, n)
	rt := m.layouts.of(sig).rt
	pass := passing(args)
	return func(fr *frame) {
		fr.at = n
		cl := *at[*closure](fr, f.offset)
		if cl == nil {
			nilDereference()
		}
		if cl.code != 0 {
			host(fr, reflect.NewAt(rt, register(fr, f)).Elem())
			return
		}
		to := m.enter(cl.fn, fr)
		to.bind(cl.bound)
		pass(to, fr)
		m.run(to)
		cl.fn.outcome(to, fr, results)
		m.leave(to)
	}
}

func (c *compiler) makeClosure(instr *ssa.MakeClosure) op {
	fn := c.m.function(instr.Fn.(*ssa.Function))
	bindings := c.slots(instr.Bindings)
	d := c.slot(instr)
	return func(fr *frame) {
		cl := &closure{fn: fn, typ: d.lay.typ, bound: make([]unsafe.Pointer, len(bindings))}
		for i, b := range bindings {
			if _, ok := b.lay.under.(*types.Pointer); ok {
				cl.bound[i] = *at[unsafe.Pointer](fr, b.offset)
			} else {
				p := b.lay.new()
				b.lay.copy(p, register(fr, b))
				cl.bound[i] = p
			}
		}
		*at[*closure](fr, d.offset) = cl
	}
}

// A target is where a method call through an interface goes for one type.
type target struct {
	word unsafe.Pointer
	fn   *function // the recipe's method, or nil: the program's
	lay  *layout
}

// invoke compiles a method call through an interface.
func (c *compiler) invoke(common *ssa.CallCommon, results []slot, n int32) op {
	m := c.m
	x, args := c.slot(common.Value), c.slots(common.Args)
	method := common.Method
	last := target{}
	host := m.hostCall(nil, method.Signature(), args, results, n)
	return func(fr *frame) {
		fr.at = n
		v := m.dynamic(fr, x)
		if v == nil {
			nilDereference()
		}
		word := wordOf(v)
		t := last
		if t.word != word {
			t = m.target(v, method)
			last = t
		}
		if t.fn == nil {
			host(fr, reflect.ValueOf(v).MethodByName(method.Name()))
			return
		}
		to := m.enter(t.fn, fr)
		t.lay.unbox(register(to, t.fn.params[0]), v)
		for i, p := range t.fn.params[1:] {
			p.lay.copy(register(to, p), register(fr, args[i]))
		}
		m.run(to)
		t.fn.outcome(to, fr, results)
		m.leave(to)
	}
}

// target finds the method that a value has for an interface's method.
func (m *machine) target(v any, method *types.Func) target {
	word := wordOf(v)
	lay := m.layouts.byWord[word]
	if lay == nil {
		return target{word: word}
	}
	if sel := m.prog.SSA.MethodSets.MethodSet(lay.typ).Lookup(method.Pkg(), method.Name()); sel != nil {
		if f := m.prog.SSA.MethodValue(sel); f != nil && f.Blocks != nil {
			return target{word, m.function(f), lay}
		}
	}
	return target{word: word}
}

// throughHost is how many calls a call by a primitive or by fmt counts as besides
// itself: what stands between it and the recipe takes as much more of the stack, which
// is to last until calls are nested deeper than allowed.
const throughHost = 20

// callClosure calls a function value of the recipe from outside any frame's ops.
// It gives the frame the arguments in set and takes results from it in get.
func (m *machine) callClosure(cl *closure, set, get func(to *frame)) {
	caller, depth, inHost := m.top, m.depth, m.inHost
	m.inHost = nil
	m.depth += throughHost
	to := m.enter(cl.fn, caller)
	to.bind(cl.bound)
	set(to)
	m.run(to)
	get(to)
	m.leave(to)
	m.top, m.depth, m.inHost = caller, depth, inHost
}

// callMethod calls a method of the recipe on a value, if it has one of that
// name.
func (m *machine) callMethod(v any, name string, args, results []unsafe.Pointer) bool {
	lay := m.layouts.byWord[wordOf(v)]
	if lay == nil {
		return false
	}
	obj, _, _ := types.LookupFieldOrMethod(lay.typ, false, m.prog.Main.Pkg, name)
	method, ok := obj.(*types.Func)
	if !ok {
		return false
	}
	t := m.target(v, method)
	if t.fn == nil {
		return false
	}
	m.callClosure(&closure{fn: t.fn}, func(to *frame) {
		lay.unbox(register(to, t.fn.params[0]), v)
		for i, p := range t.fn.params[1:] {
			p.lay.copy(register(to, p), args[i])
		}
	}, func(to *frame) {
		for i, r := range results {
			m.result(to, i, r)
		}
	})
	return true
}

// result copies a result of an ended call.
func (m *machine) result(fr *frame, i int, dst unsafe.Pointer) {
	r := fr.fn.ssa.Signature.Results()
	if r.Len() == 1 {
		m.layouts.of(r.At(0).Type()).copy(dst, unsafe.Add(unsafe.Pointer(fr), fr.result))
	} else {
		fr.fn.results[i].lay.copy(dst, register(fr, fr.fn.results[i]))
	}
}

// Invoke implements symbols.Machine.
func (m *machine) Invoke(v any, method string, args, results []unsafe.Pointer) {
	if !m.callMethod(v, method, args, results) {
		panic(fmt.Sprintf("no method %s on %T", method, v))
	}
}
