package page

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/heapprofiler"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/performance"
	browserRuntime "github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"golang.org/x/tools/txtar"

	"lapwright/runtime/child"
)

// A browser is a tab of a real Chromium.
type browser struct {
	t   testing.TB
	ctx context.Context

	mu       sync.Mutex
	trouble  []string // what it complained of
	requests []string // addresses it asked for
}

// browse begins a browser, or skips the test where there is none.
func browse(t testing.TB) *browser {
	t.Helper()
	program := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			program = p
			break
		}
	}
	if program == "" {
		t.Skip("there is no Chromium on this machine")
	}
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(program), chromedp.UserDataDir(t.TempDir()), chromedp.NoSandbox,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.WindowSize(1100, 800))
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	b := &browser{t: t, ctx: ctx}
	err := chromedp.Listen(ctx, func(event any) {
		b.mu.Lock()
		defer b.mu.Unlock()
		switch e := event.(type) {
		case *browserRuntime.EventExceptionThrown:
			b.trouble = append(b.trouble, e.ExceptionDetails.Text+" "+e.ExceptionDetails.Exception.Description)
		case *log.EventEntryAdded:
			b.trouble = append(b.trouble, e.Entry.Text)
		case *network.EventRequestWillBeSent:
			b.requests = append(b.requests, e.Request.URL)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	call(b, log.Enable, cdp.Empty{})
	call(b, network.Enable, network.EnableParams{})
	call(b, performance.Enable, performance.EnableParams{})
	return b
}

func call[P, R any](b *browser, command cdp.Command[P, R], params P) R {
	b.t.Helper()
	r, err := chromedp.Call(b.ctx, command, params)
	if err != nil {
		b.t.Fatal(err)
	}
	return r
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, time.Minute)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

// eval runs JavaScript in the page and returns what comes of it. It waits for a
// promise.
func eval[T any](b *browser, script string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, time.Minute)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v", script, err)
	}
	return v
}

// until waits until an expression in JavaScript is true.
func (b *browser) until(expression string) {
	b.t.Helper()
	for began := time.Now(); !eval[bool](b, expression); time.Sleep(5 * time.Millisecond) {
		if time.Since(began) > 30*time.Second {
			b.t.Fatalf("never %s; the page says: %s", expression, eval[string](b, "document.body.innerText"))
		}
	}
}

// click clicks on what a selector names, once it is there.
func (b *browser) click(selector string) {
	b.t.Helper()
	b.until(fmt.Sprintf(`document.querySelector(%q) !== null`, selector))
	eval[bool](b, fmt.Sprintf(`document.querySelector(%q).click() || true`, selector))
}

// enter types in place of what a control holds, by the keyboard.
func (b *browser) enter(id, keys string) {
	b.t.Helper()
	eval[bool](b, fmt.Sprintf(`document.getElementById(%q).focus() || document.getElementById(%q).select() || true`, id, id))
	b.do(chromedp.KeyEvent(keys))
}

const upToDate = `document.documentElement.dataset.phase === "done"`

// says is an expression that tells whether an element says something.
func says(id, words string) string {
	return fmt.Sprintf(`document.getElementById(%q).textContent.includes(%q)`, id, words)
}

// calm complains of what the browser complained of, and of what it asked others for.
func (b *browser) calm(address string) {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, s := range b.trouble {
		b.t.Errorf("the browser complains: %s", s)
	}
	for _, r := range b.requests {
		if !strings.HasPrefix(r, address) && !strings.HasPrefix(r, "data:") {
			b.t.Errorf("the page asks for %s", r)
		}
	}
}

// long is steady with enough words and a figure to scroll through.
var long = strings.NewReplacer(
	`"fmt"`, "\"fmt\"\n\t\"math\"",
	`"lapwright/stdlib/input"`, "\"lapwright/stdlib/input\"\n\t\"lapwright/stdlib/show\"",
	`// ## First`, "// ## First\n\t//\n\t// "+strings.Repeat("Words to scroll through. ", 150),
	`fmt.Println("three")`, `fmt.Println("three")
	var x, y []float64
	for i := 0; i < 100; i++ {
		x, y = append(x, float64(i)), append(y, math.Sin(float64(n*i)/20))
	}
	show.Plot("A wave", "place", "height (nm)", show.Curve{Name: "wave", X: x, Y: y})`,
	`// ## Third`, "// ## Third\n\t//\n\t// "+strings.Repeat("More words to scroll through. ", 150),
).Replace(steady)

