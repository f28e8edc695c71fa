package lower

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strconv"

	"golang.org/x/tools/go/ast/astutil"

	"lapwright/runtime/check"
	"lapwright/stdlib/document"
)

// The Go specification fixes the order of calls within a statement, but not when
// the other operands are read. The compiler first does what stands alone (calls,
// && and ||, append, slicing, assertions …), each into a temporary, and then
// reads all the rest; the builder of package ssa reads everything from left to
// right. So where an operand stands before a call that could change it, or whose
// effects would be seen before the operand fails, the calls are taken out of the
// statement:
//
//	x + f()            t := f(); x + t
//	g(x, f())          t := f(); g(x, t)
//	a[i] = f()         t := f(); a[i] = t
//	return x, f()      t := f(); return x, t
//	for x < f() { … }  for { t := f(); if !(x < t) { break }; … }
//	g(x, a && f())     t := a; if t { t = f() }; g(x, t)
//
// The compiler's rules are those of cmd/compile/internal/walk/order.go.

// An orderer puts the functions of one file into the compiler's order.
type orderer struct {
	fset      *token.FileSet
	pkg       *types.Package
	info      *types.Info
	shared    map[*types.Var]bool                  // variables that a call could change or that stand at file level
	addressed map[*types.Var]bool                  // variables of which an address is taken
	changed   map[*types.Var]bool                  // variables that a function literal assigns from outside it
	returns   map[*ast.ReturnStmt]*types.Signature // of the function that returns
	count     int
	faults    []document.Fault
}

// order rewrites the file in place, marks its loops, and tells info of what it
// adds. The faults are statements of which the order is the compiler's choice.
func order(c *check.Checked) []document.Fault {
	o := &orderer{
		fset: c.Recipe.Fset, pkg: c.Package, info: c.Info,
		shared: make(map[*types.Var]bool), addressed: make(map[*types.Var]bool), changed: make(map[*types.Var]bool),
		returns: make(map[*ast.ReturnStmt]*types.Signature),
	}
	o.findShared(c.Recipe.File)
	astutil.Apply(c.Recipe.File, nil, func(at *astutil.Cursor) bool {
		switch n := at.Node().(type) {
		case *ast.ForStmt:
			o.markLoop(n, n.Body)
		case *ast.RangeStmt:
			o.lengthOnly(n)
			o.markLoop(n, n.Body)
		case *ast.BlockStmt:
			n.List = o.list(n.List)
		case *ast.CaseClause:
			n.Body = o.list(n.Body)
		}
		return true
	})
	return o.faults
}

// findShared finds the variables that a call within a statement could change:
// those of the file, those that a function literal uses from outside it, and
// those whose address is taken.
func (o *orderer) findShared(file *ast.File) {
	owner := make(map[*types.Var]ast.Node)
	var functions []ast.Node
	assigned := func(e ast.Expr) {
		if v := o.base(e); v != nil && owner[v] != nil && owner[v] != functions[len(functions)-1] {
			o.changed[v] = true
		}
	}
	astutil.Apply(file, func(at *astutil.Cursor) bool {
		switch n := at.Node().(type) {
		case *ast.FuncDecl, *ast.FuncLit:
			functions = append(functions, n)
		case *ast.Ident:
			v, ok := o.info.ObjectOf(n).(*types.Var)
			if !ok || v.IsField() {
				break
			}
			var in ast.Node
			if len(functions) > 0 {
				in = functions[len(functions)-1]
			}
			if first, ok := owner[v]; !ok {
				owner[v] = in
			} else if first != in {
				o.shared[v] = true
			}
			if v.Parent() == o.pkg.Scope() {
				o.shared[v] = true
			}
		case *ast.UnaryExpr:
			if n.Op == token.AND {
				o.share(n.X)
			}
		case *ast.AssignStmt:
			for _, x := range n.Lhs {
				assigned(x)
			}
		case *ast.IncDecStmt:
			assigned(n.X)
		case *ast.ReturnStmt:
			switch f := functions[len(functions)-1].(type) {
			case *ast.FuncDecl:
				o.returns[n] = o.info.Defs[f.Name].Type().(*types.Signature)
			case *ast.FuncLit:
				o.returns[n] = o.info.TypeOf(f).Underlying().(*types.Signature)
			}
		case *ast.SliceExpr:
			if _, ok := o.info.TypeOf(n.X).Underlying().(*types.Array); ok {
				o.share(n.X)
			}
		case *ast.SelectorExpr:
			if s, ok := o.info.Selections[n]; ok && s.Kind() == types.MethodVal && isPointer(s.Obj().(*types.Func).Signature().Recv().Type()) {
				o.share(n.X)
			}
		}
		return true
	}, func(at *astutil.Cursor) bool {
		switch at.Node().(type) {
		case *ast.FuncDecl, *ast.FuncLit:
			functions = functions[:len(functions)-1]
		}
		return true
	})
}

