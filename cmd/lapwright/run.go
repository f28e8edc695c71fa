package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"lapwright/runtime/child"
	"lapwright/runtime/render"
	"lapwright/runtime/render/paper"
	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
)

const aboutRun = `Run a recipe and print its document. RECIPE is a Go file, or a folder that holds
recipe.go.

With -o the document is also written to a file, in the form its ending asks for:
.html (one file that needs nothing else), .pdf, .md, .txt or .json. Give -o more
than once for more forms. A run that fails leaves such files as they were.
With -o FILE.svg the drawings at true size alone, a mask say, go to a file, each in
one piece for a cutter or a large sheet; a .pdf has them on sheets of paper.
With --card the run card alone goes to a PDF, on one page to take to the machine.

With --set an input that the recipe declares gets another value, with its unit:
--set ring=118mm, --set "ring=4 1/2 in".

A recipe runs in a process of its own that can read its own folder and nothing
else: no other files, no network, no programs, no environment. What it may use is
limited by the options below. The last line on standard error says which of these
walls the kernel keeps.`

func runCommand() *cobra.Command {
	var r run
	var flags jobFlags
	var sheet string
	c := &cobra.Command{
		Use:     "run RECIPE",
		Short:   "Run a recipe and print its document",
		Long:    aboutRun,
		Example: "  lapwright run recipes/high-ring\n  lapwright run -o ring.html --set ring=116mm recipes/high-ring",
		Args:    oneRecipe("run"),
		RunE: func(_ *cobra.Command, args []string) (err error) {
			file, err := recipeFile(args[0])
			if err != nil {
				return err
			}
			if r.sheet, err = parseSheet(sheet); err != nil {
				return err
			}
			if r.job, err = flags.job(); err != nil {
				return err
			}
			r.job.File = file
			return r.run()
		},
	}
	c.Flags().StringArrayVarP(&r.outputs, "output", "o", nil, "write the document to `FILE` as well; may be given again")
	c.Flags().StringVar(&r.card, "card", "", "write the run card alone to `FILE.pdf`")
	c.Flags().StringVar(&sheet, "paper", "a4", "the paper of PDF files: a4 or letter")
	flags.add(c)
	c.Flags().SortFlags = false
	return c
}

// oneRecipe lets a command have one argument.
func oneRecipe(command string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return fmt.Errorf("%s takes one recipe, not %d", command, len(args))
		}
		return nil
	}
}

// A run is one call of the command.
type run struct {
	job     child.Job
	outputs []string
	card    string // file for the run card alone; "" for none
	sheet   paper.Sheet
}

func (r *run) run() error {
	files, err := openOutputs(r.outputs, r.card, r.sheet)
	if err != nil {
		complain(err)
		return exit(exitUse)
	}
	defer files.discard()

	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	result, err := child.Run(ctx, r.job)
	var unknown *child.UnknownInput
	switch {
	case ctx.Err() != nil:
		say("interrupted")
		return exit(exitInterrupted)
	case errors.As(err, &unknown):
		return err
	case err != nil:
		complain(err)
		return exit(exitUse)
	}

	d := result.Document
	failed := len(d.Faults) > 0
	var text string
	err = inTime(func() (err error) {
		text = render.Terminal(d, screen(os.Stdout))
		if failed || len(files) == 0 {
			return nil
		}
		b, err := gather(r.job.File, result)
		if err == nil {
			err = files.render(d, b, shareName(r.job.File))
		}
		return err
	})
	if err == nil && !failed {
		err = files.keep()
	}
	if began(d) {
		if _, unsaid := fmt.Print(text); err == nil {
			err = unsaid
		}
	}
	if err != nil {
		complain(err)
		if errors.Is(err, errSlow) {
			return exit(exitLimit)
		}
		return exit(exitUse)
	}
	if failed {
		fmt.Fprint(os.Stderr, render.Faults(d, screen(os.Stderr)))
		for _, o := range files {
			say("%s is left as it was", o.name)
		}
	}
	err = ending(d)
	if began(d) {
		say("ran in %.2f s; %v", result.Took.Seconds(), result.Walls)
	}
	return err
}

