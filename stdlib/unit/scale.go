package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A scale is the table of units of one quantity.
type scale struct {
	quantity string
	zero     string // the unit a nought is printed in
	units    []named
}

// A named unit. The first spelling is the printed one. Those marked auto are
// the ones a bare String picks from, smallest first.
type named struct {
	spellings []string
	size      float64
	auto      bool
}

var (
	lengths = scale{"a length", "mm", []named{
		{[]string{"nm"}, float64(NM), true},
		{[]string{"µm", "μm", "um"}, float64(UM), true},
		{[]string{"mm"}, float64(MM), true},
		{[]string{"cm"}, float64(CM), false},
		{[]string{"m"}, float64(Metre), true},
		{[]string{"in", "inch", "inches", `"`, "″"}, float64(Inch), false},
		{[]string{"thou"}, float64(Thou), false},
	}}
	angles = scale{"an angle", "deg", []named{
		{[]string{"arcsec", "″"}, float64(Arcsec), true},
		{[]string{"deg", "°", "degrees"}, float64(Degree), true},
		{[]string{"rad"}, float64(Radian), false},
		{[]string{"turn", "turns"}, float64(Turn), false},
	}}
	forces = scale{"a force", "N", []named{
		{[]string{"N"}, float64(Newton), true},
		{[]string{"kgf"}, float64(KGF), false},
		{[]string{"lbf"}, float64(LBF), false},
	}}
	pressures = scale{"a pressure", "Pa", []named{
		{[]string{"Pa"}, float64(Pascal), true},
		{[]string{"kPa"}, float64(KPa), true},
		{[]string{"g/cm²", "g/cm2"}, float64(GramCM2), false},
		{[]string{"psi"}, float64(PSI), false},
	}}
	times = scale{"a time", "s", []named{
		{[]string{"s"}, float64(Second), true},
		{[]string{"min"}, float64(Minute), true},
		{[]string{"h"}, float64(Hour), true},
	}}
	rates = scale{"a rate of turning", "rpm", []named{
		{[]string{"rpm"}, float64(RPM), true},
		{[]string{"rad/s"}, float64(RadPerSecond), false},
	}}
	prestons = scale{"a wear coefficient", "m²/N", []named{
		{[]string{"m²/N", "m2/N", "/Pa"}, float64(PerPascal), true},
	}}
	numbers = scale{"a number", "", nil}
)

// auto prints v in the largest automatic unit that leaves it at 1 or more, to
// four significant digits.
func (s scale) auto(v float64) string {
	var best named
	for _, u := range s.units {
		// Half a unit in the fourth digit below 1 would print as 1.
		if u.auto && (best.size == 0 || math.Abs(v) >= u.size*0.99995) {
			best = u
		}
	}
	if v == 0 {
		return join("0", s.zero)
	}
	return join(significant(v/best.size, 4), best.spellings[0])
}

// significant prints v to n significant digits without an exponent where that
// is short, and without trailing zeros.
func significant(v float64, n int) string {
	a := math.Abs(v)
	if a != 0 && (a < 1e-3 || a >= 1e7) || math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'g', n, 64)
	}
	// Large values keep all digits before the point.
	whole := 0
	for ; a >= 10; a /= 10 {
		whole++
	}
	for ; a != 0 && a < 1; a *= 10 {
		whole--
	}
	text := strconv.FormatFloat(v, 'f', max(0, n-1-whole), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// mostDecimals is more than a float64 holds of any number near 1.
const mostDecimals = 20

func (s scale) fixed(v, unit float64, decimals int) string {
	symbol := s.symbol(unit)
	if symbol == "" {
		return s.auto(v)
	}
	return join(unsigned(strconv.FormatFloat(v/unit, 'f', min(max(0, decimals), mostDecimals), 64)), symbol)
}

// unsigned drops the sign of a nought: what rounds to 0 prints as 0.
func unsigned(number string) string {
	if rest, found := strings.CutPrefix(number, "-"); found && strings.Trim(rest, "0.") == "" {
		return rest
	}
	return number
}

func (s scale) symbol(unit float64) string {
	for _, u := range s.units {
		if u.size == unit {
			return u.spellings[0]
		}
	}
	return ""
}

func join(number, symbol string) string {
	if symbol == "°" || symbol == "″" {
		return number + symbol
	}
	return number + " " + symbol
}

func (s scale) parse(text string) (float64, error) {
	t := strings.TrimSpace(text)
	end := strings.LastIndexAny(t, "0123456789.")
	number, symbol := strings.TrimSpace(t[:end+1]), strings.TrimSpace(t[end+1:])
	// "g/cm2" and "m2/N" hold a digit of their own.
	for _, u := range s.units {
		for _, sp := range u.spellings {
			if strings.ContainsAny(sp, "0123456789") && strings.HasSuffix(t, sp) {
				number, symbol = strings.TrimSpace(strings.TrimSuffix(t, sp)), sp
			}
		}
	}
	v, ok := parseNumber(number)
	if !ok && strings.Contains(number, ",") {
		return 0, fmt.Errorf("%q is not %s; write a point before decimals, and no comma", text, s.quantity)
	}
	if !ok {
		return 0, fmt.Errorf("%q is not %s; write %s", text, s.quantity, s.example())
	}
	if s.units == nil {
		if symbol != "" {
			return 0, fmt.Errorf("%q is not %s; write it without a unit", text, s.quantity)
		}
		return v, nil
	}
	if symbol == "" && v == 0 {
		return 0, nil
	}
	for _, u := range s.units {
		for _, sp := range u.spellings {
			if sp == symbol {
				if v *= u.size; math.IsInf(v, 0) {
					return 0, fmt.Errorf("%q is too large for %s", text, s.quantity)
				}
				return v, nil
			}
		}
	}
	if symbol == "" {
		return 0, fmt.Errorf("%q has no unit; write %s", text, s.example())
	}
	return 0, fmt.Errorf("%q has no unit known for %s; the units are %s", text, s.quantity, s.list())
}

// parseNumber reads a decimal number, a fraction, or a whole number and a
// fraction with one sign before both.
func parseNumber(s string) (float64, bool) {
	s = strings.Replace(s, "−", "-", 1)
	if v, err := strconv.ParseFloat(s, 64); err == nil {
		return v, !math.IsNaN(v) && !math.IsInf(v, 0) && !strings.ContainsAny(s, "_xXpP")
	}
	sign := 1.0
	if rest, found := strings.CutPrefix(s, "-"); found {
		sign, s = -1, rest
	}
	whole, fraction, found := strings.Cut(s, " ")
	if !found {
		whole, fraction = "0", s
	}
	num, den, found := strings.Cut(strings.TrimSpace(fraction), "/")
	if !found {
		return 0, false
	}
	w, err1 := strconv.ParseUint(whole, 10, 32)
	n, err2 := strconv.ParseUint(strings.TrimSpace(num), 10, 32)
	d, err3 := strconv.ParseUint(strings.TrimSpace(den), 10, 32)
	if err1 != nil || err2 != nil || err3 != nil || d == 0 {
		return 0, false
	}
	return sign * (float64(w) + float64(n)/float64(d)), true
}

func (s scale) example() string {
	if s.units == nil {
		return "a plain number like 12 or 0.5"
	}
	return "a number and a unit, one of " + s.list()
}

func (s scale) list() string {
	var all []string
	for _, u := range s.units {
		all = append(all, u.spellings[0])
	}
	return strings.Join(all, ", ")
}