// share notes the variable an expression is part of, whose address is taken.
func (o *orderer) share(e ast.Expr) {
	if v := o.base(e); v != nil {
		o.shared[v], o.addressed[v] = true, true
	}
}

// base is the variable an expression is part of, or nil.
func (o *orderer) base(e ast.Expr) *types.Var {
	for {
		switch x := e.(type) {
		case *ast.ParenExpr:
			e = x.X
		case *ast.SelectorExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.Ident:
			v, _ := o.info.ObjectOf(x).(*types.Var)
			return v
		default:
			return nil
		}
	}
}

// lengthOnly has a range over an array count without looking at the array where
// its elements are not asked for: the language does not evaluate it then.
func (o *orderer) lengthOnly(s *ast.RangeStmt) {
	if s.Value != nil && !isBlank(s.Value) {
		return
	}
	array, ok := o.info.TypeOf(s.X).Underlying().(*types.Array)
	if !ok {
		return
	}
	calls := false
	ast.Inspect(s.X, func(n ast.Node) bool {
		if c, ok := n.(*ast.CallExpr); ok && !o.isConversion(c) {
			calls = true
		}
		return !calls
	})
	if calls {
		return
	}
	// A range over a pointer to an array does not follow the pointer.
	null := &ast.Ident{NamePos: s.X.Pos(), Name: "nil"}
	o.info.Uses[null] = types.Universe.Lookup("nil")
	o.info.Types[null] = types.TypeAndValue{Type: types.NewPointer(array)}
	s.X = null
}

func isBlank(e ast.Expr) bool {
	id, ok := e.(*ast.Ident)
	return ok && id.Name == "_"
}

func (o *orderer) isConversion(c *ast.CallExpr) bool { return o.info.Types[c.Fun].IsType() }

func isPointer(t types.Type) bool {
	_, ok := t.Underlying().(*types.Pointer)
	return ok
}

// list puts the statements of a block into order.
func (o *orderer) list(list []ast.Stmt) []ast.Stmt {
	out := make([]ast.Stmt, 0, len(list))
	for _, s := range list {
		out = append(out, o.statement(s)...)
	}
	return out
}

