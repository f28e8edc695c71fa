package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"lapwright/stdlib/logbook"
)

const aboutLog = `Add a line to the log of a mirror: a text file beside the recipe, with the recipe's
name and the ending .log. Recipes read it with session.Read; nothing else writes it.

  lapwright log RECIPE test FILE     a test, its readings in FILE beside the recipe
  lapwright log RECIPE spell TEXT    a stretch of work, as it was done:
                                     "60 mm lap; at 118 mm; 120 turns"
  lapwright log RECIPE note TEXT     anything else worth keeping

A spell may also give the stroke in its own words, the rate of the table and the
load: "60 mm lap; tangential, 20 mm, 3.3 double strokes a turn; table 6 rpm; at
118 mm; 120 turns; load 8 N". A recipe shows such lines for a plan with
show.LogLines.

Lines are only ever added, each written to the disk before the command ends. A
line that was broken off by a crash is marked as such and left out.`

func logCommand() *cobra.Command {
	var when string
	c := &cobra.Command{
		Use:     "log RECIPE KIND TEXT",
		Short:   "Add a line to the log of a mirror",
		Long:    aboutLog,
		Example: "  lapwright log recipes/high-ring test readings.csv\n  lapwright log recipes/high-ring spell \"60 mm lap; at 118 mm; 120 turns\"",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 3 {
				return fmt.Errorf("log takes a recipe, a kind of event (%s) and what there is to say", strings.Join(logbook.Kinds, ", "))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			recipe, err := recipeFile(args[0])
			if err != nil {
				return err
			}
			if when == "" {
				when = time.Now().Format(logbook.Clock)
			}
			event, err := logbook.New(when, args[1], strings.Join(args[2:], " "))
			if err != nil {
				return err
			}
			if event.Kind == "test" {
				if err := sheetBeside(recipe, event.Text); err != nil {
					return err
				}
			}
			file := strings.TrimSuffix(recipe, ".go") + ".log"
			if err := addToLog(file, event); err != nil {
				complain(err)
				return exit(exitUse)
			}
			say("added to %s: %v", file, event)
			return nil
		},
	}
	c.Flags().StringVar(&when, "when", "", "the `day and time` of the event, as \"2026-03-14 10:20\"; now where left out")
	return c
}

// sheetBeside returns an error where there is no such file beside the recipe.
func sheetBeside(recipe, name string) error {
	folder := filepath.Dir(recipe)
	if !fs.ValidPath(name) || name == "." {
		return fmt.Errorf("%q is no file in the recipe's folder", name)
	}
	info, err := os.Stat(filepath.Join(folder, filepath.FromSlash(name)))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("there is no file %s in %s", name, folder)
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return fmt.Errorf("%s in %s is no file", name, folder)
	}
	return nil
}

// addToLog adds an event at the end of the file, and returns once it is on the disk.
func addToLog(name string, e logbook.Event) (err error) {
	_, missing := os.Stat(name)
	f, err := os.OpenFile(name, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	data, err := io.ReadAll(f)
	if err != nil {
		return err
	}
	log, err := logbook.Parse(data)
	if err != nil {
		return fmt.Errorf("%s: %w; mend the line first", name, err)
	}
	if log.Broken != "" {
		say("the last line of %s had no end: it is marked as broken off and left out: %s", name, log.Broken)
	}
	if _, err := f.Write(logbook.Addition(data, e)); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if missing != nil {
		return syncFolder(filepath.Dir(name))
	}
	return nil
}

// syncFolder puts a new file's name on the disk.
func syncFolder(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