func TestBrowserFollowsTheRecipe(t *testing.T) {
	recipe := place(t, long)
	address := serve(t, recipe)
	b := browse(t)
	b.do(chromedp.Navigate(address))
	b.until(upToDate)

	// The reader opens a part, goes somewhere and stands in a control.
	eval[bool](b, `(() => {
		document.querySelector("#third figure details").open = true;
		document.querySelector("#second details").open = true;
		document.querySelector("#second summary").focus({preventScroll: true});
		document.getElementById("third").seen = true;
		scrollTo(0, document.getElementById("third").offsetTop - 200);
		return true;
	})()`)
	type place struct {
		Top           float64
		Open, Focused bool
	}
	stands := func() place {
		return eval[place](b, `({
			Top: document.getElementById("third").getBoundingClientRect().top,
			Open: document.querySelector("#third figure details").open && document.querySelector("#second details").open,
			Focused: document.activeElement === document.querySelector("#second summary"),
		})`)
	}
	before := stands()
	if !before.Open || !before.Focused {
		t.Fatalf("the reader could not go where they would: %+v", before)
	}
	kept := func(how string) {
		t.Helper()
		if now := stands(); now.Top < before.Top-2 || now.Top > before.Top+2 || !now.Open || !now.Focused {
			t.Errorf("%s: the reader stood at %+v and now stands at %+v", how, before, now)
		}
	}

	for i, kind := range []struct {
		name string
		save func(source string) error
	}{
		{"in place", func(source string) error { return os.WriteFile(recipe.File, []byte(source), 0o666) }},
		{"emptied, then written", func(source string) error {
			if err := os.Truncate(recipe.File, 0); err != nil {
				return err
			}
			time.Sleep(50 * time.Millisecond)
			return os.WriteFile(recipe.File, []byte(source), 0o666)
		}},
		{"another file put in its place", func(source string) error {
			if err := os.WriteFile(recipe.File+".tmp", []byte(source), 0o666); err != nil {
				return err
			}
			return os.Rename(recipe.File+".tmp", recipe.File)
		}},
		{"the old one put aside", func(source string) error {
			if err := os.Rename(recipe.File, recipe.File+"~"); err != nil {
				return err
			}
			return os.WriteFile(recipe.File, []byte(source), 0o666)
		}},
	} {
		word := fmt.Sprint("uno", i)
		more := strings.Repeat("still more words here. ", 40*(i+1)) // above what the reader looks at
		if err := kind.save(strings.NewReplacer(`"one"`, `"`+word+`"`, "Words to scroll", more+"Words to scroll").Replace(long)); err != nil {
			t.Fatal(err)
		}
		b.until(upToDate + " && " + says("first", word))
		kept(kind.name)
		if !eval[bool](b, `document.getElementById("third").seen === true`) {
			t.Errorf("%s: a section that did not change was replaced", kind.name)
		}
	}

	// A run that is long enough to be shown under way changes all sections twice.
	save(t, recipe.File, strings.Replace(long, "n := ", "for i := 0; i < 60000000; i++ {}; n := ", 1))
	b.until(`document.documentElement.dataset.phase === "running" && document.querySelector("#third .older") !== null`)
	kept("under way")
	b.until(upToDate)
	kept("after a long run")

	// An input is changed, with the keyboard alone.
	save(t, recipe.File, long)
	b.until(upToDate)
	b.enter("in_n", "7\t")
	b.until(upToDate + " && " + says("second", "n is 7"))
	b.until(says("_inputs", "lapwright run --set n=7 sums"))
	if at := eval[string](b, `document.activeElement.nodeName + document.activeElement.value`); at == "INPUT7" || at == "BODY" {
		t.Errorf("after the input the reader stands in %s", at)
	}
	// What the control does not allow is not sent.
	b.enter("in_n", "70\t")
	if !eval[bool](b, `!document.getElementById("in_n").checkValidity()`) {
		t.Error("the control takes what is out of its range")
	}
	b.click(`#_inputs button[name=recipe]`)
	b.until(upToDate + " && " + says("second", "n is 3") + ` && document.getElementById("in_n").value === "3"`)

	// A run that does not end is stopped.
	save(t, recipe.File, endless)
	b.click(`#_bar form[action=stop] button`)
	b.until(`document.documentElement.dataset.phase === "stopped" && ` + says("_bar", "You stopped the run in section 2 of 3."))
	b.until(`document.querySelector("#third .older") !== null`)

	// The recipe is broken and mended.
	save(t, recipe.File, strings.Replace(long, "n :=", "n =", 1))
	b.until(`document.documentElement.dataset.phase === "failed" && ` + says("faults", "undefined: n"))
	save(t, recipe.File, long)
	b.until(upToDate + ` && !document.getElementById("faults") && !document.querySelector(".older")`)
	b.calm(address)
}

