//go:build unix

package child

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"go/token"
	"io"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"lapwright/runtime/recipe"
	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// The child of these tests is this test program. Where the recipe's title names
// one of misbehaviours, that runs in place of the recipe: it has all of Go to
// break out with, which a recipe has not.
func TestMain(m *testing.M) {
	if Called() {
		serve(func(o order, r *recipe.Recipe, folder fs.FS, t *teller) []document.Fault {
			if misbehave, ok := misbehaviours[r.Title]; ok {
				return misbehave(folder, t)
			}
			t.out = breaking{t.out}
			return phases(o, r, folder, t)
		})
	}
	os.Exit(m.Run())
}

// breaking is an output with a fault of our own: it fails at one word.
type breaking struct{ io.Writer }

func (b breaking) Write(p []byte) (int, error) {
	if bytes.HasPrefix(p, []byte(`{"block"`)) && bytes.Contains(p, []byte("breaks here")) {
		var none []int
		p = p[none[0]:]
	}
	return b.Writer.Write(p)
}

type misbehaviour func(folder fs.FS, t *teller) []document.Fault

// sink keeps what is allocated.
var sink []any

var misbehaviours = map[string]misbehaviour{
	"loop that can be stopped": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		fmt.Fprintln(t, "before the loop")
		<-t.stop
		return []document.Fault{{Kind: document.Limit, Message: "stopped", Position: place(4)}}
	},
	"loop that cannot": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		fmt.Fprintln(t, "before the loop")
		t.tell(event{Input: &document.Input{Name: "n"}})
		for i := 0; ; i++ {
			if i < 0 {
				return nil
			}
		}
	},
	"memory in one bite": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		b := make([]byte, 8<<30)
		for i := 0; i < len(b); i += 4096 {
			b[i] = 1
		}
		sink = append(sink, b)
		return nil
	},
	"memory by drops": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		for {
			sink = append(sink, make([]byte, 4096))
		}
	},
	"memory by drops that stops when told": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		for {
			for range 1000 {
				sink = append(sink, make([]byte, 64))
			}
			if t.halted() != nil {
				return []document.Fault{{Position: place(3)}}
			}
		}
	},
	"deep recursion": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		var deeper func(n int) int
		deeper = func(n int) int { return deeper(n+1) + 1 }
		fmt.Fprintln(t, deeper(0))
		return nil
	},
	"printing without end": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		for {
			if _, err := fmt.Fprintln(t, "a line of it"); err != nil {
				return nil
			}
		}
	},
	"tables without end": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		for t.halted() == nil {
			t.show(document.Text{Text: strings.Repeat("a line of it ", 100)})
		}
		return nil
	},
	"a large document": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		for range 300_000 {
			fmt.Fprintln(t, "a line of some length to print, again and again")
		}
		return nil
	},
	"half a character at a time": func(_ fs.FS, t *teller) []document.Fault {
		enter(t)
		for _, b := range []byte(strings.Repeat("λ√−Δ″", 2000)) {
			t.Write([]byte{b})
		}
		return nil
	},
	"panic": func(_ fs.FS, t *teller) []document.Fault { panic("a phase failed") },
	"crash": func(_ fs.FS, t *teller) []document.Fault {
		go func() { panic("nobody catches this") }()
		select {}
	},
	"leaves":                func(_ fs.FS, t *teller) []document.Fault { os.Exit(0); return nil },
	"forged: not JSON":      forge("Hello\n"),
	"forged: half a line":   forge(`{"enter":0`),
	"forged: no section":    forge(`{"enter":7}` + "\n"),
	"forged: outline":       forge(`{"outline":{"title":"","summary":"","parts":null}}` + "\n"),
	"forged: walls":         forge(`{"walls":{"files":true}}` + "\n"),
	"forged: no kind":       forge(`{"block":[{"script":{}}]}` + "\n"),
	"forged: two blocks":    forge(`{"block":[{"text":{"text":""}},{"text":{"text":""}}]}` + "\n"),
	"forged: two members":   forge(`{"enter":0,"end":{}}` + "\n"),
	"forged: none":          forge(`{}` + "\n"),
	"forged: not a member":  forge(`{"leave":0}` + "\n"),
	"forged: after the end": forge(`{"end":{}}` + "\n" + `{"enter":0}` + "\n"),
	"forged: ragged":        forge(`{"block":[{"table":{"title":"","columns":[],"rows":[[{"text":""}]]}}]}` + "\n"),
	"forged: curve":         forge(`{"block":[{"plot":{"title":"","alt":"","x":{"label":""},"y":{"label":""},"curves":[{"name":"","role":"","x":[1],"y":[]}]}}]}` + "\n"),
	"forged: number":        forge(`{"block":[{"plot":{"x":{"label":"","low":1e999},"y":{"label":""},"curves":[]}}]}` + "\n"),
	"forged: fault":         forge(`{"end":{"faults":[{"kind":"praise","message":"","position":{}}]}}` + "\n"),
	"forged: not UTF-8":     forge("{\"block\":[{\"text\":{\"text\":\"\xff\"}}]}\n"),
	"forged: deep":          forge(`{"block":` + strings.Repeat("[", 1_000_000) + "\n"),
	"forged: a long line": func(_ fs.FS, t *teller) []document.Fault {
		for {
			fmt.Print(strings.Repeat("{", 1<<20))
		}
	},
	"forged: many lines": func(_ fs.FS, t *teller) []document.Fault {
		for {
			fmt.Print(strings.Repeat(`{"enter":0}`+"\n", 1<<16))
		}
	},
	"forged: many blocks": func(_ fs.FS, t *teller) []document.Fault {
		for {
			fmt.Print(strings.Repeat(`{"block":[{"text":{"text":""}}]}`+"\n", 1<<10))
		}
	},
	"breaks out": breakOut,
}

