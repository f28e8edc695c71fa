package main

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/mod/modfile"

	"lapwright/stdlib"
)

const aboutEditor = `Lay the sources of the primitives into FOLDER, or into this folder, so that an editor
that knows Go completes names and shows doc comments in the recipes of the folders
below, and so that go run ./my-mirror says the same as lapwright run my-mirror.

It writes go.mod, go.sum and the folder stdlib. Where it has written them before it
puts the present ones in their place; a go.mod of yours is left alone. lapwright
itself needs none of this.`

// What a module beside recipes needs of ours. The files at the top cannot be carried
// from here, so there are copies.
//
//go:generate cp ../../go.mod editor/mod
//go:generate cp ../../go.sum editor/sum
//go:generate cp ../../LICENSE editor/LICENSE
var (
	//go:embed editor/mod
	ourModule []byte
	//go:embed editor/sum
	ourSums []byte
	//go:embed editor/LICENSE
	ourLicence []byte
)

// editorMark is the first line of a go.mod that the command has written.
const editorMark = "// Written by lapwright editor, with go.sum and the folder stdlib. Not to be edited: the next writing replaces all three."

func editorCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "editor [FOLDER]",
		Short:   "Help an ordinary Go editor with recipes",
		Long:    aboutEditor,
		Example: "  lapwright new my-mirror\n  lapwright editor\n  go run ./my-mirror",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fmt.Errorf("editor takes one folder, not %d", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			folder := "."
			if len(args) == 1 {
				folder = args[0]
			}
			if err := writeEditorModule(folder); err != nil {
				complain(fmt.Errorf("editor: %w", err))
				return exit(exitUse)
			}
			say("wrote go.mod, go.sum and stdlib in %s", folder)
			return nil
		},
	}
}

// writeEditorModule writes the module into a folder that holds none, or holds an
// older one of ours. It is written beside its place first.
func writeEditorModule(folder string) error {
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return fmt.Errorf("there is no folder %s", folder)
	}
	old, err := os.ReadFile(filepath.Join(folder, "go.mod"))
	switch {
	case err == nil && !bytes.HasPrefix(old, []byte(editorMark)):
		return fmt.Errorf("%s is there already and is not ours; it is left as it is: choose another folder", filepath.Join(folder, "go.mod"))
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return err
	case err != nil:
		for _, name := range []string{"go.sum", "stdlib"} {
			if _, err := os.Lstat(filepath.Join(folder, name)); err == nil {
				return fmt.Errorf("%s is there already and is left as it is: choose another folder", filepath.Join(folder, name))
			}
		}
	}
	files, err := editorModule()
	if err != nil {
		return err
	}
	beside := filepath.Join(folder, fmt.Sprintf(".lapwright.%d.part", os.Getpid()))
	defer os.RemoveAll(beside)
	if err := writeFiles(beside, files); err != nil {
		return err
	}
	if err := os.RemoveAll(filepath.Join(folder, "stdlib")); err != nil {
		return err
	}
	// go.mod comes last: where it stands the others do.
	for _, name := range []string{"stdlib", "go.sum", "go.mod"} {
		if err := os.Rename(filepath.Join(beside, name), filepath.Join(folder, name)); err != nil {
			return err
		}
	}
	return nil
}

// editorModule returns the files of the module: the sources of the primitives
// without their tests, and what of our own module file they need.
func editorModule() (map[string][]byte, error) {
	files := make(map[string][]byte)
	imports := make(map[string]bool)
	err := fs.WalkDir(stdlib.Sources, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(name, "_test.go") {
			return err
		}
		text, err := stdlib.Sources.ReadFile(name)
		if err != nil {
			return err
		}
		files[path.Join("stdlib", name)] = text
		f, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, imp := range f.Imports {
			p, _ := strconv.Unquote(imp.Path.Value)
			imports[p] = true
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	files["go.sum"], files["stdlib/LICENSE"] = ourSums, ourLicence
	mod, err := modfile.Parse("go.mod", ourModule, nil)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\n\nmodule %s\n\ngo %s\n\nrequire (\n", editorMark, mod.Module.Mod.Path, mod.Go.Version)
	for _, r := range mod.Require {
		for p := range imports {
			if p == r.Mod.Path || strings.HasPrefix(p, r.Mod.Path+"/") {
				fmt.Fprintf(&b, "\t%s %s\n", r.Mod.Path, r.Mod.Version)
				break
			}
		}
	}
	b.WriteString(")\n")
	files["go.mod"] = b.Bytes()
	return files, nil
}
