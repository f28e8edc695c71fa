package check

import (
	"cmp"
	"go/ast"
	"go/types"
	"slices"
	"strings"

	"golang.org/x/tools/go/ast/astutil"

	"lapwright/stdlib/host"
)

// nearestPackage offers a listed package for a path that is not listed.
func nearestPackage(path string) string {
	var all []string
	for _, p := range Packages {
		all = append(all, p.Path)
	}
	for _, p := range all {
		if p != path && base(p) == base(path) {
			return "did you mean " + p + "?"
		}
	}
	return didYouMean(path, all)
}

// didYouMean offers the nearest of the names, or nothing if none is near.
func didYouMean(name string, names []string) string {
	near := host.Nearest(name, slices.Sorted(slices.Values(names)))
	if near == "" || near == name {
		return ""
	}
	return "did you mean " + near + "?"
}

// point says how many bytes an error of the type checker means, and what name
// may have been meant if it is about one.
func (c *checker) point(err types.Error) (width int, hint string) {
	path, _ := astutil.PathEnclosingInterval(c.recipe.File, err.Pos, err.Pos)
	if len(path) == 0 {
		return 1, ""
	}
	id, ok := path[0].(*ast.Ident)
	if !ok {
		if lit, ok := path[0].(*ast.BasicLit); ok && lit.Pos() == err.Pos {
			return len(strings.SplitN(lit.Value, "\n", 2)[0]), ""
		}
		return 1, ""
	}
	width = len(id.Name)
	if !strings.Contains(err.Msg, "undefined") && !strings.HasPrefix(err.Msg, "unknown field") {
		return width, ""
	}
	if strings.Contains(err.Msg, "but does have") {
		return width, "" // the type checker has offered a name itself
	}
	if sel, ok := path[1].(*ast.SelectorExpr); ok && sel.Sel == id {
		return width, didYouMean(id.Name, c.members(sel.X))
	}
	if strings.HasPrefix(err.Msg, "unknown field") {
		for _, n := range path {
			if lit, ok := n.(*ast.CompositeLit); ok {
				return width, didYouMean(id.Name, fields(c.info.TypeOf(lit)))
			}
		}
		return width, ""
	}
	return width, c.undefined(id, path[1])
}

// members lists what can be selected from x.
func (c *checker) members(x ast.Expr) (names []string) {
	if id, ok := x.(*ast.Ident); ok {
		if pkg, ok := c.info.Uses[id].(*types.PkgName); ok {
			for _, n := range pkg.Imported().Scope().Names() {
				if ast.IsExported(n) {
					names = append(names, n)
				}
			}
			return names
		}
	}
	t := c.info.TypeOf(x)
	if t == nil {
		return nil
	}
	names = fields(t)
	set := types.NewMethodSet(t)
	if _, ok := t.Underlying().(*types.Pointer); !ok && !types.IsInterface(t) {
		set = types.NewMethodSet(types.NewPointer(t))
	}
	for i := range set.Len() {
		names = append(names, set.At(i).Obj().Name())
	}
	return slices.DeleteFunc(names, func(n string) bool { return n == "_" })
}

// fields lists the fields of a struct or of what a pointer to a struct points to.
func fields(t types.Type) (names []string) {
	if t == nil {
		return nil
	}
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	if s, ok := t.Underlying().(*types.Struct); ok {
		for f := range s.Fields() {
			names = append(names, f.Name())
		}
	}
	return names
}

// visible lists the names that could stand at an identifier.
func (c *checker) visible(id *ast.Ident) (names []string) {
	if c.pkg == nil {
		return nil
	}
	for s := c.pkg.Scope().Innermost(id.Pos()); s != nil; s = s.Parent() {
		for _, n := range s.Names() {
			if o := s.Lookup(n); s == types.Universe || !o.Pos().IsValid() || o.Pos() < id.Pos() || o.Parent() == c.pkg.Scope() {
				names = append(names, n)
			}
		}
	}
	slices.SortFunc(names, cmp.Compare)
	return slices.Compact(names)
}
