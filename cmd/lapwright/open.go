package main

import (
	"context"
	"fmt"
	"go/parser"
	"go/token"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"lapwright/runtime/page"
)

const aboutOpen = `Serve a recipe as a live page. RECIPE is a Go file, a folder that holds recipe.go,
or a folder of recipes, which are then listed.

The page's address is printed; open it in a browser on this machine. Whenever the
recipe or a data file beside it is saved, with whatever editor, the recipe runs
again and the page shows what changed. The page never writes the recipe: other
values of its inputs are for the run alone.

The address holds a token, and the page is served to this machine only. Whoever has
the whole address can read the page and change its inputs.

Press Ctrl-C to end.`

func openCommand() *cobra.Command {
	var flags jobFlags
	var port int
	c := &cobra.Command{
		Use:     "open RECIPE",
		Short:   "Serve a recipe as a live page that follows its file",
		Long:    aboutOpen,
		Example: "  lapwright open recipes/high-ring\n  lapwright open recipes",
		Args:    oneRecipe("open"),
		RunE: func(_ *cobra.Command, args []string) error {
			find, err := finder(args[0])
			if err != nil {
				return err
			}
			job, err := flags.job()
			if err != nil {
				return err
			}
			if port < 0 || port > 65535 {
				return fmt.Errorf("--port is %d; it must be from 0 to 65535", port)
			}
			return open(page.Options{Find: find, Inputs: job.Inputs, Limits: job.Limits}, port)
		},
	}
	c.Flags().IntVar(&port, "port", 0, "the port to serve on; 0 takes one that is free")
	flags.add(c)
	c.Flags().SortFlags = false
	return c
}

// open serves until it is interrupted, which is how it is meant to end.
func open(o page.Options, port int) error {
	listener, err := page.Listen(port)
	if err != nil {
		complain(fmt.Errorf("port %d cannot be served: %w", port, err))
		return exit(exitUse)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	server := page.New(o)
	fmt.Println(server.Address(listener))
	say("serving this page to this machine; press Ctrl-C to end")
	if err := server.Serve(ctx, listener); err != nil {
		complain(err)
		return exit(exitEngine)
	}
	return nil
}

// finder returns what finds the recipes that an argument names.
func finder(name string) (func() []page.Recipe, error) {
	info, err := os.Stat(name)
	if err != nil || !info.IsDir() {
		file, err := recipeFile(name)
		if err != nil {
			return nil, err
		}
		only := []page.Recipe{{Name: filepath.Base(name), File: file, Told: name}}
		return func() []page.Recipe { return only }, nil
	}
	find := func() []page.Recipe { return recipesIn(name) }
	if len(find()) == 0 {
		if _, err := recipeFile(name); err != nil {
			return nil, err
		}
	}
	return find, nil
}

// recipesIn returns the recipes in a folder: its own recipe.go alone, or else the
// other Go files in it and the recipe.go of each folder in it.
func recipesIn(folder string) []page.Recipe {
	if file := filepath.Join(folder, "recipe.go"); regular(file) {
		abs, err := filepath.Abs(folder)
		if err != nil {
			abs = folder
		}
		return []page.Recipe{{Name: filepath.Base(abs), File: file, Told: folder}}
	}
	var recipes []page.Recipe
	entries, _ := os.ReadDir(folder) // what cannot be read holds none
	for _, e := range entries {
		name := e.Name()
		told := filepath.Join(folder, name)
		switch {
		case strings.HasPrefix(name, ".") || strings.HasSuffix(name, "_test.go"):
		case e.IsDir():
			if file := filepath.Join(told, "recipe.go"); regular(file) {
				recipes = append(recipes, page.Recipe{Name: name, File: file, Told: told})
			}
		case filepath.Ext(name) == ".go" && regular(told) && !library(told):
			recipes = append(recipes, page.Recipe{Name: name, File: told, Told: told})
		}
	}
	slices.SortFunc(recipes, func(a, b page.Recipe) int { return strings.Compare(a.Name, b.Name) })
	return recipes
}

// library tells whether a Go file is plainly of a package other than main, and so no
// recipe. One that cannot be read is not: what is wrong with it is told when it runs.
func library(file string) bool {
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.PackageClauseOnly)
	return err == nil && f.Name.Name != "main"
}

func regular(file string) bool {
	info, err := os.Stat(file)
	return err == nil && info.Mode().IsRegular()
}
