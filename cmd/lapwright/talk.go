package main

import (
	"fmt"
	"os"
	"strings"

	"golang.org/x/term"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// How the program talks:
//
//   - The document goes to standard output and nothing else does, so that
//     `lapwright run r > r.txt` holds the document alone.
//   - Everything else goes to standard error, in lines that begin "lapwright: ",
//     but for faults of a recipe, which begin with their place.
//   - An error is one line that names what, where, and what is allowed. Wrong use
//     is followed by one line on how to get help.
//   - Nothing is asked, and nothing moves.
//   - Colour is for terminals alone, and for those that want it: not where
//     NO_COLOR is set (no-color.org) or TERM is dumb.
//   - What comes from a recipe, a file or the command line is made harmless
//     before it is shown; see document.Visible.

// say tells something that is no error.
func say(format string, args ...any) {
	fmt.Fprintln(os.Stderr, "lapwright: "+document.Line(fmt.Sprintf(format, args...)))
}

// complain tells an error.
func complain(err error) {
	fmt.Fprintln(os.Stderr, "lapwright: "+document.Line(err.Error()))
}

// wrongUse tells an error in how a command was called.
func wrongUse(command string, err error) int {
	// The library puts suggestions on lines of their own.
	first, rest, _ := strings.Cut(err.Error(), "\n")
	complain(fmt.Errorf("%s", first))
	if _, suggestion, ok := strings.Cut(rest, "\t"); ok {
		suggestion, _, _ = strings.Cut(suggestion, "\n")
		say("did you mean %s?", suggestion)
	}
	say("for help: %s --help", command)
	return exitUse
}

// screen tells what a stream is written for: its width and whether it has colour.
func screen(f *os.File) render.Screen {
	fd := int(f.Fd())
	if !term.IsTerminal(fd) {
		return render.Screen{}
	}
	var s render.Screen
	if columns, _, err := term.GetSize(fd); err == nil {
		s.Columns = columns
	}
	s.Colour = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	return s
}
