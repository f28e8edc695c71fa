package lower

import (
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
)

// mark is a statement that does nothing and leaves its place in the program: a
// loop may hold nothing else that has one, as in for {}. The variable it declares
// costs nothing, since nothing reads it.
func (o *orderer) mark(at ast.Node) ast.Stmt {
	zero := &ast.BasicLit{ValuePos: at.Pos(), Kind: token.INT, Value: "0"}
	o.info.Types[zero] = types.TypeAndValue{Type: types.Typ[types.Int], Value: constant.MakeInt64(0)}
	def, _ := o.variable(at, types.Typ[types.Int])
	return &ast.AssignStmt{Lhs: []ast.Expr{def}, TokPos: at.Pos(), Tok: token.DEFINE, Rhs: []ast.Expr{zero}}
}

// markLoop has every turn of a loop pass by the loop's place.
func (o *orderer) markLoop(loop ast.Stmt, body *ast.BlockStmt) {
	body.List = append([]ast.Stmt{o.mark(loop)}, body.List...)
}
