package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// floors are the rooms of the house from the ground up. A package may import
// only packages of lower floors. A folder inside a room stands on its room's
// floor and may import only what the room may. Do not relax this to mend a
// build: move the code.
var floors = [][]string{
	{"stdlib/unit", "stdlib/elementary", "stdlib/document"},
	{"stdlib/host"},
	{"stdlib/sheet", "stdlib/logbook"},
	{"stdlib/mirror"},
	{"stdlib/figure", "stdlib/lap"},
	{"stdlib/zone", "stdlib/stroke"},
	{"stdlib/wear", "stdlib/picture"},
	{"stdlib/plan"},
	{"stdlib/session"},
	{"stdlib/input"},
	{"stdlib/show"},
	{"stdlib", "recipes"}, // the sources that the program carries
	{"runtime/recipe"},
	{"runtime/check", "runtime/render"},
	{"runtime/lower", "runtime/manual"},
	{"runtime/interp"},
	{"runtime/child"},
	{"runtime/page", "runtime/record"},
	{"runtime/bundle", "runtime/series", "runtime/shelf"},
	{"cmd/lapwright"},
}

func TestPackagesImportOnlyLowerFloors(t *testing.T) {
	floor := make(map[string]int)
	for i, rooms := range floors {
		for _, room := range rooms {
			floor[room] = i
		}
	}
	// room is the longest listed folder that holds the package.
	room := func(pkg string) (string, bool) {
		if _, ok := floor[pkg]; ok {
			return pkg, true
		}
		for ; strings.Contains(pkg, "/"); pkg = path.Dir(pkg) {
			if _, ok := floor[pkg]; ok {
				return pkg, true
			}
		}
		return "", false
	}

	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, file)
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if d.Name() == "testdata" || path.Dir(rel) == "recipes" || strings.HasPrefix(d.Name(), ".") && rel != "." {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(rel, ".go") || strings.HasSuffix(rel, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		if f.Name.Name == "main" && !strings.HasPrefix(rel, "cmd/") {
			return nil // a generator
		}
		from, ok := room(path.Dir(rel))
		if !ok {
			t.Errorf("%s stands on no floor: add its folder to floors", rel)
			return nil
		}
		for _, imp := range f.Imports {
			name, _ := strconv.Unquote(imp.Path.Value)
			name, ours := strings.CutPrefix(name, "lapwright/")
			if !ours {
				continue
			}
			to, ok := room(name)
			switch {
			case !ok:
				t.Errorf("%s imports %s, which stands on no floor", rel, name)
			case to != from && floor[to] >= floor[from]:
				t.Errorf("%s imports %s, which does not stand below %s", rel, name, from)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