// statement puts one statement into order: what must come before it goes before
// it.
func (o *orderer) statement(s ast.Stmt) []ast.Stmt {
	var before []ast.Stmt
	switch s := s.(type) {
	case *ast.LabeledStmt:
		switch s.Stmt.(type) {
		case *ast.ForStmt, *ast.RangeStmt, *ast.SwitchStmt, *ast.TypeSwitchStmt:
			if f, ok := s.Stmt.(*ast.ForStmt); ok {
				o.loop(f)
			}
			return []ast.Stmt{s}
		}
		list := o.statement(s.Stmt)
		s.Stmt = list[0]
		return append([]ast.Stmt{s}, list[1:]...)
	case *ast.BranchStmt:
		if s.Tok == token.GOTO {
			before = append(before, o.mark(s))
		}
	case *ast.ExprStmt:
		if o.hazard(s.X) {
			s.X = o.root(s.X, &before)
		}
	case *ast.AssignStmt:
		if o.hazard(slices.Concat(s.Lhs, s.Rhs)...) {
			if s.Tok != token.DEFINE {
				for i := range s.Lhs {
					s.Lhs[i] = o.parts(s.Lhs[i], &before)
				}
			}
			for i := range s.Rhs {
				if len(s.Rhs) == len(s.Lhs) {
					o.refuseLate(s.Rhs[i], o.info.TypeOf(s.Lhs[i]), s.Rhs[i+1:])
				}
				if len(s.Rhs) == 1 && o.isTuple(s.Rhs[0]) {
					s.Rhs[i] = o.root(s.Rhs[i], &before)
				} else {
					s.Rhs[i] = o.take(s.Rhs[i], &before)
				}
			}
		}
	case *ast.ReturnStmt:
		if o.hazard(s.Results...) {
			for i := range s.Results {
				if sig := o.returns[s]; len(s.Results) == sig.Results().Len() {
					o.refuseLate(s.Results[i], sig.Results().At(i).Type(), s.Results[i+1:])
				}
				s.Results[i] = o.take(s.Results[i], &before)
			}
		}
	case *ast.DeferStmt:
		if o.hazard(s.Call) {
			s.Call = o.root(s.Call, &before).(*ast.CallExpr)
		}
	case *ast.DeclStmt:
		d, ok := s.Decl.(*ast.GenDecl)
		if !ok || d.Tok != token.VAR || len(d.Specs) != 1 {
			break
		}
		spec := d.Specs[0].(*ast.ValueSpec)
		if o.hazard(spec.Values...) && !(len(spec.Values) == 1 && o.isTuple(spec.Values[0])) {
			for i := range spec.Values {
				o.refuseLate(spec.Values[i], o.info.TypeOf(spec.Names[i]), spec.Values[i+1:])
				spec.Values[i] = o.take(spec.Values[i], &before)
			}
		}
	case *ast.IfStmt:
		return o.branch(s)
	case *ast.ForStmt:
		o.loop(s)
	case *ast.RangeStmt:
		if o.hazard(s.X) {
			s.X = o.take(s.X, &before)
		}
	case *ast.SwitchStmt:
		if s.Tag != nil && o.hazard(s.Tag) {
			if s.Init != nil {
				before = append(before, o.statement(s.Init)...)
				s.Init = nil
			}
			s.Tag = o.take(s.Tag, &before)
			return []ast.Stmt{block(s, append(before, s))}
		}
	}
	return append(before, s)
}

// block is a block of its own around statements made of s.
func block(s ast.Node, list []ast.Stmt) *ast.BlockStmt {
	return &ast.BlockStmt{Lbrace: s.Pos(), List: list, Rbrace: s.End()}
}

// branch puts the condition of an if statement into order.
func (o *orderer) branch(s *ast.IfStmt) []ast.Stmt {
	if e, ok := s.Else.(*ast.IfStmt); ok {
		if list := o.branch(e); len(list) != 1 || list[0] != ast.Stmt(e) {
			s.Else = block(e, list)
		}
	}
	if !o.hazard(s.Cond) {
		return []ast.Stmt{s}
	}
	var before []ast.Stmt
	if s.Init != nil {
		before = append(before, o.statement(s.Init)...)
		s.Init = nil
	}
	s.Cond = o.take(s.Cond, &before)
	return []ast.Stmt{block(s, append(before, s))}
}

// loop puts the condition of a for statement into order.
func (o *orderer) loop(s *ast.ForStmt) {
	if s.Cond == nil || !o.hazard(s.Cond) {
		return
	}
	var before []ast.Stmt
	cond := o.take(s.Cond, &before)
	not := &ast.UnaryExpr{OpPos: s.Cond.Pos(), Op: token.NOT, X: cond}
	o.info.Types[not] = o.info.Types[s.Cond]
	leave := &ast.IfStmt{If: s.Cond.Pos(), Cond: not, Body: block(s.Cond, []ast.Stmt{
		&ast.BranchStmt{TokPos: s.Cond.Pos(), Tok: token.BREAK},
	})}
	s.Cond = nil
	s.Body.List = append(append(before, leave), s.Body.List...)
}

// isTuple tells whether an expression gives several values.
func (o *orderer) isTuple(e ast.Expr) bool {
	_, ok := o.info.TypeOf(e).(*types.Tuple)
	return ok
}

// hazard tells whether the order matters: whether an operand is read, or may
// fail, before a call that a reader of the recipe could notice.
func (o *orderer) hazard(list ...ast.Expr) bool {
	w := &watch{o: o}
	read := false
	for _, e := range list {
		w.walk(e, &read)
	}
	return w.found
}

