// Package host is what stands around a running recipe: its folder, the values
// given for its inputs, the place its document goes, and the one error by which
// a primitive stops it.
//
// The other packages of stdlib use it; recipes do not import it. The engine
// sets it once before a run with Begin. A recipe built by the Go compiler runs
// without an engine: its folder is then the one its source lies in, and what it
// shows is printed as plain text.
package host

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"lapwright/stdlib/document"
)

// A Run is what stands around one run of a recipe.
type Run struct {
	Folder  fs.FS                // the recipe's own folder, to read from
	Inputs  map[string]string    // values given for inputs, by name, as written
	Declare func(document.Input) // is told of each input the recipe declares
	Emit    func(document.Block) // is given each block the recipe shows, in order

	inputs map[string]document.Input // declared so far
}

// DeclareInput tells the engine of an input. An input that has been declared
// before is returned as it was then, and the engine is not told again.
func (r *Run) DeclareInput(in document.Input) (earlier document.Input, again bool) {
	if earlier, again = r.inputs[in.Name]; again {
		return earlier, true
	}
	if r.inputs == nil {
		r.inputs = make(map[string]document.Input)
	}
	r.inputs[in.Name] = in
	r.Declare(in)
	return document.Input{}, false
}

var (
	mu      sync.Mutex
	current *Run
)

// Begin makes r what stands around the recipe. The engine calls it once, before
// the recipe's first statement.
func Begin(r Run) {
	mu.Lock()
	defer mu.Unlock()
	current = &r
}

// Current returns what stands around the recipe.
func Current() *Run {
	mu.Lock()
	defer mu.Unlock()
	if current == nil {
		current = &Run{
			Folder:  os.DirFS(sourceFolder()),
			Declare: func(document.Input) {},
			Emit:    func(b document.Block) { document.WriteText(os.Stdout, b) },
		}
	}
	return current
}

// sourceFolder is the folder of the file that holds main.main, as the compiler
// noted it, or the working folder where that file is not there any more.
func sourceFolder() string {
	pc := make([]uintptr, 64)
	frames := runtime.CallersFrames(pc[:runtime.Callers(1, pc)])
	for {
		frame, more := frames.Next()
		if strings.HasPrefix(frame.Function, "main.") {
			if _, err := os.Stat(frame.File); err == nil {
				return filepath.Dir(frame.File)
			}
		}
		if !more {
			return "."
		}
	}
}

// Stop is the error by which a primitive stops a recipe. A recipe has no caller
// to hand an error to, so primitives panic with it.
type Stop struct {
	Call    string          // the primitive, as a recipe writes it: "lap.Round"
	Message string          // what is wrong and what is allowed
	Hint    string          // what to do, if that is not plain from the message
	Notes   []document.Note // places in data files that had a part in it
}

// Error returns the primitive and the message in one line.
func (s *Stop) Error() string { return s.Call + ": " + s.Message }

// Stopf stops the recipe with a message in the manner of fmt.Sprintf.
func Stopf(call, format string, args ...any) {
	panic(&Stop{Call: call, Message: fmt.Sprintf(format, args...)})
}

// StopArg stops the recipe because argument arg is got where it must be
// allowed: `lap.Round: Diameter is -3 mm; it must be more than 0`.
func StopArg(call, arg string, got any, allowed string) {
	Stopf(call, "%s is %v; it must be %s", arg, got, allowed)
}