// forge tells the parent something, and then that all is well.
func forge(line string) misbehaviour {
	return func(_ fs.FS, t *teller) []document.Fault {
		fmt.Print(line)
		return nil
	}
}

func enter(t *teller) {
	zero := 0
	t.tell(event{Enter: &zero})
}

// breakOut tries what walls are for, and prints what it got.
func breakOut(folder fs.FS, t *teller) []document.Fault {
	enter(t)
	try := func(name string, err error) {
		if err == nil {
			fmt.Fprintln(t, name)
		}
	}
	open := func(file string) error {
		f, err := os.Open(file)
		if err == nil {
			f.Close()
		}
		return err
	}
	read := func(file string) error {
		_, err := fs.ReadFile(folder, file)
		return err
	}
	here := strings.TrimSpace(must(fs.ReadFile(folder, "here.txt")))
	try("read /etc/passwd", open("/etc/passwd"))
	try("list /", open("/"))
	try("read beside the folder", open(filepath.Join(here, "..", "secret.txt")))
	try("open a device", open("/dev/zero"))
	try("write into the folder", os.WriteFile(filepath.Join(here, "new.txt"), nil, 0o666))
	try("remove from the folder", os.Remove(filepath.Join(here, "here.txt")))
	try("read ../secret.txt", read("../secret.txt"))
	try("read by an absolute name", read(filepath.Join(here, "here.txt")))
	try("follow a link out", read("out.txt"))
	try("follow a link to a folder out", read("up/secret.txt"))
	try("read a pipe", read("pipe"))
	try("follow a link to a device", read("zero"))
	try("run a program", exec.Command("/bin/true").Run())
	try("run itself", exec.Command("/proc/self/exe").Run())
	_, err := net.Dial("tcp", "127.0.0.1:9")
	if err != nil && strings.Contains(err.Error(), "refused") {
		err = nil // the kernel tried
	}
	try("dial", err)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	try("listen", err)
	if err == nil {
		l.Close()
	}
	_, err = net.ListenPacket("udp", "127.0.0.1:0")
	try("send packets", err)
	try("end its parent", syscall.Kill(os.Getppid(), syscall.Signal(0)))
	try("raise a limit", syscall.Setrlimit(syscall.RLIMIT_NOFILE, &syscall.Rlimit{Cur: 32, Max: 32}))
	if env := os.Environ(); len(env) != 1 {
		fmt.Fprintln(t, "see the environment:", env)
	}
	fmt.Fprintln(t, "done")
	return nil
}

func must(data []byte, err error) string {
	if err != nil {
		panic(err)
	}
	return string(data)
}

// write makes a recipe of a title in a folder of its own.
func write(t *testing.T, title string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "recipe", "recipe.go")
	if err := os.Mkdir(filepath.Dir(file), 0o777); err != nil {
		t.Fatal(err)
	}
	src := "// # " + title + "\npackage main\n\nfunc main() {\n\t// ## Only\n\t_ = 1\n}\n"
	if err := os.WriteFile(file, []byte(src), 0o666); err != nil {
		t.Fatal(err)
	}
	return file
}

func place(line int) token.Position {
	return token.Position{Filename: "recipe.go", Line: line, Column: 2}
}