// A watch looks for a read before a call.
type watch struct {
	o     *orderer
	found bool
}

func (w *watch) walk(e ast.Expr, read *bool) {
	o := w.o
	if tv := o.info.Types[e]; tv.Value != nil || tv.IsType() {
		return
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		w.walk(e.X, read)
	case *ast.Ident:
		if v, ok := o.info.Uses[e].(*types.Var); ok && o.shared[v] {
			*read = true
		}
	case *ast.SelectorExpr:
		if _, ok := o.info.Selections[e]; !ok {
			if _, ok := o.info.Uses[e.Sel].(*types.Var); ok {
				*read = true // a variable of another package
			}
			return
		}
		w.walk(e.X, read)
		if isPointer(o.info.TypeOf(e.X)) {
			*read = true
		}
	case *ast.StarExpr:
		w.walk(e.X, read)
		*read = true
	case *ast.IndexExpr:
		if _, ok := o.info.TypeOf(e.X).Underlying().(*types.Signature); ok {
			return
		}
		w.walk(e.X, read)
		w.walk(e.Index, read)
		*read = true
	case *ast.SliceExpr:
		for _, x := range []ast.Expr{e.X, e.Low, e.High, e.Max} {
			if x != nil {
				w.walk(x, read)
			}
		}
		*read = true
	case *ast.TypeAssertExpr:
		w.walk(e.X, read)
		*read = true
	case *ast.UnaryExpr:
		w.walk(e.X, read)
	case *ast.BinaryExpr:
		w.walk(e.X, read)
		if e.Op == token.LAND || e.Op == token.LOR {
			// The right side is its own order, once the left has chosen it; but
			// a call in it comes after what stands left of the whole.
			inner := *read
			w.walk(e.Y, &inner)
			return
		}
		w.walk(e.Y, read)
		if e.Op == token.QUO || e.Op == token.REM {
			*read = true
		}
	case *ast.KeyValueExpr:
		w.walk(e.Value, read)
	case *ast.CompositeLit:
		for _, x := range e.Elts {
			if kv, ok := x.(*ast.KeyValueExpr); ok {
				if _, isMap := o.info.TypeOf(e).Underlying().(*types.Map); isMap {
					w.walk(kv.Key, read)
				}
				x = kv.Value
			}
			w.walk(x, read)
		}
	case *ast.CallExpr:
		if o.isConversion(e) {
			w.walk(e.Args[0], read)
			return
		}
		inner := false
		w.walk(e.Fun, &inner)
		for _, a := range e.Args {
			w.walk(a, &inner)
		}
		if *read && o.noticeable(e) {
			w.found = true
		}
	}
}

// silent are packages of which no function changes a variable of a recipe or
// writes anything, unless it calls back.
var silent = map[string]bool{
	"math": true, "math/bits": true, "math/cmplx": true, "strings": true, "strconv": true, "unicode": true,
	"unicode/utf8": true, "unicode/utf16": true, "errors": true, "cmp": true, "bytes": true,
	check.Own + "unit": true,
}

// noticeable tells whether a call can change variables, write or fail in a way
// that depends on when it is made.
func (o *orderer) noticeable(call *ast.CallExpr) bool {
	fun := ast.Unparen(call.Fun)
	var id *ast.Ident
	switch f := fun.(type) {
	case *ast.Ident:
		id = f
	case *ast.SelectorExpr:
		id = f.Sel
	default:
		return true
	}
	switch f := o.info.Uses[id].(type) {
	case *types.Builtin:
		switch f.Name() {
		case "copy", "clear", "delete", "recover", "panic":
			return true
		}
		return false
	case *types.Func:
		if f.Pkg() == nil || !silent[f.Pkg().Path()] {
			return true
		}
		for p := range f.Signature().Params().Variables() {
			if _, ok := p.Type().Underlying().(*types.Signature); ok {
				return true
			}
		}
		return false
	}
	return true
}

