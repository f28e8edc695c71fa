package interp

import (
	"go/types"
	"runtime"
	"strings"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// A deferred call waits for its function to end.
type deferred struct {
	fn    *function // nil if the recipe deferred a nil function
	bound []unsafe.Pointer
	args  []unsafe.Pointer
	then  *deferred
}

// An unwind is a panic on its way up.
type unwind struct {
	value any      // as recover gives it
	trace []place  // innermost first
	frame *frame   // innermost
	host  *hostUse // the program's function it came from, if any
}

// A place is where a call was.
type place struct {
	fn *function
	at int32
}

// A thrown is a panic of the recipe as Go's own panic carries it.
type thrown struct {
	value any
	under *unwind
}

// A halt ends the run whatever the recipe would recover.
type halt struct {
	message, hint string
	kind          haltKind
	trace         []place
	frame         *frame
}

type haltKind uint8

const (
	haltLimit haltKind = iota
	haltRefused
)

// throw panics with a value of the recipe.
func (m *machine) throw(v any) {
	if v == nil {
		defer func() {
			panic(&thrown{value: recover()})
		}()
		panic(nil)
	}
	panic(&thrown{value: v})
}

// refuse ends the run: what the recipe does cannot be done as Go does it.
func (m *machine) refuse(message, hint string) {
	m.halted = &halt{message: message, hint: hint, kind: haltRefused, trace: m.trace(m.top), frame: m.top}
	panic(m.halted)
}

// trace lists the calls under way, the innermost of very many.
func (m *machine) trace(fr *frame) (places []place) {
	const most = 200
	for ; fr != nil && len(places) < most; fr = fr.caller {
		places = append(places, place{fr.fn, fr.at})
	}
	return places
}

// caught makes an unwind of what Go's recover gave, which is no halt: a halt goes on
// by itself, since to panic with it again at each call would take ever longer.
func (m *machine) caught(r any) *unwind {
	if r, ok := r.(*thrown); ok {
		if r.under != nil {
			return r.under
		}
		return &unwind{value: r.value, trace: m.trace(m.top), frame: m.top}
	}
	return &unwind{value: m.inOwnWords(r), trace: m.trace(m.top), frame: m.top, host: m.inHost}
}

// inOwnWords puts the recipe's name of a type into an error of Go's own that
// names it as reflection does.
func (m *machine) inOwnWords(r any) any {
	err, ok := r.(runtime.Error)
	if !ok {
		return r
	}
	for _, words := range []string{"runtime error: comparing uncomparable type ", "runtime error: hash of unhashable type "} {
		name, ok := strings.CutPrefix(err.Error(), words)
		if !ok {
			continue
		}
		for _, lay := range m.layouts.byWord {
			if lay.rt.String() == name {
				return goError{words + m.typeName(lay.typ), "runtime.errorString"}
			}
		}
	}
	return r
}

// runGuarded runs a call of a function that may defer.
func (m *machine) runGuarded(fr *frame) {
	fr.done, fr.unwinds, fr.deferred = false, nil, nil
	m.try(fr, func() {
		for b := fr.fn.entry; b != nil; {
			for _, o := range b.ops {
				o(fr)
			}
			b = b.next(fr)
		}
	})
	if fr.unwinds == nil {
		return
	}
	m.runDeferred(fr)
	// The panic was recovered from: the function returns its results as they
	// are.
	fr.done = false
	for b := fr.fn.recover; b != nil; {
		for _, o := range b.ops {
			o(fr)
		}
		b = b.next(fr)
	}
}

// try runs f. A panic leaves the frame unwinding.
func (m *machine) try(fr *frame, f func()) {
	depth, inHost := m.depth, m.inHost
	ended := false
	defer func() {
		if ended || m.halted != nil {
			return
		}
		fr.unwinds = m.caught(recover())
		m.top, m.depth, m.inHost = fr, depth, inHost
	}()
	f()
	ended = true
}

// runDeferred runs the calls the frame has deferred. It panics again if the
// frame still unwinds then.
func (m *machine) runDeferred(fr *frame) {
	for fr.deferred != nil {
		d := fr.deferred
		fr.deferred = d.then
		m.try(fr, func() {
			if d.fn == nil {
				nilDereference()
			}
			to := m.enter(d.fn, fr)
			to.runsFor = fr
			to.bind(d.bound)
			for i, p := range d.fn.params {
				p.lay.copy(register(to, p), d.args[i])
			}
			m.run(to)
			to.runsFor = nil
			m.leave(to)
		})
	}
	if u := fr.unwinds; u != nil {
		panic(&thrown{value: u.value, under: u})
	}
}

// recovered implements the builtin recover, called in fr.
func (m *machine) recovered(fr *frame) any {
	// What stands between the deferred call and the function the recipe wrote
	// does not count.
	for fr.runsFor == nil && fr.caller != nil && fr.caller.fn.passes() {
		fr = fr.caller
	}
	ended := fr.runsFor
	if ended == nil || ended.unwinds == nil {
		return nil
	}
	v := ended.unwinds.value
	ended.unwinds = nil
	return plain(v)
}

// passes tells whether the function only passes a call on.
func (fn *function) passes() bool {
	return fn.thunk || fn.ssa != nil && fn.ssa.Synthetic != "" && fn.ssa.Syntax() == nil
}

// deferral compiles a defer statement.
func (c *compiler) deferral(instr *ssa.Defer) op {
	common := &instr.Call
	n := c.site(instr, instr.Pos())
	owner := func(fr *frame) *frame { return fr }
	if instr.DeferStack != nil {
		stack := c.slot(instr.DeferStack).offset
		owner = func(fr *frame) *frame { return *at[*frame](fr, stack) }
	}
	push := func(fr *frame, fn *function, bound []unsafe.Pointer, args []slot) {
		fr.at = n
		to := owner(fr)
		d := &deferred{fn: fn, bound: bound, args: make([]unsafe.Pointer, len(args)), then: to.deferred}
		for i, a := range args {
			d.args[i] = a.lay.new()
			a.lay.copy(d.args[i], register(fr, a))
		}
		to.deferred = d
	}
	args := c.slots(common.Args)
	if f, ok := common.Value.(*ssa.Function); ok && f.Blocks != nil {
		fn := c.m.function(f)
		return func(fr *frame) { push(fr, fn, nil, args) }
	}
	thunk, params := c.thunk(instr)
	all := c.slots(params)
	if _, builtin := common.Value.(*ssa.Builtin); builtin || common.IsInvoke() {
		if common.IsInvoke() {
			x := c.slot(common.Value)
			return func(fr *frame) {
				fr.at = n
				if c.m.dynamic(fr, x) == nil {
					nilDereference()
				}
				push(fr, thunk, nil, all)
			}
		}
		return func(fr *frame) { push(fr, thunk, nil, all) }
	}
	if _, host := common.Value.(*ssa.Function); host {
		return func(fr *frame) { push(fr, thunk, nil, all) }
	}
	value := c.slot(common.Value).offset
	return func(fr *frame) {
		switch cl := *at[*closure](fr, value); {
		case cl == nil:
			push(fr, nil, nil, nil)
		case cl.code == 0:
			push(fr, cl.fn, cl.bound, args)
		default:
			push(fr, thunk, nil, all)
		}
	}
}

// thunk makes a function of a call whose operands are its parameters.
func (c *compiler) thunk(instr *ssa.Defer) (*function, []ssa.Value) {
	common := &instr.Call
	fn := &function{thunk: true, name: "defer"}
	fn.value = &closure{fn: fn}
	t := &compiler{
		m: c.m, fn: fn,
		values: make(map[ssa.Value]ticket), tuples: make(map[ssa.Value][]ticket),
		consts: make(map[ssa.Value]ticket), locals: make(map[*ssa.Alloc]ticket),
		scratch: make(map[*ssa.Phi]ticket), inline: make(map[ssa.Value]bool),
	}
	var params []ssa.Value
	operands := common.Args
	if _, builtin := common.Value.(*ssa.Builtin); !builtin {
		operands = append([]ssa.Value{common.Value}, operands...)
	}
	for _, v := range operands {
		switch v.(type) {
		case *ssa.Const, *ssa.Global, *ssa.Function:
			t.constant(v)
			continue
		}
		if _, ok := t.values[v]; !ok {
			t.values[v] = t.regs.take(c.m.layouts.of(v.Type()))
			params = append(params, v)
		}
	}
	t.spare[0] = t.regs.take(c.m.layouts.of(types.Typ[types.Int]))
	t.spare[1] = t.regs.take(c.m.layouts.of(types.Typ[types.Int]))
	var results []ticket
	for r := range common.Signature().Results().Variables() {
		results = append(results, t.regs.take(c.m.layouts.of(r.Type())))
	}
	t.finish()
	for _, v := range params {
		fn.params = append(fn.params, t.slot(v))
	}
	var outs []slot
	for _, r := range results {
		outs = append(outs, t.place(r))
	}
	n := t.site(instr, instr.Pos())
	var o op
	switch f := common.Value.(type) {
	case *ssa.Builtin:
		o = t.builtin(f.Name(), common, nil, n)
	case *ssa.Function:
		o = t.callHost(f, common, outs, n)
	default:
		if common.IsInvoke() {
			o = t.invoke(common, outs, n)
		} else {
			o = t.callValue(common, outs, n)
		}
	}
	fn.entry = &block{ops: []op{o}, next: func(*frame) *block { return nil }}
	return fn, params
}