// ending tells of expectations that were not met, and returns the exit that a
// document stands for.
func ending(d *document.Document) error {
	for _, e := range d.Unmet() {
		say("expectation not met: %s", e.Text)
	}
	if code := exitCode(d); code != exitFine {
		return exit(code)
	}
	return nil
}

// began tells whether there is anything of a document to show: whether main was
// entered, or nothing is wrong.
func began(d *document.Document) bool {
	return len(d.Faults) == 0 || slices.ContainsFunc(d.Sections, func(s document.Section) bool {
		return s.State == document.Done || s.State == document.Stopped
	})
}

// exitCode is the code that a document stands for.
func exitCode(d *document.Document) int {
	if len(d.Faults) == 0 {
		if len(d.Unmet()) > 0 {
			return exitExpectation
		}
		return exitFine
	}
	switch d.Faults[0].Kind {
	case document.Expectation:
		return exitExpectation
	case document.Limit:
		return exitLimit
	case document.EngineFault:
		return exitEngine
	}
	return exitRecipe
}

// errSlow is the error of a document that cannot be drawn in reasonable time.
var errSlow = errors.New("the document takes too long to draw; the recipe shows or says too much")

// inTime gives drawing a document ten seconds.
func inTime(draw func() error) error {
	done := make(chan error, 1)
	go func() { done <- draw() }()
	select {
	case err := <-done:
		return err
	case <-time.After(10 * time.Second):
		return errSlow
	}
}

// recipeFile finds the file of a recipe named on the command line.
func recipeFile(name string) (string, error) {
	info, err := os.Stat(name)
	if errors.Is(err, os.ErrNotExist) {
		return "", fmt.Errorf("there is no %s%s", name, nearestFile(name))
	}
	if err != nil {
		return "", err
	}
	if !info.IsDir() {
		return name, nil
	}
	file := filepath.Join(name, "recipe.go")
	if _, err := os.Stat(file); err == nil {
		return file, nil
	}
	found, _ := filepath.Glob(filepath.Join(name, "*.go"))
	if len(found) == 0 {
		return "", fmt.Errorf("the folder %s holds no recipe.go", name)
	}
	return "", fmt.Errorf("the folder %s holds no recipe.go; name one of %s", name, strings.Join(found, ", "))
}

// nearestFile offers a file or folder like the one that is not there.
func nearestFile(name string) string {
	folder, base := filepath.Split(filepath.Clean(name))
	entries, err := os.ReadDir(filepath.Clean("./" + folder))
	if filepath.IsAbs(folder) {
		entries, err = os.ReadDir(folder)
	}
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if near := host.Nearest(base, names); near != "" {
		return "; did you mean " + filepath.Join(folder, near) + "?"
	}
	return ""
}

// parseSettings reads the values given for inputs.
func parseSettings(settings []string) (map[string]string, error) {
	inputs := make(map[string]string)
	for _, s := range settings {
		name, value, found := strings.Cut(s, "=")
		name, value = strings.TrimSpace(name), strings.TrimSpace(value)
		if !found || name == "" || value == "" {
			return nil, fmt.Errorf("--set %q: write it as name=value, like ring=118mm", s)
		}
		if _, twice := inputs[name]; twice {
			return nil, fmt.Errorf("--set %q: %s is set twice", s, name)
		}
		inputs[name] = value
	}
	return inputs, nil
}

// parseSheet reads a size of paper.
func parseSheet(name string) (paper.Sheet, error) {
	for _, s := range []paper.Sheet{paper.A4, paper.Letter} {
		if strings.EqualFold(name, s.Name) {
			return s, nil
		}
	}
	return paper.Sheet{}, fmt.Errorf("--paper is %q; it must be a4 or letter", name)
}
