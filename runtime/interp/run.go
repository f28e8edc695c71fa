package interp

import (
	"fmt"
	"go/token"
	"io"
	"reflect"
	"runtime"
	"strings"

	"golang.org/x/tools/go/ssa"

	"lapwright/runtime/check"
	"lapwright/runtime/lower"
	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
)

// Run runs a program to its end. It returns the fault that ended it, or nil.
func Run(p *lower.Program, r Options) (fault *document.Fault) {
	if r.Out == nil {
		r.Out = io.Discard
	}
	m := newMachine(p, r)
	defer func() {
		if x := recover(); x != nil {
			fault = m.fault(x)
		}
	}()
	call := func(f *ssa.Function) {
		fn := m.function(f)
		fr := m.enter(fn, nil)
		m.run(fr)
		m.leave(fr)
	}
	call(p.Main.Func("init"))
	call(p.Main.Func("main"))
	return nil
}

// fault describes what ended the run.
func (m *machine) fault(x any) *document.Fault {
	f := &document.Fault{Kind: document.Panicked}
	var u *unwind
	switch x := x.(type) {
	case *halt:
		f.Message, f.Hint = x.message, x.hint
		f.Kind = document.Limit
		if x.kind == haltRefused {
			f.Kind = document.Wrong
		}
		u = &unwind{trace: x.trace, frame: x.frame}
	case *thrown:
		u = x.under
		if u == nil {
			u = &unwind{value: x.value, trace: m.trace(m.top), frame: m.top}
		}
		m.describe(f, u)
	default:
		u = &unwind{value: m.inOwnWords(x), trace: m.trace(m.top), frame: m.top, host: m.inHost}
		m.describe(f, u)
	}
	m.locate(f, u)
	return f
}

// describe says what a panic was about.
func (m *machine) describe(f *document.Fault, u *unwind) {
	var stop *host.Stop
	if s, ok := u.value.(*host.Stop); ok {
		stop = s
	}
	switch err, isRuntime := u.value.(runtime.Error); {
	case stop != nil:
		f.Kind = document.StoppedBy
		f.Message, f.Hint, f.Notes = stop.Error(), stop.Hint, stop.Notes
	case u.host != nil && m.unmade(u) != "":
		f.Message = "panic: " + m.panicText(u.value)
		if isRuntime {
			f.Message = strings.TrimPrefix(err.Error(), "runtime error: ")
		}
		f.Hint = m.unmade(u) + " was given to " + u.host.label
	case u.host != nil && strings.HasPrefix(u.host.path, "lapwright/"):
		f.Kind = document.EngineFault
		f.Message = fmt.Sprintf("fault inside %s: %v", u.host.label, u.value)
	case isRuntime:
		f.Message = strings.TrimPrefix(err.Error(), "runtime error: ")
	default:
		f.Message = "panic: " + m.panicText(u.value)
	}
}

// unmade names what the call that failed was given and that nothing had made, as in
// "nil" or "an empty figure.Figure", or gives "".
func (m *machine) unmade(u *unwind) string {
	if u.frame == nil || int(u.frame.at) >= len(u.frame.fn.sites) {
		return ""
	}
	call, ok := u.frame.fn.sites[u.frame.at].instr.(ssa.CallInstruction)
	if !ok {
		return ""
	}
	err, isRuntime := u.value.(runtime.Error)
	nilFollowed := isRuntime && strings.Contains(err.Error(), "nil pointer dereference")
	for _, a := range call.Common().Args {
		what := ""
		if c, ok := a.(*ssa.Const); ok && c.Value == nil {
			what = unmade(reflect.Zero(m.layouts.of(c.Type()).rt), nilFollowed, 0)
		} else if s, ok := u.frame.fn.debug[a]; ok && s.lay.rt != nil {
			what = unmade(s.value(u.frame), nilFollowed, 0)
		}
		if what != "" {
			return what
		}
	}
	return ""
}

// unmade names what in a value nothing has made, or gives "". Only where a nil pointer
// was followed does one matter that is not the value itself.
func unmade(v reflect.Value, nilFollowed bool, depth int) string {
	const deep = 4
	t := v.Type()
	switch {
	case depth > deep:
	case t.Kind() == reflect.Pointer && !v.IsNil():
		return unmade(v.Elem(), nilFollowed, depth+1)
	case nilFollowed && (t.Kind() == reflect.Pointer || t.Kind() == reflect.Interface) && v.IsNil():
		return "nil"
	case t.Kind() == reflect.Slice:
		for i := range v.Len() {
			if what := unmade(v.Index(i), nilFollowed, depth+1); what != "" {
				return what
			}
		}
	case t.Kind() == reflect.Struct && strings.HasPrefix(t.PkgPath(), check.Own):
		for i := range t.NumField() {
			switch f := t.Field(i); {
			case !f.IsExported() && v.IsZero():
				return "an empty " + t.String()
			case nilFollowed && f.IsExported() && f.Type.Kind() == reflect.Pointer && v.Field(i).IsNil():
				return "a " + t.String() + " without " + f.Name
			}
		}
	}
	return ""
}

// panicText writes a panic's value as Go writes it when nothing recovers it.
func (m *machine) panicText(v any) (text string) {
	defer func() {
		if r := recover(); r != nil {
			text = m.nameOf(v)
		}
	}()
	v = plain(v)
	lay := m.layouts.byWord[wordOf(v)]
	m.steps, m.depth, m.halted = stepsPerPause, 0, nil
	if lay != nil {
		for _, name := range []string{"Error", "String"} {
			if m.methodNamed(lay, name) {
				return m.callString(v, name)
			}
		}
	}
	switch x := v.(type) {
	case error:
		return x.Error()
	case fmt.Stringer:
		return x.String()
	case string:
		return x
	}
	if lay != nil {
		if k := kindOf(lay); k != 0 {
			s := fmt.Sprint(m.bare(v))
			if _, isString := m.bare(v).(string); isString {
				s = fmt.Sprintf("%q", m.bare(v))
			}
			if m.isOwn(lay.typ) {
				return m.typeName(lay.typ) + "(" + s + ")"
			}
			return fmt.Sprintf("%v", v)
		}
	}
	return "a value of type " + m.nameOf(v)
}

// locate says where in the recipe it happened, and by which calls.
func (m *machine) locate(f *document.Fault, u *unwind) {
	const most = 16 // calls; a recursion without end has the same ones over and over
	r := m.prog.Checked.Recipe
	own := func(pos token.Pos) bool {
		return pos.IsValid() && r.File.FileStart <= pos && pos < r.File.FileEnd
	}
	for _, p := range u.trace {
		if p.fn.ssa == nil || int(p.at) >= len(p.fn.sites) {
			continue
		}
		pos := p.fn.sites[p.at].pos
		if !own(pos) {
			continue
		}
		from, width := m.span(pos)
		at := r.Fset.PositionFor(from, false)
		if !f.Position.IsValid() {
			f.Position, f.Width = at, width
		}
		if len(f.Trace) == most {
			f.Trace = append(f.Trace, document.Frame{Function: "further calls"})
			break
		}
		f.Trace = append(f.Trace, document.Frame{Function: p.fn.name, Position: at})
	}
	if !f.Position.IsValid() {
		f.Position, f.Width = r.Fset.PositionFor(r.File.Package, false), 1
	}
	f.Values = m.values(u)
}
