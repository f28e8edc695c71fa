package lower_test

import (
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"lapwright/recipes"
	"lapwright/runtime/check"
	"lapwright/runtime/lower"
	"lapwright/runtime/recipe"
	"lapwright/stdlib/document"
)

// Whatever is in a file, it is either ready to run or has faults that say why
// not, in the file, and never one of the engine.
func FuzzLower(f *testing.F) {
	for _, archive := range []string{"../interp/testdata/programs.txtar", "../interp/testdata/faults.txtar", "../check/testdata/wrong.txtar", "../check/testdata/newcomer.txtar"} {
		a, err := txtar.ParseFile(archive)
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range a.Files {
			f.Add(file.Data)
		}
	}
	for _, source := range recipes.All() {
		f.Add(source)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		r, faults := recipe.Read("fuzz.go", src)
		if len(faults) > 0 {
			return
		}
		c, faults := check.Check(r)
		if len(faults) == 0 {
			_, faults = lower.Lower(c)
		}
		for _, fault := range faults {
			if fault.Kind == document.EngineFault {
				t.Errorf("%v: %s", fault.Position, fault.Message)
			}
			if fault.Message == "" || !fault.Position.IsValid() {
				t.Errorf("a fault without words or place: %+v", fault)
			}
		}
	})
}