// take takes an expression apart: what stands alone goes to temporaries, in
// order, and the rest is returned.
func (o *orderer) take(e ast.Expr, before *[]ast.Stmt) ast.Expr {
	if tv := o.info.Types[e]; tv.Value != nil || tv.IsType() || tv.IsVoid() {
		return e
	}
	switch x := e.(type) {
	case *ast.CallExpr:
		if o.isConversion(x) {
			x.Args[0] = o.take(x.Args[0], before)
			return x
		}
		return o.temporary(o.root(x, before), before)
	case *ast.BinaryExpr:
		if x.Op == token.LAND || x.Op == token.LOR {
			return o.logical(x, before)
		}
	case *ast.SliceExpr:
		return o.temporary(o.parts(x, before), before)
	case *ast.TypeAssertExpr:
		if !isPointer(o.info.TypeOf(x)) {
			return o.temporary(o.parts(x, before), before)
		}
	}
	return o.parts(e, before)
}

// root takes apart the operands of a call that itself stays.
func (o *orderer) root(e ast.Expr, before *[]ast.Stmt) ast.Expr {
	call, ok := ast.Unparen(e).(*ast.CallExpr)
	if !ok || o.isConversion(call) {
		return o.parts(e, before)
	}
	call.Fun = o.parts(call.Fun, before)
	if len(call.Args) == 1 && o.isTuple(call.Args[0]) {
		call.Args[0] = o.root(call.Args[0], before)
		return call
	}
	sig, _ := o.info.TypeOf(call.Fun).Underlying().(*types.Signature)
	for i, a := range call.Args {
		if sig != nil && o.boxed(sig, i, call) {
			o.refuseLate(a, types.Universe.Lookup("any").Type(), call.Args[i+1:])
		}
		call.Args[i] = o.take(a, before)
		// A value too big for an interface's word that has no address is copied
		// when its turn comes.
		if sig != nil && o.boxed(sig, i, call) && o.needsCopy(o.info.TypeOf(a)) && !o.info.Types[a].Addressable() {
			call.Args[i] = o.temporary(call.Args[i], before)
		}
	}
	return call
}

// refuseLate refuses an operand that is to become an interface if a later operand
// calls what may change it: the compiler reads it before or after the call as it
// inlines the two.
func (o *orderer) refuseLate(e ast.Expr, as types.Type, later []ast.Expr) {
	v := o.base(e)
	if as == nil || !types.IsInterface(as) || v == nil || !o.changed[v] || o.addressed[v] || !o.needsCopy(o.info.TypeOf(e)) || !o.info.Types[e].Addressable() {
		return
	}
	if !slices.ContainsFunc(later, o.callsRecipe) {
		return
	}
	from, to := o.fset.PositionFor(e.Pos(), false), o.fset.PositionFor(e.End(), false)
	o.faults = append(o.faults, document.Fault{
		Kind:     document.Wrong,
		Message:  "whether " + v.Name() + " is read before or after the call that follows it is the compiler's choice",
		Position: from,
		Width:    max(to.Offset-from.Offset, 1),
		Hint:     "put what the call gives into a variable in a statement before",
	})
}

// refuseLateIn refuses those of a literal's elements that refuseLate does.
func (o *orderer) refuseLateIn(lit *ast.CompositeLit) {
	values := make([]ast.Expr, len(lit.Elts))
	for i, e := range lit.Elts {
		values[i] = e
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			values[i] = kv.Value
		}
	}
	for i, e := range values {
		var as types.Type
		switch t := o.info.TypeOf(lit).Underlying().(type) {
		case *types.Slice:
			as = t.Elem()
		case *types.Array:
			as = t.Elem()
		case *types.Map:
			as = t.Elem()
		case *types.Struct:
			as = t.Field(i).Type()
			if kv, ok := lit.Elts[i].(*ast.KeyValueExpr); ok {
				as = o.info.TypeOf(kv.Key)
			}
		}
		o.refuseLate(e, as, values[i+1:])
	}
}

// callsRecipe tells whether an expression calls a function literal of the recipe, or
// may do so by way of another function.
func (o *orderer) callsRecipe(e ast.Expr) (calls bool) {
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.CallExpr:
			calls = calls || !o.isConversion(n) && !o.callsNone(n)
		}
		return !calls
	})
	return calls
}

