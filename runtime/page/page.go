// Package page serves recipes as live pages on the loopback address. A page
// follows the recipe's file: whenever it is saved, or a data file beside it, the
// recipe runs again from the top and the page shows what changed.
//
// The page never writes the recipe. Values given for inputs are for the run alone.
// What an older run gave is shown only as such. A newer save stops an older run.
//
// # Who may ask
//
// The address holds a token that no one can guess. A request must name the
// loopback address as its host, so that no other name can be made to lead here,
// and must not come from a page of another origin. What a page may do is bound by
// a strict policy: its own style and script by their hashes, and nothing fetched
// from outside.
//
// # From a save to the page
//
// watch.go tells of saves. A desk (desk.go) stands for one recipe: it runs it,
// holds what is known of it (state.go) and draws that as pieces (view.go). Each
// open page has a stream (stream.go) on which it is sent the pieces that differ
// from those it has; live.js puts them in place. All of it can be read without the
// script, by loading the page again.
package page

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"errors"
	"fmt"
	"net"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"

	"lapwright/runtime/child"
)

// A Recipe is one that can be opened.
type Recipe struct {
	Name string // in addresses and the list: a path with slashes
	File string // of the recipe
	Told string // how a command line names it
}

// Options say what a server serves.
type Options struct {
	Find   func() []Recipe   // the recipes there are; asked again whenever the list is shown
	Inputs map[string]string // values for inputs that every recipe begins with
	Limits child.Limits      // of each run
}

// A Server serves the pages of some recipes.
type Server struct {
	options Options
	token   string
	hosts   []string // what a request may call this server
	ctx     context.Context
	work    sync.WaitGroup // desks

	mu    sync.Mutex
	desks map[string]*desk
}

// New returns a server that has not begun.
func New(o Options) *Server {
	return &Server{options: o, token: strings.ToLower(rand.Text()), desks: make(map[string]*desk)}
}

// Listen opens a port of the loopback address; 0 is any that is free.
func Listen(port int) (net.Listener, error) {
	return net.Listen("tcp", net.JoinHostPort("127.0.0.1", fmt.Sprint(port)))
}

// Address returns where the server's first page is once it serves on l.
func (s *Server) Address(l net.Listener) string {
	return fmt.Sprintf("http://%s/%s/", l.Addr(), s.token)
}

// Serve answers on l until ctx is done, and then stops what still runs.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	s.ctx = ctx
	_, port, err := net.SplitHostPort(l.Addr().String())
	if err != nil {
		return err
	}
	s.hosts = []string{"127.0.0.1:" + port, "localhost:" + port}
	server := &http.Server{
		Handler:           s.guard(http.HandlerFunc(s.route)),
		ReadHeaderTimeout: 5 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		BaseContext:       func(net.Listener) context.Context { return ctx },
	}
	context.AfterFunc(ctx, func() { server.Close() })
	err = server.Serve(l)
	stop()
	s.work.Wait()
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// guard lets through only what this server's own pages, or a person with their
// address, ask for.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy())
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		switch {
		case !s.known(r.Host):
			http.Error(w, "this server has another name", http.StatusMisdirectedRequest)
		case !own(r):
			http.Error(w, "only this server's own pages may ask for this", http.StatusForbidden)
		case r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodPost:
			http.Error(w, "GET, HEAD and POST are allowed", http.StatusMethodNotAllowed)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

func (s *Server) known(host string) bool {
	for _, h := range s.hosts {
		if host == h {
			return true
		}
	}
	return false
}

// own tells whether a request comes from this server's own pages or, where it
// changes nothing and opens a page, from the person at the browser. Browsers say
// so in Origin (RFC 6454) and in the headers of Fetch Metadata (W3C, from memory).
func own(r *http.Request) bool {
	origin, site := r.Header.Get("Origin"), r.Header.Get("Sec-Fetch-Site")
	sameOrigin := origin == "http://"+r.Host
	if r.Method == http.MethodPost {
		return sameOrigin && (site == "" || site == "same-origin")
	}
	switch {
	case origin != "" && !sameOrigin:
		return false
	case site == "" || site == "same-origin" || site == "none":
		return true
	}
	// A link elsewhere that leads here, followed by a person.
	return r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document"
}

// route answers /TOKEN/ with the list, or the only recipe; /TOKEN/NAME/ with a
// page; and below that what the page asks for.
func (s *Server) route(w http.ResponseWriter, r *http.Request) {
	token, rest, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	if subtle.ConstantTimeCompare([]byte(token), []byte(s.token)) != 1 {
		http.Error(w, "there is nothing here; use the whole address that lapwright printed", http.StatusNotFound)
		return
	}
	recipes := s.options.Find()
	name, action := path.Split(rest)
	name = strings.TrimSuffix(name, "/")
	if name == "" && action == "" {
		if len(recipes) == 1 {
			http.Redirect(w, r, s.path(recipes[0]), http.StatusSeeOther)
			return
		}
		s.list(w, r, recipes)
		return
	}
	for _, recipe := range recipes {
		switch {
		case recipe.Name == rest: // the last slash is missing
			http.Redirect(w, r, s.path(recipe), http.StatusSeeOther)
			return
		case recipe.Name == name:
			up := ""
			if len(recipes) > 1 {
				up = strings.Repeat("../", 1+strings.Count(name, "/"))
			}
			s.desk(recipe).answer(w, r, action, up)
			return
		}
	}
	http.Error(w, "there is no such recipe", http.StatusNotFound)
}

// path returns the path of a recipe's page.
func (s *Server) path(recipe Recipe) string { return "/" + s.token + "/" + escaped(recipe.Name) + "/" }

// desk returns the desk of a recipe, and begins it where there is none yet.
func (s *Server) desk(recipe Recipe) *desk {
	s.mu.Lock()
	defer s.mu.Unlock()
	d := s.desks[recipe.Name]
	if d == nil {
		d = newDesk(recipe, s.options)
		s.desks[recipe.Name] = d
		s.work.Go(func() { d.follow(s.ctx) })
	}
	return d
}
