package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lapwright/runtime/child"
	"lapwright/runtime/record"
	"lapwright/stdlib/document"
)

// TestShippedRecipesPrintTheSameOnAnotherProcessor needs LAPWRIGHT_ELSEWHERE: the
// words of a command that runs lapwright as built for another processor, such as
// "qemu-aarch64-static lapwright-arm64". An emulator cannot start a second process
// of another kind, so the recipe's process is given its order by hand.
func TestShippedRecipesPrintTheSameOnAnotherProcessor(t *testing.T) {
	other := strings.Fields(os.Getenv("LAPWRIGHT_ELSEWHERE"))
	if len(other) == 0 {
		t.Skip("LAPWRIGHT_ELSEWHERE names no other processor")
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, folder := range shippedRecipes(t) {
		t.Run(filepath.Base(folder), func(t *testing.T) {
			here := exec.Command(program)
			here.Args[0] = "lapwright"
			found := record.Compare(behindWalls(t, here, folder), behindWalls(t, exec.Command(other[0], other[1:]...), folder))
			t.Log(verdict(found))
			for i, d := range found.Differ {
				if d.Seen || i == 0 {
					t.Log(d)
				}
			}
			if found.Like == record.Different {
				t.Error("it does not print the same")
			}
		})
	}
}

// behindWalls runs a recipe in the process that c starts, and makes the record of
// what that tells.
func behindWalls(t *testing.T, c *exec.Cmd, folder string) *record.Record {
	t.Helper()
	source, err := os.ReadFile(filepath.Join(folder, "recipe.go"))
	if err != nil {
		t.Fatal(err)
	}
	whole, err := filepath.Abs(folder)
	if err != nil {
		t.Fatal(err)
	}
	limits := child.Default
	limits.Time *= 20 // an emulator is slow
	order, err := json.Marshal(map[string]any{"name": "recipe.go", "source": source, "folder": whole, "limits": limits})
	if err != nil {
		t.Fatal(err)
	}
	c.Args = append(c.Args, "behind-walls")
	c.Stdin = bytes.NewReader(order)
	told, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	d := &document.Document{Recipe: "recipe.go", Sections: make([]document.Section, 1)}
	lines := bufio.NewScanner(bytes.NewReader(told))
	lines.Buffer(nil, len(told)+1)
	for lines.Scan() {
		var event struct {
			Block document.Blocks
			End   *struct{ Faults []document.Fault }
		}
		if err := json.Unmarshal(lines.Bytes(), &event); err != nil {
			t.Fatal(err)
		}
		d.Sections[0].Blocks = append(d.Sections[0].Blocks, event.Block...)
		if event.End != nil {
			d.Faults = event.End.Faults
		}
	}
	made, err := record.Of(&child.Result{Document: d, Source: source})
	if err != nil {
		t.Fatal(err)
	}
	if len(made.Results) == 0 {
		t.Fatal("it shows nothing")
	}
	return made
}
