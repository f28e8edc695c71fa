package check

import (
	"go/ast"
	"go/token"
	"go/types"

	"golang.org/x/tools/go/ast/astutil"
	"golang.org/x/tools/go/types/typeutil"
)

var (
	goroutines = Reason{"a recipe has no goroutines: it runs one statement after the other", "call the function directly"}
	noBody     = Reason{"missing function body", "a recipe's functions are written in Go: give it a body in braces"}
	channels   = Reason{"a recipe has no channels: it runs one statement after the other", "collect the values in a slice"}
	mapOrder   = Reason{"ranging over a map takes its elements in an order of chance", "range over its sorted keys: for _, k := range slices.Sorted(maps.Keys(m))"}
	unsorted   = Reason{"the order of a map's elements is chance", "sort them at once: slices.Sorted(maps.Keys(m))"}
	capacity   = Reason{"how much room append gives a slice that began empty is the compiler's choice", "make the slice with the room it needs: make([]T, 0, n)"}
)

// ordered are the functions of packages maps and slices that make the order of
// a map's elements not matter. Sorting by a function is not among them: elements
// that it holds equal stay in an order of chance.
var ordered = map[string]bool{"slices.Sorted": true, "maps.Collect": true, "maps.Insert": true}

// limits refuses what the language of recipes leaves out of Go.
func (c *checker) limits() {
	var allowed []ast.Expr // unsorted sequences that are sorted at once
	grown := c.grown()
	astutil.Apply(c.recipe.File, func(at *astutil.Cursor) bool {
		switch n := at.Node().(type) {
		case *ast.FuncDecl:
			if n.Body == nil {
				c.at(n.Name, noBody)
			}
		case *ast.GoStmt:
			c.at(n, goroutines)
			return false
		case *ast.SelectStmt:
			c.fault(n.Pos(), len("select"), channels.Message, channels.Hint)
			return false
		case *ast.SendStmt:
			c.at(n, channels)
			return false
		case *ast.ChanType:
			c.at(n, channels)
			return false
		case *ast.UnaryExpr:
			if n.Op == token.ARROW {
				c.at(n, channels)
			}
		case *ast.RangeStmt:
			if t := c.info.TypeOf(n.X); t != nil {
				if _, ok := core(t).(*types.Map); ok {
					c.at(n.X, mapOrder)
				}
			}
		case *ast.CallExpr:
			name := c.called(n)
			if ordered[name] {
				for _, a := range n.Args {
					allowed = append(allowed, ast.Unparen(a))
				}
			}
			c.prints(name, n)
			c.room(n, grown)
		case *ast.Ident:
			c.name(n, at.Parent(), &allowed)
		}
		c.bare(at.Node())
		return true
	}, nil)
}

// core is the one underlying type of a type or of all types of a type set.
func core(t types.Type) types.Type {
	p, ok := types.Unalias(t).(*types.TypeParam)
	if !ok {
		return t.Underlying()
	}
	iface := p.Underlying().(*types.Interface)
	for e := range iface.EmbeddedTypes() {
		if u, ok := types.Unalias(e).(*types.Union); ok && u.Len() > 0 {
			return u.Term(0).Type().Underlying()
		}
		return e.Underlying()
	}
	return iface
}

// called names the function of a listed package that a call calls, as in
// "slices.Sorted", or gives "".
func (c *checker) called(call *ast.CallExpr) string {
	f := typeutil.StaticCallee(c.info, call)
	if f == nil || f.Pkg() == nil || f.Signature().Recv() != nil {
		return ""
	}
	return f.Pkg().Path() + "." + f.Name()
}

// name refuses names of listed packages that a recipe may not use.
func (c *checker) name(id *ast.Ident, parent ast.Node, allowed *[]ast.Expr) {
	obj := c.info.Uses[id]
	if obj == nil || obj.Pkg() == nil || obj.Pkg() == c.pkg || obj.Parent() != obj.Pkg().Scope() {
		return
	}
	listed := named(obj.Pkg().Path())
	if listed == nil {
		return
	}
	if reason, ok := listed.Refused[id.Name]; ok {
		c.at(id, Reason{obj.Pkg().Name() + "." + id.Name + ": " + reason.Message, reason.Hint})
		return
	}
	if listed.Path == "maps" && (id.Name == "Keys" || id.Name == "Values" || id.Name == "All") {
		for _, a := range *allowed {
			if call, ok := a.(*ast.CallExpr); ok && call.Fun.Pos() <= id.Pos() && id.End() <= call.Fun.End() {
				return
			}
		}
		c.at(id, Reason{"maps." + id.Name + ": " + unsorted.Message, unsorted.Hint})
	}
}

// grown finds the slice variables within functions that begin without room and
// grow by append. The compiler may give such a slice its first room on the stack,
// more of it than a slice has that it keeps elsewhere.
func (c *checker) grown() map[*types.Var]bool {
	appended, empty := make(map[*types.Var]bool), make(map[*types.Var]bool)
	variable := func(e ast.Expr) *types.Var {
		id, ok := ast.Unparen(e).(*ast.Ident)
		if !ok {
			return nil
		}
		v, _ := c.info.ObjectOf(id).(*types.Var)
		return v
	}
	ast.Inspect(c.recipe.File, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ValueSpec:
			for i, id := range n.Names {
				if v := variable(id); v != nil && (len(n.Values) == 0 || i < len(n.Values) && c.begins(n.Values[i])) {
					empty[v] = true
				}
			}
		case *ast.AssignStmt:
			for i, x := range n.Lhs {
				v := variable(x)
				if v == nil || len(n.Rhs) != len(n.Lhs) {
					continue
				}
				if c.begins(n.Rhs[i]) {
					empty[v] = true
				}
				if call, ok := n.Rhs[i].(*ast.CallExpr); ok && c.builtin(call) == "append" {
					appended[v] = true
				}
			}
		}
		return true
	})
	for v := range appended {
		if !empty[v] || c.pkg == nil || v.Parent() == c.pkg.Scope() {
			delete(appended, v)
		}
	}
	return appended
}

// begins tells whether an expression is a slice without room, or append to one.
func (c *checker) begins(e ast.Expr) bool {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ident:
		return c.info.Types[e].IsNil()
	case *ast.CompositeLit:
		return len(e.Elts) == 0
	case *ast.CallExpr:
		if c.info.Types[e.Fun].IsType() && len(e.Args) == 1 {
			return c.begins(e.Args[0])
		}
		return c.builtin(e) == "append" && len(e.Args) > 0 && c.begins(e.Args[0])
	}
	return false
}

// builtin names the builtin that a call calls, or gives "".
func (c *checker) builtin(call *ast.CallExpr) string {
	if b, ok := typeutil.Callee(c.info, call).(*types.Builtin); ok {
		return b.Name()
	}
	return ""
}

// room refuses to ask for the capacity of a slice that is the compiler's choice.
func (c *checker) room(call *ast.CallExpr, grown map[*types.Var]bool) {
	if c.builtin(call) != "cap" || len(call.Args) != 1 {
		return
	}
	arg := ast.Unparen(call.Args[0])
	if id, ok := arg.(*ast.Ident); ok {
		if v, ok := c.info.Uses[id].(*types.Var); ok && grown[v] {
			c.at(call, capacity)
		}
	} else if c.begins(arg) {
		c.at(call, capacity)
	}
}
