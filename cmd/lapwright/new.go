package main

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lapwright/recipes"
	"lapwright/runtime/record"
	"lapwright/stdlib/host"
)

const aboutNew = `Make a new FOLDER with a recipe that runs at once: recipe.go, the story and the
calculation, and the sheet of readings it reads. Then edit both; lapwright doc begin
tells how. What is there already is left alone.

With --like the folder begins as one of the recipes that ship; lapwright doc
recipes lists them.`

// firstRecipe is the recipe that a folder begins as where nothing is said.
const firstRecipe = "first-plan"

func newCommand() *cobra.Command {
	var like string
	c := &cobra.Command{
		Use:     "new FOLDER",
		Short:   "Begin a recipe in a new folder",
		Long:    aboutNew,
		Example: "  lapwright new my-mirror\n  lapwright new --like high-ring my-ring",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return fmt.Errorf("new takes the name of one folder, not %d", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			folder := args[0]
			files, err := recipeFiles(like)
			if err == nil {
				err = layOut(folder, files)
			}
			if err != nil {
				complain(fmt.Errorf("new: %w", err))
				return exit(exitUse)
			}
			for _, name := range slices.Sorted(maps.Keys(files)) {
				say("wrote %s", filepath.Join(folder, name))
			}
			if strings.ContainsAny(folder, " '\"$&();<>|*?#~`\\!") {
				folder = "'" + strings.ReplaceAll(folder, "'", `'\''`) + "'"
			}
			say("now: lapwright run %s", folder)
			return nil
		},
	}
	c.Flags().StringVar(&like, "like", firstRecipe, "begin as the shipped recipe `NAME`")
	return c
}

// recipeFiles returns the files of a recipe that ships.
func recipeFiles(name string) (map[string][]byte, error) {
	entries, err := recipes.Sources.ReadDir(".")
	if err != nil {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	files := make(map[string][]byte)
	inside, err := recipes.Sources.ReadDir(name)
	if err != nil || strings.ContainsAny(name, "/.") {
		did := "lapwright doc recipes lists them"
		if near := host.Nearest(name, names); near != "" {
			did = "did you mean " + near + "?"
		}
		return nil, fmt.Errorf("no recipe named %q ships; %s", name, did)
	}
	for _, e := range inside {
		if path.Ext(e.Name()) == record.Ending {
			continue // it is of the readings that ship, not of those to come
		}
		if files[e.Name()], err = recipes.Sources.ReadFile(path.Join(name, e.Name())); err != nil {
			return nil, err
		}
	}
	return files, nil
}

// layOut writes a new folder with files, whole or not at all: it is written beside
// its place and then put there. Files are named by paths with slashes.
func layOut(folder string, files map[string][]byte) error {
	folder = filepath.Clean(folder)
	if _, err := os.Lstat(folder); err == nil {
		return fmt.Errorf("%s is there already and is left as it is; choose another name", folder)
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	parent, base := filepath.Split(folder)
	if info, err := os.Stat(filepath.Clean(parent)); err != nil || !info.IsDir() {
		return fmt.Errorf("there is no folder %s", filepath.Clean(parent))
	}
	beside := fmt.Sprintf("%s.%s.%d.part", parent, base, os.Getpid())
	defer os.RemoveAll(beside)
	if err := writeFiles(beside, files); err != nil {
		return err
	}
	return os.Rename(beside, folder)
}

// writeFiles writes files into a folder, which it makes.
func writeFiles(folder string, files map[string][]byte) error {
	for name, text := range files {
		file := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
			return err
		}
		if err := os.WriteFile(file, text, 0o666); err != nil {
			return err
		}
	}
	return nil
}
