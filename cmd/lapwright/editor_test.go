package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A recipe beside the editor's module must be built from the very files that one
// in the repository is built from; then it says the same.
func TestEditorModuleHoldsAllThatARecipeIsBuiltFrom(t *testing.T) {
	folder := t.TempDir()
	if err := writeEditorModule(folder); err != nil {
		t.Fatal(err)
	}
	files, err := recipeFiles(firstRecipe)
	if err != nil {
		t.Fatal(err)
	}
	if err := layOut(filepath.Join(folder, "recipes", firstRecipe), files); err == nil {
		t.Fatal("a folder was made in one that is not there")
	}
	if err := os.Mkdir(filepath.Join(folder, "recipes"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := layOut(filepath.Join(folder, "recipes", firstRecipe), files); err != nil {
		t.Fatal(err)
	}
	list := func(folder string) string {
		c := exec.Command("go", "list", "-mod=readonly", "-deps", "-f", "{{if not .Standard}}{{.ImportPath}} {{.GoFiles}} {{.EmbedFiles}}{{end}}", "./recipes/"+firstRecipe)
		c.Dir = folder
		c.Env = append(os.Environ(), "GOPROXY=off")
		out, err := c.Output()
		if err != nil {
			var said []byte
			if e, ok := err.(*exec.ExitError); ok {
				said = e.Stderr
			}
			t.Fatalf("in %s: %v\n%s", folder, err, said)
		}
		return string(out)
	}
	if diff := cmp.Diff(list(filepath.Join("..", "..")), list(folder)); diff != "" {
		t.Errorf("in the repository (-) and beside the module (+) a recipe is built from other files:\n%s", diff)
	}
}
