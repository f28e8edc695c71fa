package page

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"
)

// A message is what an open page is sent: the pieces that differ from those it has.
type message struct {
	Title string            `json:"title"`
	Run   int               `json:"run"`
	Phase phase             `json:"phase"`
	Order []string          `json:"order"` // ids of the pieces within main
	HTML  map[string]string `json:"html"`  // by id
}

// stream sends a page what changes, as server-sent events, until the page leaves.
// A page that is slow misses views, never the newest.
func (d *desk) stream(w http.ResponseWriter, r *http.Request) {
	changed := make(chan struct{}, 1)
	leave, ok := d.look(changed)
	if !ok {
		http.Error(w, "too many pages are open", http.StatusServiceUnavailable)
		return
	}
	defer leave()
	w.Header().Set("Content-Type", "text/event-stream")
	control := http.NewResponseController(w)
	send := func(format string, args ...any) bool {
		_ = control.SetWriteDeadline(time.Now().Add(10 * time.Second))
		_, err := fmt.Fprintf(w, format, args...)
		return err == nil && control.Flush() == nil
	}
	has := make(map[string]string) // what was sent, by id
	alive := time.NewTicker(15 * time.Second)
	defer alive.Stop()
	for {
		v := d.current()
		m := message{v.title, v.run, v.phase, v.order, make(map[string]string)}
		for id, html := range v.html {
			if has[id] != html {
				m.HTML[id] = html
			}
		}
		has = v.html
		data, err := json.Marshal(m)
		if err != nil || !send("data: %s\n\n", data) {
			return
		}
		for quiet := true; quiet; {
			select {
			case <-changed:
				quiet = false
			case <-alive.C:
				if !send(": alive\n\n") {
					return
				}
			case <-r.Context().Done():
				return
			}
		}
	}
}