// testLimits give the loops half a second; all else ends by itself, however busy
// the machine.
func testLimits(title string) Limits {
	l := Limits{Time: 20 * time.Second, Memory: 256 << 20, Output: 1 << 20, Steps: 1e9, Depth: 1000}
	if strings.HasPrefix(title, "loop") {
		l.Time = time.Second / 2
	}
	return l
}

func runTest(t *testing.T, title string) *Result {
	t.Helper()
	began := time.Now()
	result, err := Run(context.Background(), Job{File: write(t, title), Limits: testLimits(title)})
	if err != nil {
		t.Fatal(err)
	}
	if took := time.Since(began); took > testLimits(title).Time+5*time.Second {
		t.Errorf("took %v", took)
	}
	return result
}

func TestMisbehaviourIsContained(t *testing.T) {
	limit := func(message string) string { return "limit: " + message }
	forged := "engine: the recipe's process told what it should not: "
	tests := []struct{ title, want string }{
		{"loop that can be stopped", limit("the run took longer than 0.5 s")},
		{"loop that cannot", limit("the run took longer than 0.5 s")},
		{"memory in one bite", limit("the recipe holds more than 256 MB of memory")},
		{"memory by drops", limit("the recipe holds more than 256 MB of memory")},
		{"memory by drops that stops when told", limit("the recipe holds more than 256 MB of memory")},
		{"deep recursion", limit("calls are nested deeper than allowed")},
		{"printing without end", limit("the recipe shows and prints more than 1 MB")},
		{"tables without end", limit("the recipe shows and prints more than 1 MB")},
		{"a large document", limit("the recipe shows and prints more than 1 MB")},
		{"panic", "engine: a phase failed"},
		{"crash", "engine: the recipe's process ended before its time: panic: nobody catches this"},
		{"leaves", "engine: the recipe's process ended before its time: exit status 0"},
		{"forged: not JSON", forged + "invalid character 'H' looking for beginning of value"},
		{"forged: half a line", forged + "invalid character '{' after object key:value pair"},
		{"forged: no section", forged + "no section has the number 7"},
		{"forged: outline", forged + "two outlines"},
		{"forged: walls", forged + "walls told twice"},
		{"forged: no kind", forged + `document: no kind of block is named "script"`},
		{"forged: two blocks", forged + "2 blocks, not 1"},
		{"forged: two members", forged + "2 members, not 1"},
		{"forged: none", forged + "0 members, not 1"},
		{"forged: not a member", forged + `json: unknown field "leave"`},
		{"forged: after the end", forged + "an event after the last"},
		{"forged: ragged", forged + `document: row 0 of table "" has 1 cells for 0 columns`},
		{"forged: curve", forged + `document: curve "" of plot "" has 1 values of x, 0 of y, 0 low and 0 high`},
		{"forged: number", forged + "json: cannot unmarshal number 1e999"},
		{"forged: fault", forged + `no kind of fault is named "praise"`},
		{"forged: not UTF-8", forged + "not UTF-8"},
		{"forged: deep", forged + "invalid character"},
		{"forged: a long line", forged + "bufio.Scanner: token too long"},
		{"forged: many lines", forged + "more than 200000 events"},
		{"forged: many blocks", forged + "more than 200000 events"},
	}
	for _, test := range tests {
		t.Run(test.title, func(t *testing.T) {
			t.Parallel()
			d := runTest(t, test.title).Document
			if len(d.Faults) != 1 {
				t.Fatalf("faults %+v", d.Faults)
			}
			if got := string(d.Faults[0].Kind) + ": " + d.Faults[0].Message; !strings.HasPrefix(got, test.want) {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
			if strings.Contains(d.Faults[0].Message, "goroutine") {
				t.Errorf("a stack in the message: %s", d.Faults[0].Message)
			}
		})
	}
}

func TestWhatCameBeforeAStopIsKept(t *testing.T) {
	for _, title := range []string{"loop that can be stopped", "loop that cannot"} {
		d := runTest(t, title).Document
		if len(d.Sections) != 1 || d.Sections[0].State != document.Stopped {
			t.Fatalf("%s: %+v", title, d.Sections)
		}
		if got := d.Sections[0].Blocks; len(got) != 1 || got[0] != document.Block(document.Printed{Text: "before the loop\n"}) {
			t.Errorf("%s: %+v", title, got)
		}
		if d.Faults[0].Section != "Only" {
			t.Errorf("%s: section %q", title, d.Faults[0].Section)
		}
	}
}

func TestLimitIsToldWithItsPlace(t *testing.T) {
	for title, line := range map[string]int{"loop that can be stopped": 4, "memory by drops that stops when told": 3} {
		f := runTest(t, title).Document.Faults[0]
		for again := 0; again < 5 && f.Position.Line == 0; again++ {
			f = runTest(t, title).Document.Faults[0] // a child that a busy machine kept from answering in time is ended without
		}
		if f.Position.Line != line || f.Excerpt == "" && line == 4 {
			t.Errorf("%s: %+v", title, f)
		}
	}
}

func TestFaultOfOurOwnIsToldAsSuch(t *testing.T) {
	const source = `// # Ours
package main

import "lapwright/stdlib/show"

func main() {
	// ## Before
	show.Text("shown")

	// ## It
	tell("breaks here")

	// ## After
	show.Text("not shown")
}

func tell(s string) { show.Text(s) }
`
	result, err := Run(context.Background(), Job{File: trap(t, []byte(source)), Limits: testLimits("")})
	if err != nil {
		t.Fatal(err)
	}
	text, err := render.Text(result.Document)
	if err != nil {
		t.Fatal(err)
	}
	f := result.Document.Faults[0]
	if f.Kind != document.EngineFault || f.Position.Line != 17 || len(f.Trace) != 2 || f.Hint != reportHint || f.Section != "It" {
		t.Errorf("%+v", f)
	}
	for _, part := range []string{"shown\n", "engine fault: fault inside show.Text: runtime error: index out of range [0] with length 0", "please report it", "Not reached: After"} {
		if !strings.Contains(string(text), part) {
			t.Errorf("it does not say %q:\n%s", part, text)
		}
	}
	if strings.Contains(string(text), "goroutine ") || strings.Contains(string(text), ".go:1:") {
		t.Errorf("it shows the program's own stack:\n%s", text)
	}
}

func TestPrintingIsOneBlockToTheLetter(t *testing.T) {
	want := strings.Repeat("λ√−Δ″", 2000)
	d := runTest(t, "half a character at a time").Document
	if len(d.Faults) > 0 || len(d.Sections[0].Blocks) != 1 || d.Sections[0].Blocks[0] != document.Block(document.Printed{Text: want}) {
		t.Errorf("%v, %d blocks", d.Faults, len(d.Sections[0].Blocks))
	}
}

func TestChildCannotLeaveItsFolder(t *testing.T) {
	file := write(t, "breaks out")
	here := filepath.Dir(file)
	put := func(name, text string) {
		if err := os.WriteFile(filepath.Join(here, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	put("here.txt", here)
	put("../secret.txt", "secret")
	for name, to := range map[string]string{"out.txt": "../secret.txt", "up": "..", "zero": "/dev/zero"} {
		if err := os.Symlink(to, filepath.Join(here, name)); err != nil {
			t.Fatal(err)
		}
	}
	if err := syscall.Mkfifo(filepath.Join(here, "pipe"), 0o666); err != nil {
		t.Fatal(err)
	}
	result, err := Run(context.Background(), Job{File: file, Limits: testLimits("")})
	if err != nil {
		t.Fatal(err)
	}
	t.Log(result.Walls)
	if runtime.GOOS == "linux" && !(result.Walls.Process && result.Walls.Network) {
		t.Errorf("this kernel keeps no child in: %v", result.Walls)
	}
	d := result.Document
	if len(d.Faults) > 0 || len(d.Sections[0].Blocks) != 1 {
		t.Fatalf("%+v", d)
	}
	allowed := "done\n"
	if !result.Walls.Files {
		allowed = "read /etc/passwd\nlist /\nread beside the folder\nopen a device\n" + allowed
	}
	if got := d.Sections[0].Blocks[0].(document.Printed).Text; got != allowed {
		t.Errorf("it could:\n%s", got)
	}
}

func TestStoppingARunTakesNoTime(t *testing.T) {
	ctx, cancel := context.WithCancelCause(context.Background())
	cause := errors.New("the user is tired of it")
	var asked time.Time
	time.AfterFunc(300*time.Millisecond, func() { asked = time.Now(); cancel(cause) })
	_, err := Run(ctx, Job{File: write(t, "loop that cannot"), Limits: testLimits("loop")})
	if took := time.Since(asked); err != cause || took > 200*time.Millisecond {
		t.Errorf("%v after %v", err, took)
	}
}

func TestRecipeThatCannotBeReadIsAnError(t *testing.T) {
	folder := t.TempDir()
	pipe := filepath.Join(folder, "pipe.go")
	if err := syscall.Mkfifo(pipe, 0o666); err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{pipe, folder, "/dev/zero", filepath.Join(folder, "none.go")} {
		if _, err := Run(context.Background(), Job{File: file, Limits: testLimits("")}); err == nil || !strings.Contains(err.Error(), file) {
			t.Errorf("%s: %v", file, err)
		}
	}
}
