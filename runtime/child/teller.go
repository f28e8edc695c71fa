package child

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/metrics"
	"sync"
	"sync/atomic"
	"time"
	"unicode/utf8"

	"lapwright/stdlib/document"
	"lapwright/stdlib/unit"
)

// A teller sends events to the parent. What a recipe prints waits until there is
// some of it, so that a thousand short lines are not a thousand events.
type teller struct {
	once    sync.Once
	mu      sync.Mutex
	out     io.Writer
	limits  Limits
	left    int64  // bytes that the recipe may still show
	blocks  int    // shown so far
	waiting []byte // printed and not yet sent
	sent    time.Time

	declared []string // names of inputs

	limit   *document.Fault // what stopped the run, nil while nothing has
	stop    chan struct{}   // closed when limit is set
	stopped atomic.Bool     // true when limit is set
}

func newTeller(out io.Writer, l Limits) *teller {
	return &teller{out: out, limits: l, left: l.Output, stop: make(chan struct{})}
}

// mostBlocks is how many blocks a recipe may show: far more than anyone reads.
const mostBlocks = 100_000

// Printing that waits is sent when there is this much of it, or when something
// is printed this long after the last was sent.
const (
	enoughPrinted = 4 << 10
	longUnsent    = 50 * time.Millisecond
)

var errStopped = errors.New("the run was stopped")

// Write takes what the recipe prints.
func (t *teller) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.limit != nil {
		return 0, errStopped
	}
	t.waiting = append(t.waiting, p...)
	if now := time.Now(); len(t.waiting) >= enoughPrinted || now.Sub(t.sent) >= longUnsent {
		t.sent = now
		t.flush(wholeRunes(t.waiting))
	}
	return len(p), nil
}

// wholeRunes returns how much of b does not end within a character.
func wholeRunes(b []byte) int {
	for n := 1; n < utf8.UTFMax && n <= len(b); n++ {
		if c := b[len(b)-n]; utf8.RuneStart(c) {
			if !utf8.FullRune(b[len(b)-n:]) {
				return len(b) - n
			}
			break
		}
	}
	return len(b)
}

// tell sends what was printed before, then e.
func (t *teller) tell(e event) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.flush(len(t.waiting))
	t.send(e, false)
}

// declare tells of an input.
func (t *teller) declare(in document.Input) {
	t.declared = append(t.declared, in.Name)
	t.tell(event{Input: &in})
}

// show sends a block that the recipe shows.
func (t *teller) show(b document.Block) {
	if err := document.Check(b); err != nil {
		panic(err)
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.limit == nil {
		t.flush(len(t.waiting))
		t.send(event{Block: document.Blocks{b}}, true)
	}
}

// flush sends the first n bytes of what waits.
func (t *teller) flush(n int) {
	if n > 0 {
		t.send(event{Block: document.Blocks{document.Printed{Text: string(t.waiting[:n])}}}, true)
		t.waiting = append(t.waiting[:0], t.waiting[n:]...)
	}
}

// send writes one event. Those that are shown count as output, and none of them
// leaves once there is too much.
func (t *teller) send(e event, shown bool) {
	line, err := json.Marshal(e)
	if err != nil {
		panic(err)
	}
	if shown {
		t.blocks++
		if t.left -= int64(len(line)); t.left < 0 || t.blocks > mostBlocks {
			t.halt(outputFault(t.limits))
			return
		}
	}
	// When the parent is gone, writing ends this process.
	_, _ = t.out.Write(append(line, '\n'))
}

// halt makes f what stops the run, unless something else has. The caller holds mu.
func (t *teller) halt(f document.Fault) {
	if t.limit == nil {
		t.limit = &f
		t.stopped.Store(true)
		close(t.stop)
	}
}

// halted returns what stopped the run, or nil.
func (t *teller) halted() *document.Fault {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.limit
}

// watch stops the run when its time or its memory is used up. Where the engine
// does not stop for that, nor for any other limit, in a while, watch ends the
// process.
func (t *teller) watch(began time.Time) {
	usage := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	look := time.NewTicker(10 * time.Millisecond)
	for stopped := false; !stopped; {
		select {
		case <-t.stop:
			stopped = true
		case <-look.C:
			metrics.Read(usage)
			if time.Since(began) >= t.limits.Time {
				t.exceeded(timeFault(t.limits))
			} else if held := usage[0].Value.Uint64() - usage[1].Value.Uint64(); held > uint64(t.limits.Memory)+ownMemory {
				t.exceeded(memoryFault(t.limits))
			}
		}
	}
	time.Sleep(patience)
	t.finish(event{End: &ending{Faults: []document.Fault{*t.halted()}}})
}

// patience is how long an engine may take to stop where it is.
const patience = 100 * time.Millisecond

func (t *teller) exceeded(f document.Fault) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.halt(f)
}

// finish tells the last event and ends the process. Of two callers one finishes.
func (t *teller) finish(last event) {
	t.once.Do(func() {
		t.tell(last)
		os.Exit(0)
	})
}

// ownMemory is what the program itself holds.
const ownMemory = 32 << 20

// The faults of limits, the same whichever side of the walls finds them.

func timeFault(l Limits) document.Fault {
	return document.Fault{
		Kind: document.Limit, Message: fmt.Sprintf("the run took longer than %v", unit.Time(l.Time.Seconds())),
		Hint: "look for a loop that does not end, or allow more with --time",
	}
}

func memoryFault(l Limits) document.Fault {
	return document.Fault{
		Kind: document.Limit, Message: "the recipe holds more than " + Bytes(l.Memory) + " of memory",
		Hint: "look for a slice or a text that grows without end, or allow more with --memory",
	}
}

func outputFault(l Limits) document.Fault {
	return document.Fault{
		Kind: document.Limit, Message: "the recipe shows and prints more than " + Bytes(l.Output),
		Hint: "look for printing in a loop, or allow more with --shown",
	}
}

func depthFault() document.Fault {
	return document.Fault{
		Kind: document.Limit, Message: "calls are nested deeper than allowed",
		Hint: "look for a function that calls itself without end",
	}
}

// Bytes prints an amount of memory as it is given on the command line.
func Bytes(n int64) string {
	for _, unit := range []struct {
		size int64
		name string
	}{{1 << 30, "GB"}, {1 << 20, "MB"}, {1 << 10, "kB"}} {
		if n >= unit.size && n%unit.size == 0 {
			return fmt.Sprintf("%d %s", n/unit.size, unit.name)
		}
	}
	return fmt.Sprintf("%d bytes", n)
}