// callsNone tells whether a call is of a builtin, or of a declared function that has no
// way to a function literal: neither an operand nor a variable of the file holds one.
func (o *orderer) callsNone(call *ast.CallExpr) bool {
	var id *ast.Ident
	operands := call.Args
	fun := ast.Unparen(call.Fun)
	if x, ok := fun.(*ast.IndexExpr); ok {
		fun = x.X
	}
	switch f := fun.(type) {
	case *ast.Ident:
		id = f
	case *ast.SelectorExpr:
		id = f.Sel
		if o.info.Selections[f] != nil {
			operands = append([]ast.Expr{f.X}, operands...)
		}
	default:
		return false
	}
	switch f := o.info.Uses[id].(type) {
	case *types.Builtin:
		return true
	case *types.Func:
		if slices.ContainsFunc(operands, func(e ast.Expr) bool { return o.holdsFunction(o.info.TypeOf(e), 0) }) {
			return false
		}
		return f.Pkg() != o.pkg || !slices.ContainsFunc(o.pkg.Scope().Names(), func(name string) bool {
			v, ok := o.pkg.Scope().Lookup(name).(*types.Var)
			return ok && o.holdsFunction(v.Type(), 0)
		})
	}
	return false
}

// holdsFunction tells whether a value of the type may lead to a function value of the
// recipe's. Structs of listed packages do not.
func (o *orderer) holdsFunction(t types.Type, depth int) bool {
	const deep = 10
	named, ok := types.Unalias(t).(*types.Named)
	foreign := ok && named.Obj().Pkg() != nil && named.Obj().Pkg() != o.pkg
	switch u := t.Underlying().(type) {
	case *types.Signature, *types.Interface:
		return true
	case *types.Pointer:
		return depth > deep || o.holdsFunction(u.Elem(), depth+1)
	case *types.Slice:
		return depth > deep || o.holdsFunction(u.Elem(), depth+1)
	case *types.Array:
		return depth > deep || o.holdsFunction(u.Elem(), depth+1)
	case *types.Map:
		return depth > deep || o.holdsFunction(u.Key(), depth+1) || o.holdsFunction(u.Elem(), depth+1)
	case *types.Struct:
		for f := range u.Fields() {
			if foreign {
				break
			}
			if depth > deep || o.holdsFunction(f.Type(), depth+1) {
				return true
			}
		}
	}
	return false
}

// boxed tells whether argument i of a call becomes an interface.
func (o *orderer) boxed(sig *types.Signature, i int, call *ast.CallExpr) bool {
	n := sig.Params().Len()
	var t types.Type
	switch {
	case sig.Variadic() && i >= n-1:
		if call.Ellipsis.IsValid() {
			return false
		}
		s, ok := sig.Params().At(n - 1).Type().(*types.Slice)
		if !ok {
			return false
		}
		t = s.Elem()
	case i < n:
		t = sig.Params().At(i).Type()
	default:
		return false
	}
	a := o.info.TypeOf(call.Args[i])
	return types.IsInterface(t) && a != nil && !types.IsInterface(a)
}

// needsCopy tells whether a value is put into an interface by its address.
func (o *orderer) needsCopy(t types.Type) bool {
	switch u := t.Underlying().(type) {
	case *types.Struct, *types.Array:
		return true
	case *types.Basic:
		return u.Info()&(types.IsComplex|types.IsBoolean) != 0 || u.Kind() == types.Int8 || u.Kind() == types.Uint8
	}
	return false
}

