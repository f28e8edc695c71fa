package check

import (
	"go/ast"
	"go/constant"
	"go/types"
	"strings"
)

// Package fmt writes a pointer within a value as an address, unless the value's
// own methods write it. An address is another at every run. Here a call is refused
// that is sure to write one by the types of its operands; the machine stops where
// only the run can tell, as where a pointer may be nil.

const printsAddress = "this prints an address, which is another at every run"

// prints refuses a call that is sure to print an address.
func (c *checker) prints(name string, call *ast.CallExpr) {
	format, first := Printed(name, c.signature(call))
	if first < 0 || call.Ellipsis.IsValid() || first > len(call.Args) {
		return
	}
	args := call.Args[first:]
	ask := func(arg ast.Expr, d Directive) {
		t := c.info.TypeOf(arg)
		if t == nil || !c.isAddress(t, d, place{usable: true}) {
			return
		}
		c.at(arg, Reason{printsAddress, c.instead(arg, t)})
	}
	if format < 0 {
		for _, a := range args {
			ask(a, Directive{Verb: 'v'})
		}
		return
	}
	text := c.info.Types[call.Args[format]].Value
	if text == nil || text.Kind() != constant.String {
		return
	}
	list, used := Directives(constant.StringVal(text), len(args))
	asked := make([]bool, len(args))
	for _, d := range list {
		if d.Arg >= 0 && !asked[d.Arg] {
			asked[d.Arg] = true
			ask(args[d.Arg], d)
		}
	}
	for _, a := range args[used:] {
		ask(a, Directive{Verb: 'v'})
	}
}

// signature is the signature of what a call calls, or nil.
func (c *checker) signature(call *ast.CallExpr) *types.Signature {
	t := c.info.TypeOf(call.Fun)
	if t == nil {
		return nil
	}
	sig, _ := t.Underlying().(*types.Signature)
	return sig
}

// Printed tells of a function, named as in "fmt.Println", which of its parameters is a
// format, if one is, and which is the first that it writes in the manner of package
// fmt; -1 for none. Our own functions write all that they take as any.
func Printed(name string, sig *types.Signature) (format, first int) {
	if sig == nil {
		return -1, -1
	}
	path, function, _ := cutLast(name, ".")
	switch {
	case path == "fmt" && strings.Contains(function, "rint"), path == "fmt" && strings.HasPrefix(function, "Append"), name == "fmt.Errorf":
	case strings.HasPrefix(path, Own):
	default:
		return -1, -1
	}
	n := sig.Params().Len()
	for i := range n {
		t := sig.Params().At(i).Type()
		if s, ok := t.(*types.Slice); ok && sig.Variadic() && i == n-1 {
			t = s.Elem()
		}
		if iface, ok := t.Underlying().(*types.Interface); !ok || iface.NumMethods() > 0 {
			continue
		}
		if i > 0 && sig.Params().At(i-1).Name() == "format" {
			return i - 1, i
		}
		return -1, i
	}
	return -1, -1
}

func cutLast(s, sep string) (before, after string, found bool) {
	if i := strings.LastIndex(s, sep); i >= 0 {
		return s[:i], s[i+len(sep):], true
	}
	return s, "", false
}

// A place is where in an operand a value stands.
type place struct {
	depth  int
	usable bool // its methods are: it is not in an unexported field
	inside bool // in a struct of a listed package
}

func (p place) down() place { return place{p.depth + 1, p.usable, p.inside} }

// isAddress tells whether a value of the type is sure to be printed with an
// address in it. Pointers in structs of the recipe may be nil, those of a listed
// package are taken not to be.
func (c *checker) isAddress(t types.Type, d Directive, p place) bool {
	const deep = 12
	if p.depth > deep || p.usable && writesItself(t, d) {
		return false
	}
	switch u := t.Underlying().(type) {
	case *types.Basic:
		return u.Kind() == types.UnsafePointer
	case *types.Signature:
		return p.depth == 0 || p.inside
	case *types.Pointer:
		if p.depth > 0 {
			return p.inside || c.isListed(u.Elem())
		}
		switch u.Elem().Underlying().(type) {
		case *types.Struct, *types.Array, *types.Slice, *types.Map:
			return d.Verb == 'p' || c.isAddress(u.Elem(), d, p.down())
		}
		return true
	case *types.Struct:
		p.inside = p.inside || c.isListed(t)
		if !p.inside {
			return false
		}
		for f := range u.Fields() {
			in := p.down()
			in.usable = p.usable && f.Exported()
			if c.isAddress(f.Type(), d, in) {
				return true
			}
		}
	case *types.Slice:
		return d.Verb == 'p' && p.depth == 0 || c.isAddress(u.Elem(), d, p.down())
	case *types.Array:
		return c.isAddress(u.Elem(), d, p.down())
	case *types.Map:
		return d.Verb == 'p' && p.depth == 0 || c.isAddress(u.Key(), d, p.down()) || c.isAddress(u.Elem(), d, p.down())
	}
	return false
}

