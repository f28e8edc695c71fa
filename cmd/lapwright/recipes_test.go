package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// shippedRecipes are the folders of the recipes that ship.
func shippedRecipes(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "recipes", "*", "recipe.go"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no recipes found: %v", err)
	}
	for i, file := range files {
		files[i] = filepath.Dir(file)
	}
	return files
}

// runRecipe runs a recipe as the command does and returns its outputs by ending.
// Where an environment is given, the run is kept to one core as well.
func runRecipe(t *testing.T, folder string, environment ...string) map[string][]byte {
	t.Helper()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	args := []string{"run"}
	into := t.TempDir()
	for _, ending := range render.Endings() {
		args = append(args, "-o", filepath.Join(into, "out"+ending))
	}
	c := exec.Command(program, append(args, folder)...)
	c.Args[0] = "lapwright" // what testscript.Main goes by
	if environment != nil {
		c.Env = append(os.Environ(), environment...)
		if taskset, err := exec.LookPath("taskset"); err == nil {
			link := filepath.Join(into, "lapwright") // taskset takes no Args[0]
			if err := os.Symlink(program, link); err != nil {
				t.Fatal(err)
			}
			c = &exec.Cmd{Path: taskset, Args: append([]string{"taskset", "-c", "0", link}, c.Args[1:]...), Env: c.Env}
		}
	}
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	outputs := make(map[string][]byte)
	for _, ending := range render.Endings() {
		data, err := os.ReadFile(filepath.Join(into, "out"+ending))
		if err != nil {
			t.Fatal(err)
		}
		outputs[ending] = data
	}
	return outputs
}

// elsewhere is what a second run of a recipe finds otherwise: another clock, zone,
// language and user, a processor without fused products and sums, and one core.
var elsewhere = []string{"TZ=Asia/Kathmandu", "LANG=tr_TR.UTF-8", "LC_ALL=tr_TR.UTF-8", "HOME=/nowhere", "USER=nobody", "GODEBUG=cpu.fma=off"}

// Every recipe that ships says the same built by the Go compiler, and gives the same
// bytes when it is run elsewhere.
func TestShippedRecipesSayTheSameCompiledAndElsewhere(t *testing.T) {
	folders := shippedRecipes(t)
	programs := t.TempDir()
	build := append([]string{"build", "-ldflags=-s -w", "-o", programs + string(filepath.Separator)}, folders...)
	if out, err := exec.Command("go", build...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, folder := range folders {
		t.Run(filepath.Base(folder), func(t *testing.T) {
			t.Parallel()
			compiled, err := exec.Command(filepath.Join(programs, filepath.Base(folder))).Output()
			if err != nil {
				t.Fatal(err)
			}

			moved := filepath.Join(t.TempDir(), filepath.Base(folder))
			if err := os.CopyFS(moved, os.DirFS(folder)); err != nil {
				t.Fatal(err)
			}
			first, second := runRecipe(t, folder), runRecipe(t, moved, elsewhere...)
			var d document.Document
			if err := json.Unmarshal(first[".json"], &d); err != nil {
				t.Fatal(err)
			}
			var interpreted bytes.Buffer
			for _, s := range d.Sections {
				for _, b := range s.Blocks {
					document.WriteText(&interpreted, b)
				}
			}
			if diff := cmp.Diff(string(compiled), interpreted.String()); diff != "" {
				t.Errorf("compiled (-) and interpreted (+) differ:\n%s", diff)
			}
			for ending, data := range first {
				if !bytes.Equal(data, second[ending]) {
					t.Errorf("two runs give different %s", ending)
				}
			}
		})
	}
}

// Where a change of what a recipe gives is meant, raise Engine or Numbers of package
// record where their comments ask for it, and make the records anew:
//
//	go run ./cmd/lapwright record recipes/*
func TestShippedRecipesGiveWhatTheirRecordsSay(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	args := []string{"compare", "--all"}
	if runtime.GOARCH == "amd64" {
		args = append(args, "--bits")
	}
	for _, folder := range shippedRecipes(t) {
		t.Run(filepath.Base(folder), func(t *testing.T) {
			t.Parallel()
			c := exec.Command(program, slices.Concat(args, []string{folder})...)
			c.Args[0] = "lapwright"
			if out, err := c.CombinedOutput(); err != nil {
				t.Errorf("%v\n%.2000s", err, out)
			}
		})
	}
}
