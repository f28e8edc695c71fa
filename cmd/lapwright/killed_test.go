package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

const killedRecipe = `package main

import (
	"lapwright/stdlib/input"
	"lapwright/stdlib/show"
)

func main() {
	n := input.Count("n", 1, "a number")
	for i := range 2000 {
		show.Result("result", i+n)
	}
}
`

// TestKilledCommandsLeaveTheOldOrTheNewFile kills each command 70 times, at moments
// spread over the time it takes and drawn anew from one seed.
func TestKilledCommandsLeaveTheOldOrTheNewFile(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		file string
		args []string
	}{
		{"recipe.record", []string{"record"}},
		{"out.zip", []string{"bundle", "-o", "out.zip"}},
		{"out.html", []string{"run", "-o", "out.html"}},
	} {
		t.Run(c.args[0], func(t *testing.T) {
			t.Parallel()
			folder := t.TempDir()
			if err := os.WriteFile(filepath.Join(folder, "recipe.go"), []byte(killedRecipe), 0o666); err != nil {
				t.Fatal(err)
			}
			// command makes file with another number in it.
			command := func(n string) *exec.Cmd {
				e := exec.Command(program, append(c.args, "--set", "n="+n, "recipe.go")...)
				e.Args[0], e.Dir = "lapwright", folder
				return e
			}
			read := func() []byte {
				data, err := os.ReadFile(filepath.Join(folder, c.file))
				if err != nil {
					t.Fatal(err)
				}
				return data
			}
			var whole [2][]byte
			var took time.Duration
			for i, n := range []string{"1", "2"} {
				began := time.Now()
				if out, err := command(n).CombinedOutput(); err != nil {
					t.Fatalf("%v\n%s", err, out)
				}
				whole[i], took = read(), time.Since(began)
			}
			if bytes.Equal(whole[0], whole[1]) {
				t.Fatal("the two files are the same")
			}
			chance := rand.New(rand.NewPCG(7, 7))
			for i := range 70 {
				e := command([]string{"1", "2"}[i%2])
				if err := e.Start(); err != nil {
					t.Fatal(err)
				}
				time.Sleep(time.Duration(chance.Float64() * float64(took)))
				_ = e.Process.Kill() // an error says that it has ended
				_ = e.Wait()
				if data := read(); !bytes.Equal(data, whole[0]) && !bytes.Equal(data, whole[1]) {
					t.Fatalf("killed %d times, the file is neither the old nor the new", i+1)
				}
			}
		})
	}
}
