package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"lapwright/runtime/child"
	"lapwright/runtime/record"
	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

const aboutRecord = `Run recipes and keep a record beside each: what went in and what came out.

The record of recipe.go is recipe.record, a text file with one value a line: the
sums of the recipe and of every file it read, its inputs, and every result, table
and drawing at full precision. lapwright compare holds a later run against it.

Two fingerprints are printed, one of what went in and one of what came out to the
last bit, in words that two people can read to each other.`

func recordCommand() *cobra.Command {
	var flags jobFlags
	c := &cobra.Command{
		Use:     "record RECIPE...",
		Short:   "Keep beside a recipe what went in and what came out",
		Long:    aboutRecord,
		Example: "  lapwright record recipes/high-ring",
		Args:    someRecipes,
		RunE: func(_ *cobra.Command, args []string) error {
			job, err := flags.job()
			if err != nil {
				return err
			}
			return eachRecipe(args, func(file string) error {
				job.File = file
				made, result, err := recorded(job)
				if err != nil {
					return err
				}
				name := record.Beside(file)
				if err := writeWhole(name, made.Text()); err != nil {
					complain(err)
					return exit(exitUse)
				}
				fmt.Printf("%s\n  what went in   %s\n  what came out  %s\n", document.Line(name), made.Ingredients(), made.Fingerprint())
				return ending(result.Document)
			})
		},
	}
	flags.add(c)
	c.Flags().SortFlags = false
	return c
}

// someRecipes asks for one recipe or more.
func someRecipes(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return fmt.Errorf("%s takes a recipe, or several", c.Name())
	}
	return nil
}

// eachRecipe does something with every recipe named on the command line, and
// returns the first error once all are done.
func eachRecipe(names []string, do func(file string) error) error {
	var files []string
	for _, name := range names {
		file, err := recipeFile(name)
		if err != nil {
			return err
		}
		files = append(files, file)
	}
	var first error
	for _, file := range files {
		if err := do(file); err != nil && first == nil {
			first = err
		}
	}
	return first
}

// recorded runs a recipe and makes its record. Where the run does not end well it
// says why.
func recorded(job child.Job) (*record.Record, *child.Result, error) {
	result, err := runQuietly(job)
	if err != nil {
		return nil, nil, err
	}
	made, err := record.Of(result)
	if err != nil {
		complain(err)
		return nil, nil, exit(exitRecipe)
	}
	return made, result, nil
}

// runQuietly runs a recipe whose document is not to be printed. Where the run does
// not end well it says why.
func runQuietly(job child.Job) (*child.Result, error) {
	result, err := runOnce(job)
	if err != nil {
		return nil, err
	}
	if d := result.Document; len(d.Faults) > 0 {
		fmt.Fprint(os.Stderr, render.Faults(d, screen(os.Stderr)))
		return nil, exit(exitCode(d))
	}
	return result, nil
}

// runOnce runs a recipe. An error says that there was nothing to run, or that it
// was interrupted, and has been told.
func runOnce(job child.Job) (*child.Result, error) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	result, err := child.Run(ctx, job)
	var unknown *child.UnknownInput
	switch {
	case ctx.Err() != nil:
		say("interrupted")
		return nil, exit(exitInterrupted)
	case errors.As(err, &unknown):
		return nil, err
	case err != nil:
		complain(err)
		return nil, exit(exitUse)
	}
	return result, nil
}