// isListed tells whether a type is one of a listed package.
func (c *checker) isListed(t types.Type) bool {
	named, ok := types.Unalias(t).(*types.Named)
	return ok && named.Obj().Pkg() != nil && named.Obj().Pkg() != c.pkg
}

// writesItself tells whether fmt has a value of the type write itself.
func writesItself(t types.Type, d Directive) bool {
	set := types.NewMethodSet(t)
	text := func(name string) bool {
		m := set.Lookup(nil, name)
		if m == nil {
			return false
		}
		sig := m.Obj().(*types.Func).Signature()
		return sig.Params().Len() == 0 && sig.Results().Len() == 1 && types.Identical(sig.Results().At(0).Type(), types.Typ[types.String])
	}
	if m := set.Lookup(nil, "Format"); m != nil && m.Obj().(*types.Func).Signature().Params().Len() == 2 {
		return true
	}
	switch {
	case d.Verb == 'p' || d.Verb == 'T':
		return d.Verb == 'T'
	case d.Sharp():
		return text("GoString")
	}
	return strings.ContainsRune("vwsxXq", d.Verb) && (text("Error") || text("String"))
}

// instead says what to write where a value would be printed with an address.
func (c *checker) instead(arg ast.Expr, t types.Type) string {
	t = innermost(t)
	if !c.isListed(t) {
		return "print what it points to"
	}
	if names := c.showers(t); len(names) > 0 {
		return "show it with " + strings.Join(names, " or ")
	}
	return Instead(c.tellers(t))
}

// Instead says what to print instead of a value whose methods, some of which are
// named, give numbers or text.
func Instead(methods []string) string {
	const most = 3
	if len(methods) == 0 {
		return "print parts of it that are numbers or text"
	}
	return "print what its methods give, as " + strings.Join(methods[:min(len(methods), most)], "(), ") + "()"
}

// innermost is what a type points to or lists.
func innermost(t types.Type) types.Type {
	switch u := types.Unalias(t).(type) {
	case *types.Pointer:
		return innermost(u.Elem())
	case *types.Slice:
		return innermost(u.Elem())
	}
	return t
}

// showers are the functions of package show that show a value of a type: it is what
// they take first, after a title; only the one of the type's own name if there is one.
func (c *checker) showers(t types.Type) (names []string) {
	pkg, err := c.imp.Import(Own + "show")
	if err != nil {
		return nil
	}
	for _, name := range pkg.Scope().Names() {
		f, ok := pkg.Scope().Lookup(name).(*types.Func)
		if !ok || !f.Exported() || f.Signature().Results().Len() > 0 {
			continue
		}
		for p := range f.Signature().Params().Variables() {
			if types.Identical(p.Type(), types.Typ[types.String]) {
				continue
			}
			if types.Identical(innermost(p.Type()), t) {
				if named, ok := t.(*types.Named); ok && named.Obj().Name() == name {
					return []string{"show." + name}
				}
				names = append(names, "show."+name)
			}
			break
		}
	}
	return names
}

// tellers are the methods of a type that give a number or a text.
func (c *checker) tellers(t types.Type) (names []string) {
	if writesItself(types.NewPointer(t), Directive{Verb: 'v'}) {
		return []string{"String"}
	}
	set := types.NewMethodSet(types.NewPointer(t))
	for i := range set.Len() {
		m := set.At(i).Obj()
		sig := m.Type().(*types.Signature)
		if !m.Exported() || sig.Params().Len() != 0 || sig.Results().Len() != 1 {
			continue
		}
		if _, ok := sig.Results().At(0).Type().Underlying().(*types.Basic); ok {
			names = append(names, m.Name())
		}
	}
	return names
}
