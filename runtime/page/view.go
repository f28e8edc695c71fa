package page

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"sync"
	"time"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

//go:embed live.html
var liveHTML string

//go:embed live.css
var liveCSS string

//go:embed live.js
var liveJS string

var (
	pages = sync.OnceValue(func() *template.Template { return template.Must(template.New("live").Parse(liveHTML)) })
	style = sync.OnceValue(func() string { return render.Style() + liveCSS })
)

// policy lets a page do what it needs and no more (Content Security Policy Level 3,
// W3C, from memory): its one style and script are named by their hashes.
var policy = sync.OnceValue(func() string {
	return strings.Join([]string{
		"default-src 'none'", "style-src " + hash(style()), "script-src " + hash(liveJS), "img-src data:",
		"connect-src 'self'", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'",
	}, "; ")
})

func hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// A view is a state as it is shown. It does not change. The ids of pieces of this
// package's own begin with an underscore, which those of a document never do.
type view struct {
	title string
	run   int
	phase phase
	html  map[string]string // of each piece, by id
	order []string          // ids of the pieces within main; not nil, which would be no list to the script
}

// Pieces that stand at fixed places.
const (
	barID    = "_bar" // what the run does
	topID    = "top"
	inputsID = "_inputs"
	endID    = "_end" // run times
)

// draw draws a state.
func draw(recipe Recipe, s *state) *view {
	v := &view{title: recipe.Name, run: s.run, phase: s.phase, html: make(map[string]string), order: []string{}}
	pieces, err := s.document(recipe.Name).Pieces()
	if err != nil {
		s.phase, s.trouble = failed, err.Error()
	} else {
		v.title = pieces.Title
	}
	v.phase = s.phase
	v.html[barID] = execute("bar", barOf(recipe, s, pieces))
	v.html[topID] = pieces.Top.HTML
	if pieces.Top.HTML == "" {
		v.html[topID] = execute("top", v.title)
	}
	v.html[endID] = execute("end", endOf(recipe, s))
	add := func(id, html string) {
		if html != "" {
			v.html[id] = html
			v.order = append(v.order, id)
		}
	}
	add(pieces.Faults.ID, pieces.Faults.HTML)
	add(inputsID, inputsOf(recipe, s))
	for _, p := range pieces.Sections {
		add(p.ID, p.HTML)
	}
	return v
}

// execute draws by a template of the page. The templates are ours: an error is a
// fault of this package.
func execute(name string, data any) string {
	var b strings.Builder
	if err := pages().ExecuteTemplate(&b, name, data); err != nil {
		panic(err)
	}
	return document.Visible(b.String())
}

// write writes the whole page. Up leads to the list, where there is one.
func (v *view) write(w http.ResponseWriter, up string) {
	html := func(id string) template.HTML { return template.HTML(v.html[id]) }
	data := struct {
		Title         string
		Run           int
		Phase         phase
		Again         bool   // to be loaded again where no script does it
		Up            string // the list, where there is one
		Style         template.CSS
		Script        template.JS
		Bar, Top, End template.HTML
		Main          []template.HTML
	}{
		v.title, v.run, v.phase, v.phase == running || v.phase == waiting, up,
		template.CSS(style()), template.JS(liveJS), html(barID), html(topID), html(endID), nil,
	}
	for _, id := range v.order {
		data.Main = append(data.Main, html(id))
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_ = pages().ExecuteTemplate(w, "page", data) // an error says that the reader has gone
}

// A bar says what the run does.
type bar struct {
	Text  string
	To    string // id of the section that the text leads to; "" for none
	Link  string // what the link says
	After string // what stands after the link
	Older bool   // something on the page is of an older run
	Stop  bool   // the run can be stopped
	Again bool   // a run can be asked for
	Drops []string
}

func barOf(recipe Recipe, s *state, pieces render.Pieces) bar {
	b := bar{Drops: s.dropped, Older: s.older != nil && (s.phase == running || s.phase == failed || s.phase == stopped)}
	id, title, at, of := "", "", 0, 0
	if d := s.newest; d != nil && s.section < len(d.Sections) && len(pieces.Sections) == len(d.Sections) {
		at, of = count(d, s.section)
		id, title = pieces.Sections[s.section].ID, document.Line(d.Sections[s.section].Title)
	}
	where := fmt.Sprintf("section %d of %d", at, of)
	switch s.phase {
	case waiting:
		b.Text = "Waiting for the first run."
	case running:
		b.Text = "Running."
		if time.Since(s.began) >= longer {
			b.Stop = true
			if of > 0 && title == "" {
				b.Text = "Running: " + where + "."
			} else if of > 0 {
				b.Text, b.To, b.Link, b.After = "Running: "+where+",", id, title, "."
			}
			if s.before > 0 {
				b.After += " The last run took " + seconds(s.before) + "."
			}
		}
	case done:
		b.Text = "Up to date. The run took " + seconds(s.took) + "."
		if unmet := len(s.newest.Unmet()); unmet > 0 {
			b.Text += fmt.Sprintf(" Expectations not met: %d.", unmet)
		}
	case failed:
		b.Again = s.trouble != ""
		switch {
		case s.trouble != "":
			b.Text = "The recipe could not be run: " + document.Line(s.trouble) + "."
		case pieces.Faults.HTML != "":
			b.Text, b.To, b.Link, b.After = "The recipe did not run.", pieces.Faults.ID, "See what is wrong", "."
		default:
			b.Text, b.To, b.Link, b.After = "The run stopped in "+where+".", id, "See what is wrong", "."
		}
	case stopped:
		b.Text, b.Again = "You stopped the run.", true
		if of > 0 {
			b.Text = "You stopped the run in " + where + "."
		}
	}
	return b
}

// seconds prints a time as a person would say it.
func seconds(d time.Duration) string {
	if d < 95*time.Millisecond {
		return fmt.Sprintf("%.2f\u00a0s", d.Seconds())
	}
	return fmt.Sprintf("%.1f\u00a0s", d.Seconds())
}

// An end tells how long the newest run took, and where.
type end struct {
	File  string
	Total string // "" while it runs
	Times []sectionTime
	Walls string
}

type sectionTime struct{ Title, Took string }

func endOf(recipe Recipe, s *state) end {
	e := end{File: recipe.Told, Walls: s.walls}
	if s.phase == running || s.phase == waiting || s.newest == nil {
		return e
	}
	e.Total = seconds(s.took)
	for i, m := range s.marks {
		until := s.took
		if i+1 < len(s.marks) {
			until = s.marks[i+1].at
		}
		if i == 0 {
			e.Times = append(e.Times, sectionTime{"Starting and checking", fmt.Sprintf("%.3f", m.at.Seconds())})
		}
		if m.section < len(s.newest.Sections) {
			title := document.Line(s.newest.Sections[m.section].Title)
			if title == "" {
				title = "Before the first section"
			}
			e.Times = append(e.Times, sectionTime{title, fmt.Sprintf("%.3f", (until - m.at).Seconds())})
		}
	}
	return e
}
