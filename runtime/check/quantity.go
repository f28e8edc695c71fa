package check

import (
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
)

// bare refuses a number without a unit where a statement or an expression means a
// quantity. Go would take it in the unit that quantities are held in: 300 for 300 m.
// A number may multiply or divide a quantity, and 0 is the same in any unit.
func (c *checker) bare(n ast.Node) {
	switch n := n.(type) {
	case *ast.CallExpr:
		if !c.info.Types[n.Fun].IsType() {
			c.quantities(n.Args...)
		}
	case *ast.CompositeLit:
		for _, e := range n.Elts {
			if kv, ok := e.(*ast.KeyValueExpr); ok {
				e = kv.Value
			}
			c.quantities(e)
		}
	case *ast.AssignStmt:
		if n.Tok != token.MUL_ASSIGN && n.Tok != token.QUO_ASSIGN {
			c.quantities(n.Rhs...)
		}
	case *ast.ValueSpec:
		c.quantities(n.Values...)
	case *ast.ReturnStmt:
		c.quantities(n.Results...)
	case *ast.BinaryExpr:
		// Numbers among themselves are judged where the whole of them is used.
		if n.Op != token.MUL && n.Op != token.QUO && c.number(n.X) != c.number(n.Y) {
			c.quantities(n.X, n.Y)
		}
	}
}

// quantities refuses those of some expressions that are numbers and become
// quantities.
func (c *checker) quantities(values ...ast.Expr) {
	for _, e := range values {
		tv := c.info.Types[e]
		if tv.Value == nil || !c.number(e) {
			continue
		}
		quantity := types.TypeString(tv.Type, (*types.Package).Name)
		if unit := units[quantity]; unit != "" && constant.Sign(tv.Value) != 0 {
			number := types.ExprString(e)
			c.at(e, Reason{number + " has no unit and is meant as " + quantity, "write " + number + "*" + unit + ", or another unit"})
		}
	}
}

// number tells whether an expression is made of constants without a type alone.
func (c *checker) number(e ast.Expr) bool {
	switch e := ast.Unparen(e).(type) {
	case *ast.BasicLit:
		return true
	case *ast.UnaryExpr:
		return c.number(e.X)
	case *ast.BinaryExpr:
		return c.number(e.X) && c.number(e.Y)
	case *ast.Ident:
		return c.untyped(e)
	case *ast.SelectorExpr:
		return c.untyped(e.Sel)
	}
	return false
}

func (c *checker) untyped(id *ast.Ident) bool {
	k, ok := c.info.Uses[id].(*types.Const)
	if !ok {
		return false
	}
	b, ok := k.Type().(*types.Basic)
	return ok && b.Info()&types.IsUntyped != 0
}
