package page

import (
	"bufio"
	"context"
	"encoding/json"
	"flag"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"lapwright/runtime/child"
)

var saves = flag.Int("saves", 20, "how often the tests of many saves save")

func TestMain(m *testing.M) {
	if child.Called() {
		child.Main()
	}
	flag.Parse()
	os.Exit(m.Run())
}

// steady is a recipe with an input and three sections.
const steady = `// # Sums
package main

import (
	"fmt"

	"lapwright/stdlib/input"
)

func main() {
	// ## First
	fmt.Println("one")

	// ## Second
	n := input.Count("n", 3, "how many", 1, 9)
	fmt.Println("n is", n)

	// ## Third
	fmt.Println("three")
}
`

// endless is steady with a second section that does not end.
var endless = strings.Replace(steady, `fmt.Println("n is", n)`, "for n > 0 {\n\t}\n\t_ = fmt.Sprint", 1)

// place writes a recipe into a folder of its own.
func place(t testing.TB, source string) Recipe {
	t.Helper()
	file := filepath.Join(t.TempDir(), "recipe.go")
	save(t, file, source)
	return Recipe{Name: "sums", File: file, Told: "sums"}
}

func save(t testing.TB, file, source string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(source), 0o666); err != nil {
		t.Fatal(err)
	}
}

// serve serves recipes until the test is over, and returns the address.
func serve(t testing.TB, recipes ...Recipe) string {
	t.Helper()
	l, err := Listen(0)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	s := New(Options{Find: func() []Recipe { return recipes }, Limits: child.Default})
	ended := make(chan error)
	go func() { ended <- s.Serve(ctx, l) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return s.Address(l)
}

// A reader is an open page without a browser: it puts together what it is sent.
type reader struct {
	t        testing.TB
	address  string // of the page
	messages chan message
	last     message           // the newest
	html     map[string]string // of all pieces, by id
}

// read opens the page of a recipe.
func read(t testing.TB, address, name string) *reader {
	t.Helper()
	r := &reader{t: t, address: address + name + "/", messages: make(chan message, 1000), html: make(map[string]string)}
	ctx, leave := context.WithCancel(context.Background())
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, r.address+"events", nil)
	if err != nil {
		t.Fatal(err)
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	if response.StatusCode != http.StatusOK {
		t.Fatal(response.Status)
	}
	t.Cleanup(func() {
		leave()
		response.Body.Close()
	})
	go func() {
		defer close(r.messages)
		lines := bufio.NewScanner(response.Body)
		lines.Buffer(nil, 16<<20)
		for lines.Scan() {
			data, ok := strings.CutPrefix(lines.Text(), "data: ")
			var m message
			if ok && json.Unmarshal([]byte(data), &m) == nil {
				r.messages <- m
			}
		}
	}()
	return r
}

// until takes messages until one makes the page what it should be.
func (r *reader) until(what string, is func() bool) {
	r.t.Helper()
	late := time.After(30 * time.Second)
	for {
		select {
		case m, ok := <-r.messages:
			if !ok {
				r.t.Fatalf("the stream ended before %s", what)
			}
			if m.Order == nil {
				r.t.Fatal("the order of the pieces is no list")
			}
			r.last = m
			for id, html := range m.HTML {
				r.html[id] = html
			}
			if is() {
				return
			}
		case <-late:
			r.t.Fatalf("never %s; the bar says: %s", what, r.html[barID])
		}
	}
}

// ended takes messages until a run has ended as p.
func (r *reader) ended(p phase) {
	r.t.Helper()
	r.until(string(p), func() bool { return r.last.Phase == p })
}

// holds complains where a piece lacks words.
func (r *reader) holds(id string, words ...string) {
	r.t.Helper()
	for _, w := range words {
		if !strings.Contains(r.html[id], w) {
			r.t.Errorf("%s lacks %q:\n%s", id, w, r.html[id])
		}
	}
}

// lacks complains where a piece holds words.
func (r *reader) lacks(id string, words ...string) {
	r.t.Helper()
	for _, w := range words {
		if strings.Contains(r.html[id], w) {
			r.t.Errorf("%s holds %q:\n%s", id, w, r.html[id])
		}
	}
}

// post asks for something as the page's script does.
func (r *reader) post(action string, values url.Values) {
	r.t.Helper()
	request, err := http.NewRequest(http.MethodPost, r.address+action, strings.NewReader(values.Encode()))
	if err != nil {
		r.t.Fatal(err)
	}
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	u, _ := url.Parse(r.address)
	request.Header.Set("Origin", "http://"+u.Host)
	response, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		r.t.Fatal(err)
	}
	response.Body.Close()
	if response.StatusCode != http.StatusSeeOther {
		r.t.Fatalf("%s: %s", action, response.Status)
	}
}

