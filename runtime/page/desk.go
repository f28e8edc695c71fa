package page

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"net/http"
	"path/filepath"
	"sync"
	"time"

	"lapwright/runtime/child"
	"lapwright/stdlib/document"
)

// A desk is one recipe that is followed: one goroutine runs it, whenever it is
// saved or asked for.
type desk struct {
	recipe Recipe
	limits child.Limits
	again  chan struct{} // something asks for a run
	halt   chan struct{} // the reader asks to stop

	mu      sync.Mutex
	state   state
	stale   bool // a save was not run, as nobody looked
	view    *view
	viewers map[chan struct{}]bool // told of each new view
}

func newDesk(recipe Recipe, o Options) *desk {
	d := &desk{
		recipe: recipe, limits: o.Limits,
		again: make(chan struct{}, 1), halt: make(chan struct{}, 1),
		viewers: make(map[chan struct{}]bool),
	}
	d.state.phase, d.state.given = waiting, maps.Clone(o.Inputs)
	if d.state.given == nil {
		d.state.given = make(map[string]string)
	}
	d.show()
	return d
}

// Why a run was ended before its time.
var (
	errNewer  = errors.New("something newer is there")
	errHalted = errors.New("the reader stopped it")
)

// follow runs the recipe again and again until ctx is done.
func (d *desk) follow(ctx context.Context) {
	saved := watch(ctx, d.recipe.File)
	for ctx.Err() == nil {
		runs, cancel := context.WithCancelCause(ctx)
		over := make(chan struct{})
		drain(d.halt)
		go func() {
			defer close(over)
			d.run(runs)
		}()
		newer := false // ask no more, but run again
		for ended := false; !newer; {
			select {
			case <-ctx.Done():
				newer = true
			case <-saved:
				d.change(false, func(s *state) { s.dropped = nil })
				newer = d.looked()
			case <-d.again:
				newer = true
			case <-d.halt:
				cancel(errHalted)
			case <-over:
				// Nothing more comes of it; wait for something new.
				ended, over = true, nil
			}
			if newer && !ended {
				cancel(errNewer)
				<-over
			}
		}
		cancel(nil)
	}
}

func drain(c chan struct{}) {
	select {
	case <-c:
	default:
	}
}

// nudge sends on a channel that holds one, unless it is full.
func nudge(c chan struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}

// looked tells whether a page is open. Where none is, the save is kept for the next
// that opens.
func (d *desk) looked() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.stale = len(d.viewers) == 0
	return !d.stale
}

// wake asks for a run where a save was missed.
func (d *desk) wake() {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.stale {
		d.stale = false
		nudge(d.again)
	}
}

// A run that is over this soon is not shown as running, so that the page does not
// flicker. After the second time it tells how far it is, and can be stopped.
const (
	soon   = 400 * time.Millisecond
	longer = time.Second
)

// run runs the recipe once.
func (d *desk) run(ctx context.Context) {
	began := time.Now()
	d.change(false, func(s *state) { s.begun(began) })
	for _, after := range []time.Duration{soon, longer} {
		timer := time.AfterFunc(after, func() {
			if ctx.Err() == nil {
				d.change(true, func(*state) {})
			}
		})
		defer timer.Stop()
	}
	shown := began // when the page last changed
	progress := func(p child.Progress) {
		now := time.Now()
		// Each drawing takes from the time of the run.
		often := now.Sub(began) < soon || now.Sub(shown) < 100*time.Millisecond
		if !often {
			shown = now
		}
		d.change(!often, func(s *state) {
			s.newest, s.section = p.Document, p.Section
			s.marks = append(s.marks, mark{p.Section, now.Sub(began)})
		})
	}
	d.mu.Lock()
	given := maps.Clone(d.state.given)
	d.mu.Unlock()
	result, err := child.Run(ctx, child.Job{File: d.recipe.File, Inputs: given, Limits: d.limits, Progress: progress})
	took := time.Since(began)

	var unknown *child.UnknownInput
	switch {
	case errors.Is(err, errHalted):
		d.change(true, func(s *state) {
			if s.newest != nil {
				s.newest.Sections[s.section].State = document.Stopped
			}
			s.settled(stopped, s.newest, took)
		})
	case ctx.Err() != nil:
		// What comes next begins by itself.
	case errors.As(err, &unknown):
		d.change(false, func(s *state) {
			delete(s.given, unknown.Name)
			s.dropped = append(s.dropped, unknown.Name)
		})
		nudge(d.again)
	case err != nil:
		d.change(true, func(s *state) {
			s.settled(failed, nil, took)
			s.trouble = err.Error()
			if errors.Is(err, fs.ErrNotExist) {
				s.trouble = filepath.Base(d.recipe.File) + " is not there"
			}
		})
	default:
		p := done
		if len(result.Document.Faults) > 0 {
			p = failed
		}
		d.change(true, func(s *state) {
			s.walls = fmt.Sprint(result.Walls)
			s.settled(p, result.Document, took)
		})
	}
}

// change changes the state and, where it is to be shown, the page.
func (d *desk) change(show bool, how func(*state)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	how(&d.state)
	if show {
		d.show()
	}
}

// show draws the state and tells all viewers. The caller holds mu, or is alone.
func (d *desk) show() {
	d.view = draw(d.recipe, &d.state)
	for viewer := range d.viewers {
		nudge(viewer)
	}
}

// current returns the newest view.
func (d *desk) current() *view {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.view
}

// look adds a viewer, and returns what ends it.
func (d *desk) look(viewer chan struct{}) (leave func(), ok bool) {
	const most = 100
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.viewers) >= most {
		return nil, false
	}
	d.viewers[viewer] = true
	return func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		delete(d.viewers, viewer)
	}, true
}

// answer answers what a page of this recipe asks for.
func (d *desk) answer(w http.ResponseWriter, r *http.Request, action, up string) {
	get := r.Method != http.MethodPost
	switch {
	case action == "" && get:
		d.wake()
		d.current().write(w, up)
	case action == "events" && get:
		d.wake()
		d.stream(w, r)
	case action == "inputs" && !get:
		if d.give(w, r) {
			back(w, r)
		}
	case action == "stop" && !get:
		nudge(d.halt)
		back(w, r)
	case action == "again" && !get:
		nudge(d.again)
		back(w, r)
	default:
		http.Error(w, "there is nothing here", http.StatusNotFound)
	}
}

// back sends a browser that follows no script back to the page.
func back(w http.ResponseWriter, r *http.Request) {
	http.Redirect(w, r, "./", http.StatusSeeOther)
}
