// Package input declares what a reader of a recipe may change without editing
// it, and reads tables from files in the recipe's folder.
//
// Every declaration names the input, gives the value it has where nobody gives
// another, says what it is about, and may end with the least and the greatest
// value allowed:
//
//	ring := input.Length("ring", 118*MM, "radius of the high ring", 60*MM, 140*MM)
//
// The value is the one given from outside, as text with its unit, or else the
// recipe's own. A value of the wrong kind, without a unit, or outside the range
// stops the recipe. So does an input that is declared twice in different ways;
// twice in the same way is one input.
package input

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// Length declares a length. Between is empty, or the least and the greatest
// allowed. It stops the recipe where the value given is not an allowed length.
func Length(name string, value unit.Length, about string, between ...unit.Length) unit.Length {
	return declare("input.Length", "length", name, value, about, between, unit.ParseLength,
		func(l unit.Length, decimals int) string { return l.Text(unit.MM, decimals) })
}

// Angle declares an angle, as Length does a length.
func Angle(name string, value unit.Angle, about string, between ...unit.Angle) unit.Angle {
	return declare("input.Angle", "angle", name, value, about, between, unit.ParseAngle,
		func(a unit.Angle, decimals int) string { return a.Text(unit.Degree, decimals) })
}

// Force declares a force, as Length does a length.
func Force(name string, value unit.Force, about string, between ...unit.Force) unit.Force {
	return declare("input.Force", "force", name, value, about, between, unit.ParseForce,
		func(f unit.Force, decimals int) string { return f.Text(unit.Newton, decimals) })
}

// Pressure declares a pressure, as Length does a length.
func Pressure(name string, value unit.Pressure, about string, between ...unit.Pressure) unit.Pressure {
	return declare("input.Pressure", "pressure", name, value, about, between, unit.ParsePressure,
		func(p unit.Pressure, decimals int) string { return p.Text(unit.Pascal, decimals) })
}

// Time declares a stretch of time, as Length does a length.
func Time(name string, value unit.Time, about string, between ...unit.Time) unit.Time {
	return declare("input.Time", "time", name, value, about, between, unit.ParseTime,
		func(t unit.Time, decimals int) string { return t.Text(unit.Second, decimals) })
}

// Rate declares a rate of turning, as Length does a length.
func Rate(name string, value unit.Rate, about string, between ...unit.Rate) unit.Rate {
	return declare("input.Rate", "rate of turning", name, value, about, between, unit.ParseRate,
		func(r unit.Rate, decimals int) string { return r.Text(unit.RPM, decimals) })
}

// Preston declares a wear coefficient, as Length does a length.
func Preston(name string, value unit.Preston, about string, between ...unit.Preston) unit.Preston {
	return declare("input.Preston", "wear coefficient", name, value, about, between, unit.ParsePreston,
		func(k unit.Preston, decimals int) string { return fmt.Sprintf("%.*e m²/N", decimals, float64(k)) })
}

// Number declares a plain number, as Length does a length.
func Number(name string, value float64, about string, between ...float64) float64 {
	return declare("input.Number", "number", name, value, about, between, unit.ParseNumber, plain)
}

// Count declares a whole number, as Length does a length.
func Count(name string, value int, about string, between ...int) int {
	var limits []float64
	for _, b := range between {
		limits = append(limits, float64(b))
	}
	whole := func(s string) (float64, error) {
		v, err := unit.ParseNumber(s)
		if err == nil && (v != math.Trunc(v) || math.Abs(v) > 1<<53) {
			err = fmt.Errorf("%q is not a whole number", s)
		}
		return v, err
	}
	return int(declare("input.Count", "count", name, float64(value), about, limits, whole, plain))
}

func plain(v float64, decimals int) string { return fmt.Sprintf("%.*f", decimals, v) }

// Choice declares one of several words. It stops the recipe where there are
// fewer than two choices, where two are the same, and where the value or the one
// given is not among them. Capitals do not count in what is given.
func Choice(name, value, about string, choices ...string) string {
	const call = "input.Choice"
	in := document.Input{Name: name, Kind: "choice", About: about, Default: value, Choices: choices}
	if len(choices) < 2 {
		host.Stopf(call, "input %s has %d choices; give at least two", name, len(choices))
	}
	for i, c := range choices {
		for _, d := range choices[:i] {
			if strings.EqualFold(c, d) {
				host.Stopf(call, "input %s has the choice %q twice", name, c)
			}
		}
	}
	return choose(call, in)
}

// YesNo declares a yes (true) or a no (false).
func YesNo(name string, value bool, about string) bool {
	in := document.Input{Name: name, Kind: "yes or no", About: about, Default: "no", Choices: []string{"yes", "no"}}
	if value {
		in.Default = "yes"
	}
	return choose("input.YesNo", in) == "yes"
}

