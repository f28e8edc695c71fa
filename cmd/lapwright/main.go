// Command lapwright runs recipes for figuring a telescope mirror by hand. See
// `lapwright help`.
package main

import (
	"errors"
	"os"

	"github.com/spf13/cobra"

	"lapwright/runtime/child"
)

// The exit codes, as `lapwright help` tells them.
const (
	exitFine        = 0
	exitRecipe      = 1
	exitExpectation = 2
	exitLimit       = 3
	exitEngine      = 4
	exitUse         = 64  // EX_USAGE of sysexits.h
	exitInterrupted = 130 // 128 and the number of SIGINT, as shells have it
)

const about = `lapwright runs recipes: short Go files whose comments are the story and whose
statements are the calculation, from the readings of a zonal mask to a run card
for the machine and the readings to expect at the next test.

To begin:
  lapwright new my-mirror
  lapwright run my-mirror
  lapwright doc begin

Exit codes:
  0    fine
  1    the recipe is wrong, or it stopped
  2    an expectation of the recipe was not met
  3    a limit or a wall was hit
  4    engine fault: a fault of lapwright itself
  64   wrong use, or an output file that cannot be written
  130  interrupted`

func main() {
	if child.Called() {
		child.Main()
	}
	os.Exit(command(os.Args[1:]))
}

// An exit is a command's error once the command has said what there is to say.
type exit int

func (exit) Error() string { return "" }

// command runs the command line and returns the exit code.
func command(args []string) int {
	root := &cobra.Command{
		Use:               "lapwright",
		Short:             "Plan the figuring of a telescope mirror",
		Long:              about,
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true},
	}
	root.SetArgs(args)
	root.SetOut(os.Stdout)
	root.SetErr(os.Stderr)
	root.AddCommand(recordCommand(), compareCommand(), bundleCommand(), unpackCommand(), seriesCommand(), shelfCommand())
	root.SetHelpCommand(helpCommand(root))
	root.AddCommand(
		newCommand(),
		runCommand(),
		openCommand(),
		logCommand(),
		docCommand(),
		editorCommand(),
		versionCommand(),
	)
	used, err := root.ExecuteC()
	var code exit
	switch {
	case err == nil:
		return exitFine
	case errors.As(err, &code):
		return int(code)
	}
	return wrongUse(used.CommandPath(), err)
}
