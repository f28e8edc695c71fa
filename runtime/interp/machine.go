// Package interp runs a lowered recipe.
//
// The machine's memory is Go's own: every value of the recipe lies in memory as
// the Go compiler would lay it out, in objects that Go's collector knows, so that
// values pass to and from the program's functions as they are. Each instruction
// is compiled to one Go function that works on the registers of a frame; Go's own
// operators, on operands of the recipe's own types, do the arithmetic, and Go's
// own checks fail with Go's own words.
//
// To read it, begin with run.go, a run from its start to the fault that ends it; then
// compile.go and instruction.go, how a function is compiled; frame.go and layout.go,
// where values lie; call.go, host.go and unwind.go, calls of the recipe's functions and
// of the program's, and panics. The rest is a file for each family of instructions, and
// format.go and fmt.go for package fmt.
package interp

import (
	"io"
	"reflect"
	"sync/atomic"
	"unsafe"

	"golang.org/x/tools/go/ssa"
	"golang.org/x/tools/go/types/typeutil"

	"lapwright/runtime/lower"
)

// Options say how a program is to run.
type Options struct {
	Out    io.Writer    // what fmt.Print and its kin write to
	Err    io.Writer    // what the builtin print writes to; nil: nowhere
	Steps  int64        // the most calls and turns of loops; 0: no limit
	Depth  int          // the most calls within calls; 0: DefaultDepth
	OnPart func(i int)  // is told when main enters part i of the recipe
	Stop   *atomic.Bool // once true, the run ends at its next step; may be nil
}

// DefaultDepth is how deep calls may nest if the Options do not say.
const DefaultDepth = 200_000

// A machine is one run.
type machine struct {
	prog          *lower.Program
	options       Options
	layouts       *layouts
	functions     map[*ssa.Function]*function
	hosts         map[*ssa.Function]reflect.Value
	globals       map[*ssa.Global]unsafe.Pointer
	satisfied     map[satisfaction]string
	holdsFunction map[reflect.Type]bool
	holdsAddress  map[reflect.Type]bool
	steps         int64 // until the next pause
	left          int64 // steps of the budget after that, if it has a limit
	depth         int
	maxDepth      int
	top           *frame   // the innermost call
	inHost        *hostUse // the program's function under way, if it is innermost
	halted        *halt    // why the run ends, once it does
	part          int
	own           typeutil.Map // types.Type -> bool: see isOwn
	methods       map[methodKey]bool
	rooms         rooms
}

const stepsPerPause = 20_000

// pause is called when the steps run out: it gives out more of them, or ends the run.
func (m *machine) pause() {
	switch {
	case m.halted != nil:
		panic(m.halted)
	case m.options.Stop != nil && m.options.Stop.Load():
		m.end("the run was stopped", "")
	case m.options.Steps > 0 && m.left <= 0:
		m.end("the recipe took more steps than allowed", "look for a loop that does not end")
	}
	grant := int64(stepsPerPause)
	if m.options.Steps > 0 {
		grant = min(grant, m.left)
		m.left -= grant
	}
	m.steps = grant - 1 // the step that led here is one of them
}

func (m *machine) end(message, hint string) {
	m.halted = &halt{message: message, hint: hint, kind: haltLimit, trace: m.trace(m.top), frame: m.top}
	panic(m.halted)
}

func (m *machine) tooDeep() {
	m.end("calls are nested deeper than allowed", "look for a function that calls itself without end")
}

func (m *machine) warn(text string) {
	if m.options.Err != nil {
		io.WriteString(m.options.Err, text)
	}
}

// newMachine makes a machine ready to run the program once.
func newMachine(p *lower.Program, r Options) *machine {
	m := &machine{
		prog: p, options: r, layouts: newLayouts(),
		functions:     make(map[*ssa.Function]*function),
		hosts:         make(map[*ssa.Function]reflect.Value),
		globals:       make(map[*ssa.Global]unsafe.Pointer),
		satisfied:     make(map[satisfaction]string),
		holdsFunction: make(map[reflect.Type]bool),
		holdsAddress:  make(map[reflect.Type]bool),
		methods:       make(map[methodKey]bool),
		left:          r.Steps, maxDepth: r.Depth, part: -1,
	}
	if m.maxDepth == 0 {
		m.maxDepth = DefaultDepth
	}
	return m
}
