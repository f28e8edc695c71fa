package check

import (
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/tools/go/ast/astutil"
)

// hint says what to write where the type checker found something that those new to
// Go, or to the units, write; "" where its own words say enough.
func (c *checker) hint(err types.Error) string {
	path, _ := astutil.PathEnclosingInterval(c.recipe.File, err.Pos, err.Pos)
	switch msg := err.Msg; {
	case strings.HasPrefix(msg, "no new variables on left side of :="):
		return "it is declared already: assign to it with ="
	case strings.HasPrefix(msg, "append(") && strings.HasSuffix(msg, "is not used"):
		return "append returns the longer slice: write x = append(x, …)"
	case strings.HasPrefix(msg, "invalid operation: operator ^ not defined on"), strings.HasPrefix(msg, "invalid operation: cannot indirect"):
		return "powers are written math.Pow(x, y)"
	case strings.Contains(msg, "(type []") && (strings.HasSuffix(msg, " len)") || strings.HasSuffix(msg, " Length)") || strings.HasSuffix(msg, " length)")):
		return "the number of elements is len(x)"
	case strings.HasPrefix(msg, "non-boolean condition"):
		return "compare it with something, as in x != 0"
	case strings.Contains(msg, "mismatched types"):
		if b := enclosing[*ast.BinaryExpr](path); b != nil {
			return c.mixed(c.info.TypeOf(b.X), c.info.TypeOf(b.Y))
		}
	case strings.Contains(msg, "truncated to int"):
		return "beside a whole number a constant must be one: write float64(n) for a whole number n"
	case strings.HasPrefix(msg, "cannot use "):
		if m := cannotUse.FindStringSubmatch(msg); m != nil {
			return convert(m[1], m[2])
		}
	}
	return ""
}

// cannotUse takes the types from the compiler's words for a value of the wrong one.
var cannotUse = regexp.MustCompile(`of (?:[a-z0-9]+ )?type ([^ ()]+)\) as ([^ ]+) value`)

// enclosing is the innermost node of a kind on a path outwards.
func enclosing[N ast.Node](path []ast.Node) (none N) {
	for _, n := range path {
		if n, ok := n.(N); ok {
			return n
		}
	}
	return none
}

// mixed says how to bring operands of two types together.
func (c *checker) mixed(x, y types.Type) string {
	if x == nil || y == nil {
		return ""
	}
	name := func(t types.Type) string { return types.TypeString(types.Default(t), (*types.Package).Name) }
	if hint := convert(name(x), name(y)); hint != "" {
		return hint
	}
	return convert(name(y), name(x))
}

// convert says how a value of one type, by its name, is made one of the other.
func convert(from, to string) string {
	number := func(t string) bool { return t == "float64" || t == "int" }
	quantity := func(t string) bool { return strings.HasPrefix(t, "unit.") }
	switch {
	case number(from) && quantity(to):
		return "a number x becomes a quantity by its type: " + to + "(x) * " + units[to]
	case quantity(from) && number(to):
		return "a quantity q becomes a number by its unit: q.In(" + units[from] + ")"
	case number(from) && number(to):
		return "write float64(n) for the whole number n"
	case from == "string" && number(to), number(from) && to == "string":
		return "put text and numbers together with fmt.Sprint"
	}
	return ""
}

// units gives each quantity's type a unit to show how it is written.
var units = map[string]string{
	"unit.Length": "unit.MM", "unit.Angle": "unit.Degree", "unit.Force": "unit.Newton", "unit.Pressure": "unit.KPa",
	"unit.Time": "unit.Minute", "unit.Rate": "unit.RPM", "unit.Preston": "unit.PerPascal",
}

// undefined says what may have been meant by a name that stands alone and that
// nothing declares.
func (c *checker) undefined(id *ast.Ident, parent ast.Node) string {
	if sel, ok := parent.(*ast.SelectorExpr); ok && sel.X == id {
		for _, p := range Packages {
			if base(p.Path) == id.Name {
				return "import \"" + p.Path + "\""
			}
		}
		for _, path := range slices.Sorted(maps.Keys(foreign)) {
			if base(path) == id.Name {
				return foreign[path]
			}
		}
	}
	if id.Name == "null" || id.Name == "None" {
		return "did you mean nil?"
	}
	if a, ok := parent.(*ast.AssignStmt); ok && a.Tok == token.ASSIGN && a.Pos() == id.Pos() {
		if hint := didYouMean(id.Name, c.visible(id)); hint != "" {
			return hint
		}
		return "a variable is declared by its first value: " + id.Name + " := …"
	}
	if hint := c.exporter(id.Name); hint != "" {
		return hint
	}
	return didYouMean(id.Name, c.visible(id))
}

// exporter offers a name that an imported package exports, or package unit.
func (c *checker) exporter(name string) string {
	if c.pkg == nil || !ast.IsExported(name) {
		return ""
	}
	for _, p := range c.pkg.Imports() {
		if p.Scope().Lookup(name) != nil {
			return "did you mean " + p.Name() + "." + name + "?"
		}
	}
	if p, err := c.imp.Import(Own + "unit"); err == nil && p.Scope().Lookup(name) != nil {
		return "import \"" + Own + "unit\" and write unit." + name
	}
	return ""
}

// base is the last part of a package's path.
func base(path string) string { return path[strings.LastIndexByte(path, '/')+1:] }
