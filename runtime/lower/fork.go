package lower

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"

	"golang.org/x/tools/go/types/typeutil"

	"lapwright/runtime/check"
)

// forks finds the calls of append after which the slice that was appended to may
// still be used as it was before, by the place of their parenthesis:
//
//	b := append(a, 1); b[0] = 2; f(a)
//	b := a; a = append(a, 1); f(b)
//
// Whether the two then share their elements hangs on the room behind a, and how much
// of it append gives a small slice is the compiler's choice. Where a function returns
// append(a, 1) of its parameter a, what its callers do with theirs counts.
func forks(c *check.Checked) map[token.Pos]bool {
	f := &forker{
		info: c.Info, mentions: make(map[*types.Var][]mention), copies: make(map[*types.Var][]token.Pos),
		calls: make(map[*types.Func][]*site), uses: make(map[*types.Func]int), asked: make(map[*types.Func]bool),
	}
	ast.PreorderStack(c.Recipe.File, nil, func(n ast.Node, stack []ast.Node) bool {
		switch n := n.(type) {
		case *ast.Ident:
			if v, ok := f.info.ObjectOf(n).(*types.Var); ok {
				f.mentions[v] = append(f.mentions[v], mention{n.Pos(), function(stack)})
			}
			if fn, ok := f.info.Uses[n].(*types.Func); ok {
				f.uses[fn.Origin()]++
			}
		case *ast.CallExpr:
			if fn := typeutil.StaticCallee(f.info, n); fn != nil {
				f.calls[fn] = append(f.calls[fn], &site{n, slices.Clone(stack)})
			}
		case *ast.AssignStmt:
			if len(n.Lhs) == len(n.Rhs) {
				f.copied(n.Rhs)
			}
		case *ast.ValueSpec:
			f.copied(n.Values)
		}
		return true
	})
	found := make(map[token.Pos]bool)
	ast.PreorderStack(c.Recipe.File, nil, func(n ast.Node, stack []ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok && f.isAppend(call) && f.isFork(call, stack) {
			found[call.Lparen] = true
		}
		return true
	})
	return found
}

// A forker knows where each variable of a file is mentioned and copied.
type forker struct {
	info     *types.Info
	mentions map[*types.Var][]mention
	copies   map[*types.Var][]token.Pos // where a variable as a whole is assigned to another
	calls    map[*types.Func][]*site
	uses     map[*types.Func]int  // with those that are no calls
	asked    map[*types.Func]bool // of which the callers are being looked at
}

// A site is a call and what is around it.
type site struct {
	call  *ast.CallExpr
	stack []ast.Node
}

type mention struct {
	at token.Pos
	in ast.Node // the innermost function
}

func function(stack []ast.Node) (in ast.Node) {
	for _, n := range stack {
		switch n.(type) {
		case *ast.FuncDecl, *ast.FuncLit:
			in = n
		}
	}
	return in
}

func (f *forker) copied(values []ast.Expr) {
	for _, e := range values {
		if v := f.variable(e); v != nil {
			f.copies[v] = append(f.copies[v], e.Pos())
		}
	}
}

// variable is the variable that an expression names, or nil.
func (f *forker) variable(e ast.Expr) *types.Var {
	id, ok := ast.Unparen(e).(*ast.Ident)
	if !ok {
		return nil
	}
	v, _ := f.info.Uses[id].(*types.Var)
	return v
}

func (f *forker) isAppend(call *ast.CallExpr) bool {
	return len(call.Args) > 1 && typeutil.Callee(f.info, call) == types.Universe.Lookup("append")
}

func (f *forker) isFork(call *ast.CallExpr, stack []ast.Node) bool {
	return f.leaves(ast.Unparen(call.Args[0]), call, stack)
}

// leaves tells whether a slice may still be used after a call made a longer one of it.
func (f *forker) leaves(base ast.Expr, call *ast.CallExpr, stack []ast.Node) bool {
	switch base.(type) {
	case *ast.Ident, *ast.SelectorExpr, *ast.IndexExpr, *ast.StarExpr:
	default:
		return false // nothing else holds the slice, or its room is used already
	}
	v := f.variable(base)
	if v == nil {
		return !f.putBack(base, call, stack)
	}
	if f.putBack(base, call, stack) {
		return f.isCopied(v, call, stack)
	}
	later := false
	for _, m := range f.mentions[v] {
		if m.in != function(stack) && v.Kind() == types.LocalVar {
			return true // a function within the function may be called at any time
		}
		later = later || m.at >= call.End()
	}
	// The caller of the function may use what it gave.
	return v.Kind() != types.LocalVar || later || comesAgain(v, stack) != nil
}

// isCopied tells whether the run may come from where a variable is copied to a call
// without declaring the variable anew.
func (f *forker) isCopied(v *types.Var, call *ast.CallExpr, stack []ast.Node) bool {
	before := call.Pos()
	if loop := comesAgain(v, stack); loop != nil {
		before = loop.End()
	}
	return slices.ContainsFunc(f.copies[v], func(at token.Pos) bool { return at < before })
}

// comesAgain is the outermost loop that does not declare a variable, or nil.
func comesAgain(v *types.Var, stack []ast.Node) ast.Node {
	for _, n := range stack {
		switch n.(type) {
		case *ast.ForStmt, *ast.RangeStmt:
			if v.Pos() < n.Pos() || n.End() <= v.Pos() {
				return n
			}
		}
	}
	return nil
}

// putBack tells whether what a call makes of a slice takes the slice's place, or
// leaves the function.
func (f *forker) putBack(base ast.Expr, made ast.Expr, stack []ast.Node) bool {
	for i := len(stack) - 1; i >= 0; i-- {
		switch p := stack[i].(type) {
		case *ast.ParenExpr:
			made = p
		case *ast.CallExpr:
			if len(p.Args) == 0 || p.Args[0] != made || !f.isAppend(p) && !f.info.Types[p.Fun].IsType() {
				return false
			}
			made = p
		case *ast.AssignStmt:
			for j, r := range p.Rhs {
				if r == made && len(p.Lhs) == len(p.Rhs) {
					return types.ExprString(p.Lhs[j]) == types.ExprString(base)
				}
			}
			return false
		case *ast.ReturnStmt:
			v := f.variable(base)
			if v == nil || f.mentions[v][0].in != function(stack) { // where it is declared
				return false
			}
			decl, ok := function(stack).(*ast.FuncDecl)
			if v.Kind() != types.ParamVar && v.Kind() != types.RecvVar || !ok {
				return true
			}
			return !f.leftByCallers(f.info.Defs[decl.Name].(*types.Func), v)
		default:
			return false
		}
	}
	return false
}

// leftByCallers tells whether a caller of a function may still use what it gave as
// parameter v, of which the function returns a longer slice.
func (f *forker) leftByCallers(fn *types.Func, v *types.Var) bool {
	if f.asked[fn] {
		return false // a call of the function by itself, which is being looked at
	}
	f.asked[fn] = true
	defer delete(f.asked, fn)
	if len(f.calls[fn]) < f.uses[fn] {
		return true // it is used as a value
	}
	index := slices.Index(slices.Collect(fn.Signature().Params().Variables()), v)
	return slices.ContainsFunc(f.calls[fn], func(s *site) bool {
		if index >= 0 {
			return index < len(s.call.Args) && f.leaves(ast.Unparen(s.call.Args[index]), s.call, s.stack)
		}
		receiver, ok := ast.Unparen(s.call.Fun).(*ast.SelectorExpr)
		return ok && f.leaves(ast.Unparen(receiver.X), s.call, s.stack)
	})
}
