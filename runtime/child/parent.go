package child

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"time"

	"lapwright/runtime/recipe"
	"lapwright/stdlib/document"
)

// grace is how long after its time a child may still tell where it was stopped.
const grace = 150 * time.Millisecond

// Run runs a recipe in a child. An error means that there was nothing to run: the
// file cannot be read, or an input is unknown. Whatever happens in the run is in
// the result's document. When ctx is done the child is killed and the error is
// ctx's cause.
func Run(ctx context.Context, job Job) (*Result, error) {
	began := time.Now()
	source, err := readRecipe(job.File)
	if err != nil {
		return nil, err
	}
	folder, err := filepath.Abs(filepath.Dir(job.File))
	if err != nil {
		return nil, err
	}
	o := order{Name: filepath.Base(job.File), Source: source, Folder: folder, Inputs: job.Inputs, Limits: job.Limits}
	input, err := json.Marshal(o)
	if err != nil {
		return nil, err
	}

	c := newCollector(o.Name)
	c.progress = job.Progress
	p, err := start(input)
	if err != nil {
		c.end = &ending{Faults: []document.Fault{{Kind: document.EngineFault, Message: "cannot start a process for the recipe: " + err.Error()}}}
		return &Result{Document: c.document(), Source: source, Took: time.Since(began)}, nil
	}
	go p.guard(ctx, job.Limits)
	broken := c.collect(p.events, job.Limits)
	if broken != nil {
		p.kill(nil)
	}
	state := p.wait()

	switch {
	case ctx.Err() != nil:
		return nil, context.Cause(ctx)
	case c.unknown != nil:
		return nil, c.unknown
	case c.end == nil || broken != nil:
		c.end = &ending{Faults: []document.Fault{p.whyEnded(state, broken, job.Limits)}}
	}
	return &Result{Document: c.document(), Source: source, Files: c.files, Walls: c.walls, Took: time.Since(began)}, nil
}

// readRecipe reads the bytes of a recipe's file. It opens nothing that could make
// it wait, and reads no more than makes clear that there is too much.
func readRecipe(name string) ([]byte, error) {
	file, err := os.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not a file", name)
	}
	return io.ReadAll(io.LimitReader(file, recipe.MaxSize+1))
}

// A process is a child at work.
type process struct {
	command *exec.Cmd
	events  io.Reader
	stderr  *head
	read    chan struct{} // closed when the events have been read
	over    chan struct{} // closed when the process has ended

	mu     sync.Mutex
	killed *document.Fault // the limit it was killed for, if it was
}

// start starts the program again as a child, with its order on standard input.
func start(input []byte) (*process, error) {
	program := "/proc/self/exe" // this very program, even if another has taken its place
	if runtime.GOOS != "linux" {
		var err error
		if program, err = os.Executable(); err != nil {
			return nil, err
		}
	}
	p := &process{stderr: &head{most: 4 << 10}, read: make(chan struct{}), over: make(chan struct{})}
	p.command = &exec.Cmd{
		Path:        program,
		Args:        []string{"lapwright", hidden},
		Env:         environment(),
		Stdin:       bytes.NewReader(input),
		Stderr:      p.stderr,
		WaitDelay:   time.Second,
		SysProcAttr: attributes(),
	}
	events, err := p.command.StdoutPipe()
	if err != nil {
		return nil, err
	}
	p.events = events
	started := make(chan error)
	go func() {
		// The kernel ends the child when the thread that started it ends: the
		// thread must last as long.
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		err := p.command.Start()
		started <- err
		if err != nil {
			return
		}
		<-p.read
		_ = p.command.Wait() // the state of the process says more than the error
		close(p.over)
	}()
	return p, <-started
}

// wait returns how the process ended.
func (p *process) wait() *os.ProcessState {
	close(p.read)
	<-p.over
	return p.command.ProcessState
}

// kill ends the process, for a limit if why is one.
func (p *process) kill(why *document.Fault) {
	p.mu.Lock()
	if p.killed == nil {
		p.killed = why
	}
	p.mu.Unlock()
	_ = p.command.Process.Kill() // an error says that it has ended
}

// guard kills the process when its time is up, when it holds too much memory, or
// when ctx is done.
func (p *process) guard(ctx context.Context, l Limits) {
	late := time.NewTimer(l.Time + grace)
	defer late.Stop()
	look := time.NewTicker(20 * time.Millisecond)
	defer look.Stop()
	for {
		select {
		case <-p.over:
			return
		case <-ctx.Done():
			p.kill(nil)
			return
		case <-late.C:
			f := timeFault(l)
			p.kill(&f)
			return
		case <-look.C:
			// Above what the child itself allows, so that it can stop first.
			if held, ok := resident(p.command.Process.Pid); ok && held > uint64(l.Memory)*5/4+3*ownMemory {
				f := memoryFault(l)
				p.kill(&f)
				return
			}
		}
	}
}

// whyEnded makes a fault of how a process ended that did not tell its end.
func (p *process) whyEnded(state *os.ProcessState, broken error, l Limits) document.Fault {
	p.mu.Lock()
	defer p.mu.Unlock()
	said := p.stderr.String()
	switch {
	case p.killed != nil:
		return *p.killed
	case broken != nil:
		return document.Fault{Kind: document.EngineFault, Message: "the recipe's process told what it should not: " + broken.Error(), Hint: reportHint}
	case strings.Contains(said, "stack overflow") || strings.Contains(said, "stack exceeds"):
		return depthFault()
	case strings.Contains(said, "out of memory") || strings.Contains(said, "cannot allocate memory") || killedFromOutside(state):
		return memoryFault(l)
	case cpuUsedUp(state):
		return timeFault(l)
	}
	first, _, _ := strings.Cut(strings.TrimSpace(said), "\n")
	if first == "" {
		first = state.String()
	}
	return document.Fault{Kind: document.EngineFault, Message: "the recipe's process ended before its time: " + first, Hint: reportHint}
}

// head keeps the first bytes written to it.
type head struct {
	mu   sync.Mutex
	most int
	data []byte
}

func (h *head) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.data = append(h.data, p[:min(len(p), h.most-len(h.data))]...)
	return len(p), nil
}

func (h *head) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return string(h.data)
}

// environment is all that a child sees of ours: GODEBUG, so that a test can take a
// feature of the processor from it as well.
func environment() []string {
	set := []string{"GOTRACEBACK=none"}
	if debug := os.Getenv("GODEBUG"); debug != "" {
		set = append(set, "GODEBUG="+debug)
	}
	return set
}