// parts takes apart the operands of an expression that itself stays.
func (o *orderer) parts(e ast.Expr, before *[]ast.Stmt) ast.Expr {
	if tv := o.info.Types[e]; tv.Value != nil || tv.IsType() {
		return e
	}
	switch x := e.(type) {
	case *ast.ParenExpr:
		x.X = o.take(x.X, before)
	case *ast.SelectorExpr:
		if _, ok := o.info.Selections[x]; ok {
			x.X = o.take(x.X, before)
		}
	case *ast.StarExpr:
		x.X = o.take(x.X, before)
	case *ast.IndexExpr:
		if _, ok := o.info.TypeOf(x.X).Underlying().(*types.Signature); ok {
			break
		}
		x.X = o.take(x.X, before)
		x.Index = o.take(x.Index, before)
	case *ast.SliceExpr:
		x.X = o.take(x.X, before)
		for _, bound := range []*ast.Expr{&x.Low, &x.High, &x.Max} {
			if *bound != nil {
				*bound = o.take(*bound, before)
			}
		}
	case *ast.TypeAssertExpr:
		x.X = o.take(x.X, before)
	case *ast.UnaryExpr:
		if _, lit := ast.Unparen(x.X).(*ast.CompositeLit); x.Op == token.AND && lit {
			o.parts(ast.Unparen(x.X), before)
			break
		}
		if x.Op == token.AND {
			x.X = o.parts(x.X, before)
			break
		}
		x.X = o.take(x.X, before)
	case *ast.BinaryExpr:
		x.X = o.take(x.X, before)
		x.Y = o.take(x.Y, before)
	case *ast.CompositeLit:
		o.refuseLateIn(x)
		for i, elt := range x.Elts {
			if kv, ok := elt.(*ast.KeyValueExpr); ok {
				if _, isMap := o.info.TypeOf(x).Underlying().(*types.Map); isMap {
					kv.Key = o.take(kv.Key, before)
				}
				kv.Value = o.element(kv.Value, before)
				continue
			}
			x.Elts[i] = o.element(elt, before)
		}
	case *ast.CallExpr:
		return o.root(e, before)
	}
	return e
}

// element takes apart an element of a composite literal. One that is a literal
// without its type cannot stand elsewhere.
func (o *orderer) element(e ast.Expr, before *[]ast.Stmt) ast.Expr {
	if lit, ok := e.(*ast.CompositeLit); ok {
		return o.parts(lit, before)
	}
	return o.take(e, before)
}

// temporary puts a value aside and returns its name.
func (o *orderer) temporary(e ast.Expr, before *[]ast.Stmt) ast.Expr {
	tv := o.info.Types[e]
	if tv.Type == nil || o.isTuple(e) {
		return e
	}
	t := types.Default(tv.Type)
	def, use := o.variable(e, t)
	*before = append(*before, &ast.AssignStmt{Lhs: []ast.Expr{def}, TokPos: e.Pos(), Tok: token.DEFINE, Rhs: []ast.Expr{e}})
	tv.Type = t
	o.info.Types[use] = tv
	return use
}

// variable makes a new variable: the identifiers that declare and use it.
func (o *orderer) variable(e ast.Node, t types.Type) (def, use *ast.Ident) {
	o.count++
	v := types.NewVar(e.Pos(), o.pkg, "·"+strconv.Itoa(o.count), t)
	def = &ast.Ident{NamePos: e.Pos(), Name: v.Name()}
	use = &ast.Ident{NamePos: e.Pos(), Name: v.Name()}
	o.info.Defs[def] = v
	o.info.Uses[use] = v
	return def, use
}

// logical takes apart x && y or x || y: y is worked out only where x asks for it.
func (o *orderer) logical(e *ast.BinaryExpr, before *[]ast.Stmt) ast.Expr {
	e.X = o.take(e.X, before)
	var inner []ast.Stmt
	y := o.take(e.Y, &inner)
	if len(inner) == 0 {
		e.Y = y
		return o.temporary(e, before)
	}
	tv := o.info.Types[e]
	tv.Type = types.Default(tv.Type)
	def, use := o.variable(e, tv.Type)
	again := func() *ast.Ident {
		id := &ast.Ident{NamePos: e.Pos(), Name: use.Name}
		o.info.Uses[id] = o.info.Uses[use]
		o.info.Types[id] = tv
		return id
	}
	o.info.Types[use] = tv
	var cond ast.Expr = again()
	if e.Op == token.LOR {
		cond = &ast.UnaryExpr{OpPos: e.Pos(), Op: token.NOT, X: cond}
		o.info.Types[cond] = tv
	}
	inner = append(inner, &ast.AssignStmt{Lhs: []ast.Expr{again()}, TokPos: e.Pos(), Tok: token.ASSIGN, Rhs: []ast.Expr{y}})
	*before = append(*before,
		&ast.AssignStmt{Lhs: []ast.Expr{def}, TokPos: e.Pos(), Tok: token.DEFINE, Rhs: []ast.Expr{e.X}},
		&ast.IfStmt{If: e.Pos(), Cond: cond, Body: block(e, inner)})
	return use
}