// TestLinkToTheListIsNotCovered looks where the contents of a page stand beside it.
func TestLinkToTheListIsNotCovered(t *testing.T) {
	many, other := place(t, strings.Replace(steady, "// ## Third", "// ## Between\n\tfmt.Println()\n\n\t// ## Third", 1)), place(t, steady)
	other.Name = "other"
	address := serve(t, many, other)
	b := browse(t)
	b.do(chromedp.Navigate(address + "sums/"))
	b.until(upToDate)
	for _, width := range []int64{320, 1100, 1400} {
		b.do(chromedp.EmulateViewport(width, 800))
		if !eval[bool](b, `[...document.querySelectorAll("nav a")].every(a => {
			const r = a.getBoundingClientRect();
			return a.contains(document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2));
		}) && document.querySelectorAll("nav a").length === 5`) {
			t.Errorf("at %d px a link is covered", width)
		}
	}
}

func TestBrowserDoesNotGrowWithSaves(t *testing.T) {
	recipe := place(t, long)
	address := serve(t, recipe)
	b := browse(t)
	b.do(chromedp.Navigate(address))
	b.until(upToDate)
	held := func() map[string]float64 {
		all := make(map[string]float64)
		call(b, heapprofiler.CollectGarbage, cdp.Empty{})
		for _, m := range call(b, performance.GetMetrics, cdp.Empty{}).Metrics {
			all[m.Name] = m.Value
		}
		return all
	}
	var before map[string]float64
	for i := range *saves {
		if i == *saves/3 {
			before = held()
		}
		word := fmt.Sprint("uno", 100000+i)
		save(t, recipe.File, strings.Replace(long, `"one"`, `"`+word+`"`, 1))
		b.until(upToDate + " && " + says("first", word))
	}
	after := held()
	for name, more := range map[string]float64{"Nodes": 20, "JSEventListeners": 0, "Documents": 0, "JSHeapUsedSize": 500_000} {
		if after[name] > before[name]+more {
			t.Errorf("%s grew from %v to %v", name, before[name], after[name])
		}
	}
}

// axe returns the script of axe-core, a checker of accessibility by Deque Systems
// (npm package axe-core), from the file that LAPWRIGHT_AXE names.
func axe(t *testing.T) string {
	t.Helper()
	file := os.Getenv("LAPWRIGHT_AXE")
	if file == "" {
		t.Skip("LAPWRIGHT_AXE does not name axe.min.js of the npm package axe-core")
	}
	script, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(script)
}

// themes runs a check of the page that is open in both themes, wide and at the 320
// pixels of WCAG 2.2, 1.4.10.
func (b *browser) themes(check func(how string)) {
	b.t.Helper()
	for _, theme := range []string{"light", "dark"} {
		for _, width := range []int64{1100, 320} {
			b.do(chromedp.EmulateViewport(width, 800))
			call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}}})
			check(fmt.Sprintf("%s, %d px", theme, width))
		}
	}
}

// accessible holds the page that is open to WCAG 2.2 AA as far as axe-core can
// tell, and to keeping within the width of the screen.
func (b *browser) accessible(name, script string) {
	b.t.Helper()
	b.do(chromedp.Evaluate[chromedp.Void](script))
	b.themes(func(how string) {
		for _, v := range eval[[]string](b, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})
			.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + n.failureSummary.replaceAll("\n", " ") + " " + n.html.slice(0, 200))))`) {
			b.t.Errorf("%s, %s: %s", name, how, v)
		}
		if over := eval[float64](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
			b.t.Errorf("%s, %s: it is %v px too wide", name, how, over)
		}
	})
}

func TestLivePageCanBeUsedByAll(t *testing.T) {
	script := axe(t)
	recipe, other := place(t, long), place(t, steady)
	other.Name = "other"
	address := serve(t, recipe, other)
	b := browse(t)
	b.do(chromedp.Navigate(address))
	b.accessible("the list", script)

	b.do(chromedp.Navigate(address + "sums/"))
	b.until(upToDate)
	eval[bool](b, `document.querySelectorAll("details").forEach(d => d.open = true) || true`)
	b.accessible("up to date", script)

	save(t, recipe.File, strings.Replace(long, "n := ", "for true {\n\t}\n\tn := ", 1))
	b.until(`document.querySelector("#_bar form[action=stop]") !== null`)
	b.accessible("under way", script)
	b.click(`#_bar form[action=stop] button`)
	b.until(`document.querySelector("#_bar form[action=again]") !== null`)
	b.accessible("stopped", script)

	save(t, recipe.File, strings.Replace(long, `math.Sin(float64(n*i)/20)`, "float64(1 / (n - n))", 1))
	b.until(`document.documentElement.dataset.phase === "failed"`)
	b.accessible("failed", script)
	b.calm(address)
}

