// Package check type-checks a recipe as the Go compiler would and applies the
// limits of the language of recipes. It needs no Go toolchain: the types of the
// packages a recipe may import are embedded.
//
// # Limits
//
// Refused, each with what to write instead: goroutines, channels and select;
// packages that are not listed; names of listed packages that depend on chance or
// on the outside; ranging over a map, or over the unsorted keys or values of one;
// printing an address; a number without a unit where a quantity is meant.
package check

import (
	"cmp"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strconv"
	"strings"

	"lapwright/runtime/recipe"
	"lapwright/stdlib/document"
)

// goVersion is the language a recipe is written in.
const goVersion = "go1.26"

// Checked is a recipe whose types are known and right.
type Checked struct {
	Recipe  *recipe.Recipe
	Package *types.Package
	Info    *types.Info
	Sources []*Source // packages of generic functions that it uses, dependencies first
}

func newInfo() *types.Info {
	return &types.Info{
		Types:        make(map[ast.Expr]types.TypeAndValue),
		Defs:         make(map[*ast.Ident]types.Object),
		Uses:         make(map[*ast.Ident]types.Object),
		Implicits:    make(map[ast.Node]types.Object),
		Selections:   make(map[*ast.SelectorExpr]*types.Selection),
		Scopes:       make(map[ast.Node]*types.Scope),
		Instances:    make(map[*ast.Ident]types.Instance),
		FileVersions: make(map[*ast.File]string),
	}
}

// Check type-checks a recipe. The faults are all that is wrong with it, in the
// order of the file; with any, there is nothing to run.
func Check(r *recipe.Recipe) (*Checked, []document.Fault) {
	imp := &importer{fset: r.Fset, loaded: make(map[string]*types.Package), whole: make(map[string]bool)}
	c := &checker{recipe: r, info: newInfo(), imp: imp}
	c.imports(imp)
	var errs []types.Error
	config := types.Config{
		Importer:  imp,
		GoVersion: goVersion,
		Error:     func(err error) { errs = append(errs, err.(types.Error)) },
	}
	c.pkg, _ = config.Check("main", r.Fset, []*ast.File{r.File}, c.info)
	for _, err := range errs {
		c.typeError(err)
	}
	c.limits()
	if len(c.faults) > 0 {
		slices.SortStableFunc(c.faults, func(a, b document.Fault) int {
			return cmp.Or(cmp.Compare(a.Position.Line, b.Position.Line), cmp.Compare(a.Position.Column, b.Position.Column))
		})
		c.faults = slices.CompactFunc(c.faults, func(a, b document.Fault) bool {
			return a.Position == b.Position && a.Message == b.Message
		})
		return nil, c.faults
	}
	return &Checked{Recipe: r, Package: c.pkg, Info: c.info, Sources: imp.sources}, nil
}

// A checker collects what is wrong with one recipe.
type checker struct {
	recipe  *recipe.Recipe
	info    *types.Info
	pkg     *types.Package
	imp     *importer
	refused map[string]bool // paths of imports that have a fault already
	dotUnit bool            // the units are named without their package
	faults  []document.Fault
}

// fault notes a fault that spans width bytes from pos.
func (c *checker) fault(pos token.Pos, width int, message, hint string) {
	if c.dotUnit {
		hint = strings.ReplaceAll(hint, "unit.", "")
	}
	c.faults = append(c.faults, document.Fault{
		Kind:     document.Wrong,
		Message:  message,
		Position: c.recipe.Fset.PositionFor(pos, false),
		Width:    max(width, 1),
		Hint:     hint,
	})
}

// at notes a fault of a node; it spans the node's first line.
func (c *checker) at(n ast.Node, reason Reason) {
	from, to := c.recipe.Fset.PositionFor(n.Pos(), false), c.recipe.Fset.PositionFor(n.End(), false)
	width := to.Offset - from.Offset
	if to.Line != from.Line {
		width = 1
	}
	c.fault(n.Pos(), width, reason.Message, reason.Hint)
}

// imports refuses the packages that are not listed, and lets the importer know
// the packages of generic functions first.
func (c *checker) imports(imp *importer) {
	c.refused = make(map[string]bool)
	for _, spec := range c.recipe.File.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			continue // the type checker says so
		}
		c.dotUnit = c.dotUnit || path == Own+"unit" && spec.Name != nil && spec.Name.Name == "."
		if listed := named(path); listed == nil {
			c.refused[path] = true
			hint := foreign[path]
			if hint == "" {
				hint = nearestPackage(path)
			}
			c.at(spec.Path, Reason{"a recipe may not import " + spec.Path.Value, hint})
		} else if listed.Source {
			imp.Import(path) // an error comes again when the type checker asks
		}
	}
}

// typeError notes an error of the type checker.
func (c *checker) typeError(err types.Error) {
	if strings.HasPrefix(err.Msg, "\t") {
		// The continuation of the error before it.
		if n := len(c.faults); n > 0 {
			c.faults[n-1].Notes = append(c.faults[n-1].Notes, document.Note{
				Message:  strings.TrimSpace(err.Msg),
				Position: c.recipe.Fset.PositionFor(err.Pos, false),
				Width:    1,
			})
		}
		return
	}
	if strings.HasPrefix(err.Msg, "could not import ") {
		path, rest, _ := strings.Cut(strings.TrimPrefix(err.Msg, "could not import "), " (")
		if c.refused[path] {
			return
		}
		c.fault(err.Pos, len(path)+2, "could not import "+strconv.Quote(path), strings.TrimSuffix(rest, ")"))
		return
	}
	// Looking for what was meant takes a walk of the file: not for thousands.
	width, hint := 1, ""
	if len(c.faults) < 50 {
		width, hint = c.point(err)
		hint = cmp.Or(hint, c.hint(err))
	}
	// What the compiler sets out below each other, as have and want, stands in
	// one line.
	message, more, several := strings.Cut(err.Msg, "\n")
	if several {
		message += " (" + strings.Join(strings.FieldsFunc(more, func(r rune) bool { return r == '\n' || r == '\t' }), ", ") + ")"
	}
	c.fault(err.Pos, width, message, hint)
}
