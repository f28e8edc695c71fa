package check

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"strings"

	"golang.org/x/tools/go/gcexportdata"
)

//go:generate go run ./generate

//go:embed data
var data embed.FS

// DataName is the name under which a package's data is kept, without extension.
func DataName(path string) string {
	return strings.ReplaceAll(strings.TrimPrefix(path, "lapwright/"), "/", "_")
}

// An importer finds packages in the embedded data.
type importer struct {
	fset    *token.FileSet
	loaded  map[string]*types.Package // by path; also packages that others refer to
	whole   map[string]bool
	sources []*Source
}

// A Source is a package of generic functions, with their bodies.
type Source struct {
	Package *types.Package
	File    *ast.File
	Info    *types.Info
}

var errNotListed = errors.New("a recipe may not import it")

// Import returns the package of that path if a recipe may import it.
func (imp *importer) Import(path string) (*types.Package, error) {
	if path == "unsafe" && len(imp.sources) > 0 {
		return types.Unsafe, nil // of a source; a recipe's own import is refused before
	}
	listed := named(path)
	if listed == nil {
		return nil, errNotListed
	}
	if imp.whole[path] {
		return imp.loaded[path], nil
	}
	if listed.Source {
		return imp.source(path)
	}
	return imp.export(path)
}

func (imp *importer) export(path string) (*types.Package, error) {
	text, err := data.ReadFile("data/" + DataName(path) + ".types")
	if err != nil {
		return nil, fmt.Errorf("this program was built without %s", path)
	}
	pkg, err := gcexportdata.Read(bytes.NewReader(text), token.NewFileSet(), imp.loaded, path)
	if err == nil {
		imp.whole[path] = true
	}
	return pkg, err
}

// source type-checks a package of generic functions. Its types come from its
// source too, so it must be known before any export data that refers to it.
func (imp *importer) source(path string) (*types.Package, error) {
	text, err := data.ReadFile("data/" + DataName(path) + ".source")
	if err != nil {
		return nil, fmt.Errorf("this program was built without %s", path)
	}
	file, err := parser.ParseFile(imp.fset, path, text, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	src := &Source{File: file, Info: newInfo()}
	imp.sources = append(imp.sources, src)
	config := types.Config{Importer: imp, GoVersion: goVersion, Error: func(e error) {
		// A few functions have their bodies in the run time; the machine has its
		// own for them.
		if !strings.Contains(e.Error(), "missing function body") {
			err = errors.Join(err, e)
		}
	}}
	src.Package, _ = config.Check(path, imp.fset, []*ast.File{file}, src.Info)
	if err != nil {
		return nil, err
	}
	imp.loaded[path], imp.whole[path] = src.Package, true
	return src.Package, nil
}
