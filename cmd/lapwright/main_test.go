package main

import (
	"errors"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"lapwright": main})
}

// TestCommandLine runs the scripts of testdata, named command_case. Beside what
// testscript has, they have
//
//	exits CODE PROGRAM ARGS...   run a program that must end with the code
func TestCommandLine(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds:                map[string]func(ts *testscript.TestScript, neg bool, args []string){"exits": exits},
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var failed *exec.ExitError
		if !errors.As(err, &failed) {
			ts.Fatalf("%v", err)
		}
		code = failed.ExitCode()
	}
	if code != want {
		ts.Fatalf("it ended with %d, not %d", code, want)
	}
}
