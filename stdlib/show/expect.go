package show

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// Result gives a result of the recipe a name, by which records and comparisons
// of runs know it. It stops the recipe where the name is empty and where value is
// neither a number nor a quantity, or is not finite.
func Result(name string, value any) {
	numbers, si := named("show.Result", name, value)
	emit(document.Result{Name: name, Unit: si, Value: numbers[0], Text: fmt.Sprintf("%s: %v", name, plainly(value))})
}

// Expect holds a result of the recipe against what its author expects: got must
// lie within tolerance of want. All three are plain numbers, or quantities of one
// kind. A run in which an expectation is not met says so, and goes on. It stops
// the recipe where the name is empty, where the three are not of one kind or not
// finite, and where tolerance is negative.
func Expect(name string, got, want, tolerance any) {
	const call = "show.Expect"
	numbers, si := named(call, name, got, want, tolerance)
	e := document.Expect{Name: name, Unit: si, Got: numbers[0], Want: numbers[1], Tolerance: numbers[2]}
	if e.Tolerance < 0 {
		host.Stopf(call, "%s should be %v within %v; the second must be at least 0", name, want, tolerance)
	}
	// At the very edge rounding does not decide.
	e.Met = math.Abs(e.Got-e.Want) <= e.Tolerance+1e-12*math.Abs(e.Want)
	verdict := "as expected"
	if !e.Met {
		verdict = "not as expected"
	}
	e.Text = fmt.Sprintf("%s is %v, %s: %v within %v.", name, plainly(got), verdict, plainly(want), plainly(tolerance))
	emit(e)
}

// plainly returns a value as it is printed: a number to six digits, a quantity as
// it prints itself.
func plainly(v any) any {
	if f, ok := v.(float64); ok {
		return strconv.FormatFloat(f, 'g', 6, 64)
	}
	return v
}

// named returns values as numbers of one SI unit.
func named(call, name string, values ...any) (numbers []float64, si string) {
	if strings.TrimSpace(name) == "" {
		host.Stopf(call, "the result has no name; say what it is")
	}
	for i, v := range values {
		number, unit, ok := magnitude(v)
		if !ok {
			host.Stopf(call, "%s: %v is a %T; it must be a number or a quantity", name, v, v)
		}
		if i == 0 {
			si = unit
		}
		if unit != si {
			host.Stopf(call, "%s: %v is held against %v; the three must be of one kind", name, values[0], v)
		}
		if math.IsNaN(number) || math.IsInf(number, 0) {
			host.Stopf(call, "%s: %v is not finite", name, v)
		}
		numbers = append(numbers, number)
	}
	return numbers, si
}

// magnitude returns a number, or a quantity in its SI unit.
func magnitude(v any) (number float64, si string, ok bool) {
	switch v := v.(type) {
	case int:
		return float64(v), "", true
	case float64:
		return v, "", true
	case unit.Length:
		return float64(v), "m", true
	case unit.Angle:
		return float64(v), "rad", true
	case unit.Force:
		return float64(v), "N", true
	case unit.Pressure:
		return float64(v), "Pa", true
	case unit.Time:
		return float64(v), "s", true
	case unit.Rate:
		return float64(v), "rad/s", true
	case unit.Preston:
		return float64(v), "m²/N", true
	}
	return 0, "", false
}
