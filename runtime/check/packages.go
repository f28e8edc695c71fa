package check

import "slices"

// A Package is one that a recipe may import.
type Package struct {
	Path string
	// Source tells that its functions are generic: their bodies are needed,
	// since they are instantiated with a recipe's own types.
	Source bool
	// Refused are names of it that a recipe may not use, with the reason.
	Refused map[string]Reason
}

// A Reason says why something of the language or of a package is refused.
type Reason struct {
	Message string // one line
	Hint    string // what to write instead
}

// Own is the path under which the packages of figuring stand.
const Own = "lapwright/stdlib/"

var (
	unseeded = Reason{"chance without a seed gives another result at every run", "write: r := rand.New(rand.NewPCG(1, 2)), and draw from r"}
	keyboard = Reason{"a recipe reads nothing from the keyboard", "declare an input, as in: input.Number(…)"}
	callback = Reason{"it calls back in the map's own order, which is chance", "range over slices.Sorted(maps.Keys(m))"}
)

// Packages are all packages that a recipe may import. This is the one place
// that lists them: export data and symbols are generated from it.
var Packages = []Package{
	{Path: "bytes"},
	{Path: "cmp", Source: true},
	{Path: "errors"},
	{Path: "fmt", Refused: map[string]Reason{"Scan": keyboard, "Scanf": keyboard, "Scanln": keyboard}},
	{Path: "iter"},
	{Path: "maps", Source: true, Refused: map[string]Reason{"DeleteFunc": callback, "EqualFunc": callback}},
	{Path: "math"},
	{Path: "math/bits"},
	{Path: "math/cmplx"},
	{Path: "math/rand/v2", Refused: map[string]Reason{
		"ExpFloat64": unseeded, "Float32": unseeded, "Float64": unseeded, "Int": unseeded, "Int32": unseeded,
		"Int32N": unseeded, "Int64": unseeded, "Int64N": unseeded, "IntN": unseeded, "N": unseeded,
		"NormFloat64": unseeded, "Perm": unseeded, "Shuffle": unseeded, "Uint": unseeded, "Uint32": unseeded,
		"Uint32N": unseeded, "Uint64": unseeded, "Uint64N": unseeded, "UintN": unseeded,
	}},
	{Path: "slices", Source: true},
	{Path: "sort"},
	{Path: "strconv"},
	{Path: "strings"},
	{Path: "unicode"},
	{Path: "unicode/utf16"},
	{Path: "unicode/utf8"},

	{Path: Own + "figure"},
	{Path: Own + "input"},
	{Path: Own + "lap"},
	{Path: Own + "mirror"},
	{Path: Own + "picture"},
	{Path: Own + "plan"},
	{Path: Own + "session"},
	{Path: Own + "show"},
	{Path: Own + "stroke"},
	{Path: Own + "unit"},
	{Path: Own + "wear"},
	{Path: Own + "zone"},
}

// named returns the listed package of that path, or nil.
func named(path string) *Package {
	i := slices.IndexFunc(Packages, func(p Package) bool { return p.Path == path })
	if i < 0 {
		return nil
	}
	return &Packages[i]
}

// foreign says, for some packages that are not listed, what serves instead.
var foreign = map[string]string{
	"C":              "a recipe is Go alone",
	"unsafe":         "a recipe works with values, not with memory",
	"reflect":        "a type switch serves where types differ",
	"time":           "a recipe has no clock; unit.Time holds durations",
	"os":             "data files are read with package input",
	"os/exec":        "a recipe starts no programs",
	"io":             "data files are read with package input",
	"io/fs":          "data files are read with package input",
	"bufio":          "data files are read with package input",
	"encoding/csv":   "data files are read with package input",
	"net":            "a recipe has no network",
	"net/http":       "a recipe has no network",
	"math/rand":      "import math/rand/v2 and give a seed: rand.New(rand.NewPCG(1, 2))",
	"crypto/rand":    "import math/rand/v2 and give a seed: rand.New(rand.NewPCG(1, 2))",
	"sync":           "a recipe runs one statement after the other: nothing needs a lock",
	"sync/atomic":    "a recipe runs one statement after the other: nothing needs a lock",
	"context":        "a recipe runs one statement after the other",
	"runtime":        "a recipe knows nothing of what runs it",
	"log":            "write with fmt or package show",
	"text/tabwriter": "tables are shown with package show",
}