// TestPagesCanBeUsedByAll looks at the page of every sample of package render, and
// at the pages in the folder that LAPWRIGHT_PAGES names.
func TestPagesCanBeUsedByAll(t *testing.T) {
	script := axe(t)
	folder := t.TempDir()
	samples, err := filepath.Glob(filepath.Join("..", "render", "testdata", "*.txtar"))
	if err != nil || len(samples) == 0 {
		t.Fatal("there are no samples: ", err)
	}
	for _, sample := range samples {
		archive, err := txtar.ParseFile(sample)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range archive.Files {
			if filepath.Ext(f.Name) == ".html" {
				save(t, filepath.Join(folder, filepath.Base(sample)+".html"), string(f.Data))
			}
		}
	}
	pages, _ := filepath.Glob(filepath.Join(folder, "*.html"))
	if more := os.Getenv("LAPWRIGHT_PAGES"); more != "" {
		found, _ := filepath.Glob(filepath.Join(more, "*.html"))
		if len(found) == 0 {
			t.Fatalf("there are no pages in %s", more)
		}
		pages = append(pages, found...)
	}
	b := browse(t)
	for _, page := range pages {
		b.do(chromedp.Navigate("file://" + page))
		eval[bool](b, `document.querySelectorAll("details").forEach(d => d.open = true) || true`)
		b.accessible(filepath.Base(page), script)
	}
	b.calm("file://")
}

// BenchmarkSaveToPage is the time from the save of a recipe until a real browser
// shows what came of it, and what of that is not the recipe's own computing: from
// the entry of main to the end of the process.
func BenchmarkSaveToPage(b *testing.B) {
	shipped, err := filepath.Abs(filepath.Join("..", "..", "recipes", "high-ring"))
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct{ name, folder string }{{"small", filepath.Dir(place(b, long).File)}, {"shipped", shipped}} {
		b.Run(c.name, func(b *testing.B) {
			folder := b.TempDir()
			if err := os.CopyFS(folder, os.DirFS(c.folder)); err != nil {
				b.Fatal(err)
			}
			recipe := Recipe{Name: "sums", File: filepath.Join(folder, "recipe.go"), Told: "sums"}
			text, err := os.ReadFile(recipe.File)
			if err != nil {
				b.Fatal(err)
			}
			l, err := Listen(0)
			if err != nil {
				b.Fatal(err)
			}
			ctx, stop := context.WithCancel(context.Background())
			s := New(Options{Find: func() []Recipe { return []Recipe{recipe} }, Limits: child.Default})
			ended := make(chan error)
			go func() { ended <- s.Serve(ctx, l) }()
			defer func() { stop(); <-ended }()
			w := browse(b)
			w.do(chromedp.Navigate(s.Address(l)))
			w.until(upToDate)
			var all, beyond []float64
			for b.Loop() {
				title := fmt.Sprintf("// # Save %d", len(all))
				source := title + "\n" + strings.SplitN(string(text), "\n", 2)[1]
				eval[bool](w, fmt.Sprintf(`(() => {
					const is = () => document.documentElement.dataset.phase === "done" && document.querySelector("h1").textContent === %q;
					window.shown = new Promise(tell => {
						const look = new MutationObserver(() => is() && requestAnimationFrame(() => { look.disconnect(); tell(performance.timeOrigin + performance.now()); }));
						look.observe(document, {subtree: true, attributes: true, childList: true, characterData: true});
					});
					return true;
				})()`, strings.TrimPrefix(title, "// # ")))
				began := time.Now()
				save(b, recipe.File, source)
				at := eval[float64](w, "window.shown")
				total := at - float64(began.UnixMicro())/1000
				d := s.desk(recipe)
				d.mu.Lock()
				computing := d.state.took - d.state.marks[0].at
				d.mu.Unlock()
				all, beyond = append(all, total), append(beyond, total-float64(computing.Microseconds())/1000)
			}
			report := func(name string, values []float64) {
				slices.Sort(values)
				b.ReportMetric(values[len(values)/2], "ms-median-"+name)
				b.ReportMetric(values[len(values)*95/100], "ms-p95-"+name)
			}
			report("all", all)
			report("beyond-computing", beyond)
		})
	}
}
