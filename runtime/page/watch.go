package page

import (
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// Times of watching. Editors save in several steps; what is seen in the midst of
// them is not yet worth a run.
const (
	quiet   = 12 * time.Millisecond  // without a further step: saved
	longest = 250 * time.Millisecond // steps that go on this long are not waited for
	absent  = 300 * time.Millisecond // for a file that is missing or empty to come back
	poll    = 2 * time.Second        // for folders that tell of no changes, and for one that was replaced
)

// watch tells when a recipe, or a file beside it that it may read, has changed,
// whichever way it was saved. Changes that are not taken from the channel are told
// as one.
func watch(ctx context.Context, file string) <-chan struct{} {
	changed := make(chan struct{}, 1)
	folder := filepath.Dir(file)
	// Without a watcher there is still the poll.
	var events <-chan fsnotify.Event
	var errs <-chan error
	watcher, err := fsnotify.NewWatcher()
	if err == nil {
		events, errs = watcher.Events, watcher.Errors
	}
	seen := look(file)
	watchFolders := func() {
		if watcher != nil {
			for _, f := range seen.folders {
				_ = watcher.Add(filepath.Join(folder, f)) // again for one that is watched does nothing
			}
		}
	}
	watchFolders()
	go func() {
		if watcher != nil {
			defer watcher.Close()
		}
		tick := time.NewTicker(poll)
		defer tick.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case e := <-events:
				if !worth(file, e.Name) {
					continue
				}
				settle(ctx, events)
			case <-errs:
				// More changes than could be told: look.
			case <-tick.C:
			}
			now := look(file)
			for began := time.Now(); now.size == 0 && seen.size > 0 && time.Since(began) < absent; now = look(file) {
				pause(ctx, quiet)
			}
			if now.signature != seen.signature {
				seen = now
				nudge(changed)
			}
			watchFolders()
		}
	}()
	return changed
}

// settle waits until there were no changes for a while.
func settle(ctx context.Context, events <-chan fsnotify.Event) {
	end := time.NewTimer(longest)
	defer end.Stop()
	for {
		still := time.NewTimer(quiet)
		select {
		case <-events:
			still.Stop()
		case <-still.C:
			return
		case <-end.C:
			return
		case <-ctx.Done():
			return
		}
	}
}

func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// A sight is what a recipe's folder looks like.
type sight struct {
	size      int64    // of the recipe; 0 where it is not there
	signature string   // changes when the recipe's text or another file does
	folders   []string // within the recipe's folder, it itself first
}

// look looks at a recipe and the files beside it: at the recipe's text, and at
// size and time of the others.
func look(file string) sight {
	const (
		mostFiles   = 2000
		mostFolders = 50
		deepest     = 3
	)
	var s sight
	h := sha256.New()
	if f, err := os.Open(file); err == nil {
		if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
			s.size, _ = io.Copy(h, io.LimitReader(f, 2<<20))
		}
		f.Close()
	}
	folder, files := filepath.Dir(file), 0
	_ = filepath.WalkDir(folder, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return nil
		}
		rel, _ := filepath.Rel(folder, name)
		if e.IsDir() {
			if rel != "." && (hidden(e.Name()) || strings.Count(rel, string(filepath.Separator)) >= deepest || len(s.folders) >= mostFolders) {
				return fs.SkipDir
			}
			s.folders = append(s.folders, rel)
			return nil
		}
		if files++; files > mostFiles {
			return fs.SkipAll
		}
		if name != file && worth(file, name) {
			if info, err := e.Info(); err == nil {
				fmt.Fprintf(h, "\n%q %d %d", rel, info.Size(), info.ModTime().UnixNano())
			}
		}
		return nil
	})
	s.signature = string(h.Sum(nil))
	return s
}

// worth tells whether a change of a file can change what the recipe says: it is
// the recipe, or may be data. What editors keep beside the files they edit is not,
// nor is what lapwright itself writes.
func worth(recipe, name string) bool {
	if filepath.Clean(name) == filepath.Clean(recipe) {
		return true
	}
	base := filepath.Base(name)
	if hidden(base) || strings.HasSuffix(base, "~") || strings.HasPrefix(base, "#") {
		return false
	}
	switch strings.ToLower(filepath.Ext(base)) {
	case ".go", ".html", ".md", ".pdf", ".json", ".swp", ".tmp", ".part", ".bak":
		return false
	}
	return true
}

func hidden(base string) bool { return strings.HasPrefix(base, ".") }