// choose settles an input that is one of its choices.
func choose(call string, in document.Input) string {
	pick := func(text string) string {
		text = strings.TrimSpace(text)
		for _, c := range in.Choices {
			if strings.EqualFold(c, text) {
				return c
			}
		}
		stop := &host.Stop{Call: call, Message: fmt.Sprintf("input %s is %s; it must be one of: %s", in.Name, quote(text), strings.Join(in.Choices, ", "))}
		if near := host.Nearest(text, in.Choices); near != "" {
			stop.Hint = fmt.Sprintf("The nearest is %s.", near)
		}
		panic(stop)
	}
	check(call, in)
	in.Default = pick(in.Default)
	in.Value = in.Default
	if text, given := host.Current().Inputs[in.Name]; given {
		in.Value, in.Given = pick(text), true
	}
	record(call, in)
	return in.Value
}

// declare settles an input that is a quantity.
func declare[Q ~float64](call, kind, name string, value Q, about string, between []Q,
	parse func(string) (Q, error), text func(q Q, decimals int) string) Q {
	exact := func(q Q) string { return exactText(q, parse, text) }
	in := document.Input{Name: name, Kind: kind, About: about, Default: exact(value)}
	check(call, in)
	low, high := Q(math.Inf(-1)), Q(math.Inf(1))
	allowed := "" // and what is, in words
	if len(between) > 0 {
		if len(between) != 2 {
			host.Stopf(call, "input %s has %d limits; give none, or the least and the greatest value allowed", name, len(between))
		}
		low, high = between[0], between[1]
		if !(low <= high) || math.IsInf(float64(low), 0) || math.IsInf(float64(high), 0) {
			host.Stopf(call, "input %s has the limits %v and %v; the first must not be above the second", name, low, high)
		}
		in.Low, in.High = exact(low), exact(high)
		allowed = fmt.Sprintf("from %s to %s", in.Low, in.High)
	}
	if math.IsNaN(float64(value)) || math.IsInf(float64(value), 0) {
		host.Stopf(call, "input %s is %v in the recipe; it must be a finite %s", name, value, kind)
	}
	if value < low || value > high {
		host.Stopf(call, "input %s is %s in the recipe, outside its own limits, %s", name, in.Default, allowed)
	}
	in.Value = in.Default
	if given, found := host.Current().Inputs[name]; found {
		v, err := parse(given)
		if len(given) > longest {
			err = fmt.Errorf("%s is too long", quote(given))
		}
		if err != nil {
			also := ""
			if allowed != "" {
				also = "; allowed is " + allowed
			}
			host.Stopf(call, "input %s: %v%s; the recipe has %s", name, err, also, in.Default)
		}
		if v < low || v > high {
			nearest, side := low, "below the least"
			if v > high {
				nearest, side = high, "above the greatest"
			}
			host.Stopf(call, "input %s is %s, %s allowed; it must be %s, and the nearest is %s",
				name, strings.TrimSpace(given), side, allowed, exact(nearest))
		}
		value = v
		in.Value, in.Given = strings.TrimSpace(given), true
	}
	record(call, in)
	return value
}

// longest is how much text a value may have.
const longest = 100

// exactText prints a quantity so that reading it again gives the same.
func exactText[Q ~float64](q Q, parse func(string) (Q, error), text func(Q, int) string) string {
	short := fmt.Sprint(q)
	for decimals := 0; decimals <= 12; decimals++ {
		if again, err := parse(short); err == nil && math.Abs(float64(again-q)) <= 1e-14*math.Abs(float64(q)) {
			return short
		}
		short = text(q, decimals)
	}
	return short
}

// check looks at what all inputs have.
func check(call string, in document.Input) {
	ok := in.Name != "" && len(in.Name) <= 40
	for i, r := range in.Name {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		ok = ok && (letter || i > 0 && (r >= '0' && r <= '9' || r == '-' || r == '_'))
	}
	if !ok {
		host.StopArg(call, "name", fmt.Sprintf("%q", in.Name), "a letter and then letters, digits, hyphens and underscores, 40 at most")
	}
	if strings.TrimSpace(in.About) == "" {
		host.Stopf(call, "input %s does not say what it is about; its third argument must tell the reader", in.Name)
	}
}

// record declares the input.
func record(call string, in document.Input) {
	if earlier, again := host.Current().DeclareInput(in); again && !reflect.DeepEqual(in, earlier) {
		host.Stopf(call, "input %s is declared twice, first as %s, and then as %s; give one of them another name",
			in.Name, summary(earlier), summary(in))
	}
}

func summary(in document.Input) string {
	s := fmt.Sprintf("a %s, %s", in.Kind, in.Default)
	if in.Low != "" {
		s += fmt.Sprintf(" from %s to %s", in.Low, in.High)
	}
	if in.Kind == "choice" {
		s += " of " + strings.Join(in.Choices, ", ")
	}
	return fmt.Sprintf("%s (%q)", s, in.About)
}

// quote shows a text given from outside, and not all of a long one.
func quote(s string) string {
	if r := []rune(s); len(r) > longest {
		return fmt.Sprintf("%q…", string(r[:longest]))
	}
	return fmt.Sprintf("%q", s)
}
