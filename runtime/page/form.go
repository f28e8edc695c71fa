package page

import (
	"fmt"
	"maps"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"lapwright/stdlib/document"
	"lapwright/stdlib/unit"
)

// A control is an input as a form has it.
type control struct {
	Name, About string
	Value       string // in Unit, where there is one
	Unit        string
	Choices     []string
	Number      bool // a number control; otherwise text or choices
	Low, High   string
	Step        string // of a number
	Hint        string
	Given       bool
}

type form struct {
	Controls []control
	Given    bool   // some value is not the recipe's
	Command  string // that gives the same
}

// inputsOf draws the form of the inputs, or nothing where there are none.
func inputsOf(recipe Recipe, s *state) string {
	f := form{Given: len(s.given) > 0, Command: commandLine(recipe, s.given)}
	inputs := s.inputs
	if s.phase == running && s.newest != nil {
		inputs = together(inputs, s.newest.Inputs)
	}
	for _, in := range inputs {
		if v, ok := s.given[in.Name]; ok {
			in.Value, in.Given = v, true
		} else {
			in.Value, in.Given = in.Default, false
		}
		f.Controls = append(f.Controls, controlOf(in))
	}
	if len(f.Controls) == 0 {
		return ""
	}
	return execute("inputs", f)
}

// quantity matches a number with its unit, written so that a number control can
// hold the number.
var quantity = regexp.MustCompile(`^([-+]?[0-9]+(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?)\s*(\S*)$`)

func controlOf(in document.Input) control {
	c := control{Name: in.Name, About: in.About, Value: in.Value, Choices: in.Choices, Given: in.Given, Hint: allowed(in)}
	if in.Given {
		c.Hint = join(c.Hint, "the recipe has "+in.Default)
	}
	if len(in.Choices) > 0 {
		return c
	}
	parse := parsers[in.Kind]
	m := quantity.FindStringSubmatch(in.Value)
	if parse == nil || m == nil {
		return c
	}
	size, err := 1.0, error(nil)
	if m[2] != "" {
		size, err = parse("1 " + m[2])
	}
	if err != nil || size == 0 {
		return c
	}
	limit := func(text string) (string, bool) {
		if text == "" {
			return "", true
		}
		v, err := parse(text)
		if err != nil {
			return "", false
		}
		return plain(v / size), true
	}
	low, okLow := limit(in.Low)
	high, okHigh := limit(in.High)
	if !okLow || !okHigh {
		return c
	}
	c.Number, c.Value, c.Unit, c.Low, c.High, c.Step = true, m[1], m[2], low, high, "any"
	if in.Kind == "count" {
		c.Step = "1"
	}
	return c
}

// plain prints a number without what division left at its end.
func plain(v float64) string {
	p := math.Pow(10, 11-math.Ceil(math.Log10(math.Abs(v)+1e-300)))
	if r := math.Round(v*p) / p; !math.IsNaN(r) && !math.IsInf(r, 0) {
		v = r
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// parsers read quantities of each kind of input, in SI.
var parsers = map[string]func(string) (float64, error){
	"length":           func(s string) (float64, error) { v, err := unit.ParseLength(s); return float64(v), err },
	"angle":            func(s string) (float64, error) { v, err := unit.ParseAngle(s); return float64(v), err },
	"force":            func(s string) (float64, error) { v, err := unit.ParseForce(s); return float64(v), err },
	"pressure":         func(s string) (float64, error) { v, err := unit.ParsePressure(s); return float64(v), err },
	"time":             func(s string) (float64, error) { v, err := unit.ParseTime(s); return float64(v), err },
	"rate of turning":  func(s string) (float64, error) { v, err := unit.ParseRate(s); return float64(v), err },
	"wear coefficient": func(s string) (float64, error) { v, err := unit.ParsePreston(s); return float64(v), err },
	"number":           unit.ParseNumber,
	"count":            unit.ParseNumber,
}

// allowed says in words what an input may be.
func allowed(in document.Input) string {
	switch {
	case in.Low != "" && in.High != "":
		return in.Low + " to " + in.High
	case in.Low != "":
		return in.Low + " or more"
	case in.High != "":
		return in.High + " or less"
	}
	return ""
}

func join(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

// give takes the values of a form and asks for a run with them. It answers itself
// where they are not of the form.
func (d *desk) give(w http.ResponseWriter, r *http.Request) bool {
	const (
		mostBytes = 64 << 10
		longest   = 200 // of a value, in bytes
	)
	_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(10 * time.Second))
	r.Body = http.MaxBytesReader(w, r.Body, mostBytes)
	if err := r.ParseForm(); err != nil {
		http.Error(w, "this is not a form of a page", http.StatusBadRequest)
		return false
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	given := make(map[string]string)
	if r.PostForm.Get("recipe") == "" { // the button that goes back to the recipe's values has this name
		for _, in := range d.state.inputs {
			value := strings.TrimSpace(r.PostForm.Get("in." + in.Name))
			if u := r.PostForm.Get("unit." + in.Name); u != "" && value != "" {
				value += " " + u
			}
			if len(value) > longest {
				http.Error(w, fmt.Sprintf("the value of %s is too long", in.Name), http.StatusBadRequest)
				return false
			}
			if value != "" && !same(in, value) {
				given[in.Name] = value
			}
		}
	}
	d.state.dropped = nil
	if !maps.Equal(given, d.state.given) {
		d.state.given = given
		nudge(d.again)
	}
	return true
}

// same tells whether a value is the one that the recipe has.
func same(in document.Input, value string) bool {
	if parse := parsers[in.Kind]; parse != nil {
		a, errA := parse(value)
		b, errB := parse(in.Default)
		return errA == nil && errB == nil && a == b
	}
	return strings.EqualFold(value, in.Default)
}

// commandLine is the command that runs the recipe with the same values.
func commandLine(recipe Recipe, given map[string]string) string {
	words := []string{"lapwright", "run"}
	for _, name := range slices.Sorted(maps.Keys(given)) {
		words = append(words, "--set", quoted(name+"="+given[name]))
	}
	return strings.Join(append(words, quoted(recipe.Told)), " ")
}

// quoted writes a word so that a shell takes it as it is.
func quoted(word string) string {
	if strings.Trim(word, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_=./,:+") == "" && word != "" {
		return word
	}
	if !strings.ContainsAny(word, "\"\\$`!%") {
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
