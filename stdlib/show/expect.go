package show

import (
	"fmt"
	"math"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// Expect holds a result of the recipe against what its author expects: got must
// lie within tolerance of want. All three are plain numbers, or quantities of one
// kind. A run in which an expectation is not met says so, and goes on. It stops
// the recipe where the three are not of one kind, where want or tolerance is not
// finite, and where tolerance is negative.
func Expect(name string, got, want, tolerance any) {
	const call = "show.Expect"
	if strings.TrimSpace(name) == "" {
		host.Stopf(call, "the expectation has no name; say what is expected")
	}
	var numbers [3]float64
	var units [3]string
	for i, v := range []any{got, want, tolerance} {
		var ok bool
		if numbers[i], units[i], ok = magnitude(v); !ok {
			host.Stopf(call, "%s: %v is a %T; it must be a number or a quantity", name, v, v)
		}
		if units[i] != units[0] {
			host.Stopf(call, "%s: %v is held against %v; the three must be of one kind", name, got, v)
		}
	}
	e := document.Expect{Name: name, Unit: units[0], Got: numbers[0], Want: numbers[1], Tolerance: numbers[2]}
	if math.IsNaN(e.Want) || math.IsInf(e.Want, 0) || !(e.Tolerance >= 0) || math.IsInf(e.Tolerance, 0) {
		host.Stopf(call, "%s should be %v within %v; both must be finite and the second at least 0", name, want, tolerance)
	}
	// At the very edge rounding does not decide.
	e.Met = math.Abs(e.Got-e.Want) <= e.Tolerance+1e-12*math.Abs(e.Want)
	verdict := "as expected"
	if !e.Met {
		verdict = "not as expected"
	}
	e.Text = fmt.Sprintf("%s is %v, %s: %v within %v.", name, got, verdict, want, tolerance)
	emit(e)
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