func TestOnlyItsOwnPagesAndTheirReaderMayAsk(t *testing.T) {
	address := serve(t, place(t, steady))
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	_, port, _ := strings.Cut(u.Host, ":")
	own := "http://" + u.Host
	for _, c := range []struct {
		name, method, path, host string
		headers                  []string // name and value in turn
		want                     int
	}{
		{"a person opens the address", "GET", u.Path, u.Host, nil, 303},
		{"the page", "GET", u.Path + "sums/", u.Host, []string{"Sec-Fetch-Site", "none"}, 200},
		{"the page without its last slash", "GET", u.Path + "sums", u.Host, nil, 303},
		{"by its other name", "GET", u.Path + "sums/", "localhost:" + port, nil, 200},
		{"a link from elsewhere", "GET", u.Path + "sums/", u.Host, []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"}, 200},
		{"a frame elsewhere", "GET", u.Path + "sums/", u.Host, []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "iframe"}, 403},
		{"a script elsewhere", "GET", u.Path + "sums/", u.Host, []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors", "Sec-Fetch-Dest", "script"}, 403},
		{"a page on another port", "GET", u.Path + "sums/events", u.Host, []string{"Origin", "http://127.0.0.1:1"}, 403},
		{"a page with no origin", "GET", u.Path + "sums/events", u.Host, []string{"Origin", "null"}, 403},
		{"no token", "GET", "/", u.Host, nil, 404},
		{"another token", "GET", "/" + strings.Repeat("a", 26) + "/sums/", u.Host, nil, 404},
		{"half a token", "GET", u.Path[:10] + "/sums/", u.Host, nil, 404},
		{"a name that leads here", "GET", u.Path + "sums/", "example.com", nil, 421},
		{"that name with the port", "GET", u.Path + "sums/", "example.com:" + port, nil, 421},
		{"another port", "GET", u.Path + "sums/", "127.0.0.1:1", nil, 421},
		{"another recipe", "GET", u.Path + "differences/", u.Host, nil, 404},
		{"a path out", "GET", u.Path + "sums/../../etc/passwd", u.Host, nil, 404},
		{"what is not there", "GET", u.Path + "sums/recipe.go", u.Host, nil, 404},
		{"the page's form", "POST", u.Path + "sums/again", u.Host, []string{"Origin", own, "Sec-Fetch-Site", "same-origin"}, 303},
		{"a form elsewhere", "POST", u.Path + "sums/again", u.Host, []string{"Origin", "http://example.com", "Sec-Fetch-Site", "cross-site"}, 403},
		{"a form of another port", "POST", u.Path + "sums/again", u.Host, []string{"Origin", "http://127.0.0.1:1", "Sec-Fetch-Site", "same-site"}, 403},
		{"a form of no origin", "POST", u.Path + "sums/again", u.Host, nil, 403},
		{"a form by the other name", "POST", u.Path + "sums/again", u.Host, []string{"Origin", "http://localhost:" + port}, 403},
		{"a run by a link", "GET", u.Path + "sums/again", u.Host, nil, 404},
		{"a way of asking unknown", "PUT", u.Path + "sums/", u.Host, []string{"Origin", own}, 405},
	} {
		t.Run(c.name, func(t *testing.T) {
			request, err := http.NewRequest(c.method, own, nil)
			if err != nil {
				t.Fatal(err)
			}
			request.URL.Path, request.Host = c.path, c.host
			for i := 0; i < len(c.headers); i += 2 {
				request.Header.Set(c.headers[i], c.headers[i+1])
			}
			response, err := http.DefaultTransport.RoundTrip(request)
			if err != nil {
				t.Fatal(err)
			}
			defer response.Body.Close()
			if response.StatusCode != c.want {
				t.Errorf("the answer is %d, not %d", response.StatusCode, c.want)
			}
			body, _ := io.ReadAll(response.Body)
			if token := strings.Trim(u.Path, "/"); c.want >= 400 && strings.Contains(string(body)+response.Header.Get("Location"), token) {
				t.Error("the answer tells the token")
			}
			for _, rule := range []string{"default-src 'none'", "base-uri 'none'", "frame-ancestors 'none'", "form-action 'self'"} {
				if !strings.Contains(response.Header.Get("Content-Security-Policy"), rule) {
					t.Errorf("the policy lacks %s", rule)
				}
			}
		})
	}
}

func TestTheServerIsOnThisMachineAlone(t *testing.T) {
	l, err := Listen(0)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if host, _, _ := strings.Cut(l.Addr().String(), ":"); host != "127.0.0.1" {
		t.Errorf("it listens on %s", host)
	}
	a, b := New(Options{}), New(Options{})
	if a.token == b.token || len(a.token) < 26 { // 26 signs of 32 kinds are 130 bits
		t.Errorf("the tokens %s and %s can be guessed", a.token, b.token)
	}
}

func TestSeveralRecipesAreListed(t *testing.T) {
	a, b := place(t, steady), place(t, steady)
	a.Name, b.Name = "a mirror/<first>", "second"
	address := serve(t, a, b)
	response, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	body, _ := io.ReadAll(response.Body)
	response.Body.Close()
	for _, words := range []string{`<a href="a%20mirror/%3Cfirst%3E/">a mirror/&lt;first&gt;</a>`, `<a href="second/">`} {
		if !strings.Contains(string(body), words) {
			t.Errorf("the list lacks %s:\n%s", words, body)
		}
	}
	read(t, address, "a%20mirror/%3Cfirst%3E").ended(done)
}

func TestPageFollowsEveryKindOfSave(t *testing.T) {
	must := func(t *testing.T, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	half := len(steady) / 2
	for _, c := range []struct {
		name string
		save func(t *testing.T, file, source string)
	}{
		{"in place", func(t *testing.T, file, source string) {
			f, err := os.OpenFile(file, os.O_WRONLY, 0)
			must(t, err)
			_, err = f.WriteAt([]byte(source), 0)
			must(t, err)
			must(t, f.Truncate(int64(len(source))))
			must(t, f.Close())
		}},
		{"emptied, then written", func(t *testing.T, file, source string) {
			must(t, os.Truncate(file, 0))
			time.Sleep(60 * time.Millisecond)
			must(t, os.WriteFile(file, []byte(source), 0o666))
		}},
		{"in two steps", func(t *testing.T, file, source string) {
			f, err := os.OpenFile(file, os.O_WRONLY|os.O_TRUNC, 0)
			must(t, err)
			_, err = f.WriteString(source[:half])
			must(t, err)
			_, err = f.WriteString(source[half:])
			must(t, err)
			must(t, f.Close())
		}},
		{"another file put in its place", func(t *testing.T, file, source string) {
			must(t, os.WriteFile(file+".tmp", []byte(source), 0o666))
			must(t, os.Rename(file+".tmp", file))
		}},
		{"the old one put aside", func(t *testing.T, file, source string) {
			must(t, os.Rename(file, file+"~"))
			time.Sleep(20 * time.Millisecond)
			must(t, os.WriteFile(file, []byte(source), 0o666))
			must(t, os.Remove(file+"~"))
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			recipe := place(t, steady)
			r := read(t, serve(t, recipe), recipe.Name)
			r.ended(done)
			for _, word := range []string{"uno", "eins"} {
				c.save(t, recipe.File, strings.Replace(steady, "one", word, 1))
				r.until("changed", func() bool {
					if r.last.Phase == failed {
						t.Errorf("what was half saved was run: %s", r.html[barID])
					}
					return r.last.Phase == done && strings.Contains(r.html["first"], word)
				})
			}
		})
	}
}

func TestOnlyWhatChangedIsSent(t *testing.T) {
	recipe := place(t, steady)
	r := read(t, serve(t, recipe), recipe.Name)
	r.ended(done)
	for _, word := range []string{"uno", "eins", "un", "en", "jeden"} {
		save(t, recipe.File, strings.Replace(steady, "one", word, 1))
		sent, shown := make(map[string]bool), false
		r.until("changed", func() bool {
			for id := range r.last.HTML {
				sent[id] = true
			}
			shown = shown || r.last.Phase == running
			return r.last.Phase == done && strings.Contains(r.html["first"], word)
		})
		if shown {
			continue // a slow machine shows the run under way, which changes all
		}
		for _, id := range []string{"second", "third", topID, inputsID} {
			if sent[id] {
				t.Errorf("%s was sent, which did not change", id)
			}
		}
		return
	}
	t.Skip("every run took so long that it was shown under way")
}

func TestDataBesideTheRecipeIsFollowed(t *testing.T) {
	recipe := place(t, strings.Replace(steady, `"three"`, `input.Table("data.csv").Numbers("a")`, 1))
	data := filepath.Join(filepath.Dir(recipe.File), "data.csv")
	save(t, data, "a\n1.25\n")
	r := read(t, serve(t, recipe), recipe.Name)
	r.ended(done)
	r.holds("third", "[1.25]")
	save(t, data, "a\n1.25\n2.5\n")
	r.until("with newer data", func() bool { return r.last.Phase == done && strings.Contains(r.html["third"], "[1.25 2.5]") })
}

func TestErrorKeepsWhatIsGoodAboveIt(t *testing.T) {
	recipe := place(t, steady)
	r := read(t, serve(t, recipe), recipe.Name)
	r.ended(done)

	// It stops in the second section.
	save(t, recipe.File, strings.Replace(strings.Replace(steady, "one", "uno", 1), `fmt.Println("n is", n)`, `fmt.Println(12 / (n - n))`, 1))
	r.ended(failed)
	r.holds("first", "uno")
	r.lacks("first", "older", "Not reached")
	r.holds("second", "divide by zero")
	r.holds("third", "Not reached. This is of an older run.", `class="out older"`, "three")
	r.holds(barID, "The run stopped in section 2 of 3.", `href="#second"`, "What is dimmed is of an older run.")

	// It cannot be read: nothing runs, and all that there was is still there.
	save(t, recipe.File, strings.Replace(steady, "n :=", "n =:", 1))
	r.until("wrong", func() bool {
		return r.last.Phase == failed && r.html["faults"] != "" && strings.Contains(strings.Join(r.last.Order, " "), "faults")
	})
	r.holds("first", "uno", `class="out older"`)
	r.holds("third", "three", `class="out older"`)
	r.holds("faults", "recipe.go:15:5")

	// It is not there.
	if err := os.Remove(recipe.File); err != nil {
		t.Fatal(err)
	}
	r.until("without a recipe", func() bool {
		return strings.Contains(r.html[barID], "The recipe could not be run: recipe.go is not there.")
	})
	r.holds("third", "three", `class="out older"`)

	// It is mended.
	save(t, recipe.File, steady)
	r.ended(done)
	for _, id := range r.last.Order {
		r.lacks(id, "older")
	}
	r.lacks(barID, "dimmed")
}

func TestNewerSaveStopsTheOlderRun(t *testing.T) {
	recipe := place(t, endless)
	r := read(t, serve(t, recipe), recipe.Name)
	r.until("running", func() bool { return r.last.Phase == running && strings.Contains(r.html["second"], "Running.") })
	r.holds("first", "one")
	r.holds("third", "Not run yet.")
	save(t, recipe.File, steady)
	r.ended(done)
	r.holds("second", "n is 3")
}

func TestReaderCanStopARun(t *testing.T) {
	recipe := place(t, steady)
	r := read(t, serve(t, recipe), recipe.Name)
	r.ended(done)
	save(t, recipe.File, endless)
	r.until("to be stopped", func() bool { return strings.Contains(r.html[barID], `action="stop"`) })
	r.holds(barID, `Running: section 2 of 3, <a href="#second">Second</a>. The last run took`)
	r.post("stop", nil)
	r.ended(stopped)
	r.holds(barID, "You stopped the run in section 2 of 3.", `action="again"`)
	r.holds("second", "Stopped here. This is of an older run.", "n is 3")
	r.holds("third", "Not reached. This is of an older run.")
	save(t, recipe.File, steady)
	r.ended(done)
}

func TestInputsAreForTheRunAlone(t *testing.T) {
	recipe := place(t, steady)
	r := read(t, serve(t, recipe), recipe.Name)
	r.ended(done)
	r.holds(inputsID, `type="number" step="1" value="3" min="1" max="9"`, "1 to 9", "lapwright run sums<")

	r.post("inputs", url.Values{"in.n": {"7"}})
	r.until("with 7", func() bool { return r.last.Phase == done && strings.Contains(r.html["second"], "n is 7") })
	r.holds(inputsID, "lapwright run --set n=7 sums<", "the recipe has 3", "As in the recipe")

	// What the recipe does not allow stops it, and the value can be mended.
	r.post("inputs", url.Values{"in.n": {"12"}})
	r.ended(failed)
	r.holds("second", "input n is 12", "must be from 1 to 9")
	r.holds(inputsID, `value="12"`)

	r.post("inputs", url.Values{"recipe": {"yes"}, "in.n": {"12"}})
	r.ended(done)
	r.holds("second", "n is 3")
	r.lacks(inputsID, "As in the recipe")

	// A value for an input that is there no more is dropped, and the page says so.
	r.post("inputs", url.Values{"in.n": {"7"}})
	r.until("with 7", func() bool { return r.last.Phase == done && strings.Contains(r.html["second"], "n is 7") })
	save(t, recipe.File, strings.ReplaceAll(steady, `"n"`, `"m"`))
	r.until("without n", func() bool { return r.last.Phase == done && strings.Contains(r.html[inputsID], "in.m") })
	r.holds(barID, "The recipe has no input n any more")

	entries, err := os.ReadDir(filepath.Dir(recipe.File))
	if err != nil || len(entries) != 1 {
		t.Errorf("beside the recipe there is %v", entries)
	}
	if source, _ := os.ReadFile(recipe.File); string(source) != strings.ReplaceAll(steady, `"n"`, `"m"`) {
		t.Error("the recipe was written")
	}
}

func TestASaveThatNobodySeesRunsWhenAPageIsOpened(t *testing.T) {
	recipe := place(t, steady)
	address := serve(t, recipe)
	get := func() string {
		t.Helper()
		response, err := http.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		defer response.Body.Close()
		body, _ := io.ReadAll(response.Body)
		return string(body)
	}
	// Without a script the page asks to be loaded again until there is something.
	for began := time.Now(); !strings.Contains(get(), `data-phase="done"`); time.Sleep(10 * time.Millisecond) {
		if time.Since(began) > 30*time.Second {
			t.Fatal("the recipe never ran")
		}
	}
	if page := get(); strings.Contains(page, "http-equiv") || !strings.Contains(page, "n is 3") {
		t.Error("a page that is up to date asks to be loaded again, or lacks what the run gave")
	}
	save(t, recipe.File, strings.Replace(steady, "n is", "n =", 1))
	r := read(t, address, recipe.Name)
	r.until("newer", func() bool { return r.last.Phase == done && strings.Contains(r.html["second"], "n = 3") })
}

// TestManySavesLeaveNothingBehind saves often, with pages that come and go.
func TestManySavesLeaveNothingBehind(t *testing.T) {
	recipe := place(t, steady)
	address := serve(t, recipe)
	r := read(t, address, recipe.Name)
	r.ended(done)
	held := func() (int, uint64) {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return runtime.NumGoroutine(), m.HeapAlloc
	}
	var goroutines int
	var heap uint64
	for i := range *saves {
		if i == *saves/3 {
			goroutines, heap = held()
		}
		word := strings.Repeat("x", 1+i%7)
		save(t, recipe.File, strings.Replace(steady, "one", word, 1))
		r.until("changed", func() bool { return r.last.Phase == done && strings.Contains(r.html["first"], word+"\n") })
	}
	g, h := held()
	if g > goroutines+5 {
		t.Errorf("%d goroutines became %d", goroutines, g)
	}
	if h > heap+heap/4+1<<20 {
		t.Errorf("%d bytes became %d", heap, h)
	}
}
