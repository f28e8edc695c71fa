// Package lower turns a checked recipe into what the machine runs: functions in
// static single assignment form, every generic function instantiated.
//
// The Go specification leaves some orders of evaluation open; a recipe must say
// what the Go compiler says, so the tree is first put into the compiler's order.
package lower

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"

	"golang.org/x/tools/go/ssa"

	"lapwright/runtime/check"
	"lapwright/stdlib/document"
)

// A Program is a recipe in the form the machine runs.
type Program struct {
	Checked *check.Checked
	SSA     *ssa.Program
	Main    *ssa.Package
	Forks   map[token.Pos]bool // see forks
}

// Lower lowers a checked recipe, whose tree it changes. A fault says what of it the machine would not
// run as Go does.
func Lower(c *check.Checked) (p *Program, faults []document.Fault) {
	defer func() {
		// The builder is a library that panics where it meets what it does
		// not know.
		if r := recover(); r != nil {
			p = nil
			faults = []document.Fault{{
				Kind:     document.EngineFault,
				Message:  fmt.Sprintf("the recipe could not be made ready to run: %v", r),
				Position: c.Recipe.Fset.PositionFor(c.Recipe.File.Package, false),
				Width:    1,
			}}
		}
	}()
	forked := forks(c)
	if faults := order(c); len(faults) > 0 {
		return nil, faults
	}
	prog := ssa.NewProgram(c.Recipe.Fset, ssa.InstantiateGenerics|ssa.BuildSerially)
	sources := make(map[*types.Package]bool)
	for _, s := range c.Sources {
		sources[s.Package] = true
	}
	created := make(map[*types.Package]bool)
	var create func(pkgs []*types.Package)
	create = func(pkgs []*types.Package) {
		for _, pkg := range pkgs {
			if created[pkg] || sources[pkg] {
				continue
			}
			created[pkg] = true
			create(pkg.Imports())
			prog.CreatePackage(pkg, nil, nil, true)
		}
	}
	create(c.Package.Imports())
	for _, s := range c.Sources {
		create(s.Package.Imports())
	}
	var generic []*ssa.Package
	for _, s := range c.Sources {
		generic = append(generic, prog.CreatePackage(s.Package, []*ast.File{s.File}, s.Info, true))
	}
	for _, pkg := range generic {
		pkg.Build()
	}
	main := prog.CreatePackage(c.Package, []*ast.File{c.Recipe.File}, c.Info, false)
	main.SetDebugMode(true)
	main.Build()
	return &Program{Checked: c, SSA: prog, Main: main, Forks: forked}, nil
}
