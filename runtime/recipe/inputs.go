package recipe

import (
	"go/ast"
	"go/token"
	"path"
	"strconv"
)

// inputPackage is the package whose functions declare inputs.
const inputPackage = "lapwright/stdlib/input"

// An Input is a declaration of an input found in the text of a recipe.
type Input struct {
	Name     string // as given; "" where it is not a literal and only a run can tell
	Function string // of package input: "Length"
	At       token.Pos
}

// Inputs lists the calls of package input that declare an input, in the order of
// the file. The first three arguments of such a call are the input's name, its
// value and what it is about; calls with fewer read data files.
//
// It knows no types: a local variable that hides the package's name can
// deceive it.
func (r *Recipe) Inputs() []Input {
	name, dot := "", false
	for _, imp := range r.File.Imports {
		if p, err := strconv.Unquote(imp.Path.Value); err != nil || p != inputPackage {
			continue
		}
		switch {
		case imp.Name == nil:
			name = path.Base(inputPackage)
		case imp.Name.Name == ".":
			dot = true
		default:
			name = imp.Name.Name
		}
	}
	if name == "" && !dot {
		return nil
	}
	var inputs []Input
	ast.Inspect(r.File, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok || len(call.Args) < 3 {
			return true
		}
		var function string
		switch f := call.Fun.(type) {
		case *ast.SelectorExpr:
			if pkg, ok := f.X.(*ast.Ident); !ok || pkg.Name != name {
				return true
			}
			function = f.Sel.Name
		case *ast.Ident:
			// Under a dot import only the file's own names can be ruled out.
			if !dot || !f.IsExported() || declares(r.File, f.Name) {
				return true
			}
			function = f.Name
		default:
			return true
		}
		in := Input{Function: function, At: call.Pos()}
		if lit, ok := call.Args[0].(*ast.BasicLit); ok && lit.Kind == token.STRING {
			in.Name, _ = strconv.Unquote(lit.Value)
		} else if !ok && function != "" && dot {
			return true // likely a call of another dot-imported package
		}
		inputs = append(inputs, in)
		return true
	})
	return inputs
}
