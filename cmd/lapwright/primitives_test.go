package main

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"runtime/debug"
	"strings"
	"testing"

	"lapwright/runtime/check"
	"lapwright/runtime/interp/symbols"
	"lapwright/runtime/recipe"
	"lapwright/runtime/render"
	"lapwright/stdlib/document"
	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/session"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
	"lapwright/stdlib/zone"
)

var (
	primitiveRounds = flag.Int("rounds", 3, "how often every primitive is called with arguments made by chance")
	primitiveSeed   = flag.Uint64("roundseed", 1, "what those are drawn from")
)

// Whatever a recipe gives a primitive, it works or stops in words, and what it shows
// can be drawn in every form. Only what nothing has made, as nil or an empty
// figure.Figure, may fail as it does in Go: the engine has words for that.
func TestPrimitivesWorkOrStopInWords(t *testing.T) {
	list := primitives(t)
	m := &maker{rng: rand.New(rand.NewPCG(*primitiveSeed, 1)), made: make(map[reflect.Type][]reflect.Value)}
	host.Begin(host.Run{Folder: os.DirFS("../../recipes/second-session"), Declare: func(document.Input) {}, Emit: func(document.Block) {}})
	m.begin()
	fine, stops := 0, 0
	for round := range *primitiveRounds {
		for _, p := range list {
			m.wild = []float64{0.05, 0, 0.3}[round%3]
			var blocks document.Blocks
			host.Begin(host.Run{
				Folder:  os.DirFS("../../recipes/second-session"),
				Declare: func(document.Input) {},
				Emit:    func(b document.Block) { blocks = append(blocks, b) },
			})
			var in []reflect.Value
			whole := true
			for i := range p.call.Type().NumIn() {
				in = append(in, m.value(p.call.Type().In(i)))
				whole = whole && isMade(in[i], 0)
			}
			out, failed := called(p.call, in)
			switch s, isStop := failed.value.(*host.Stop); {
			case isStop && strings.Contains(s.Message, "%!"):
				t.Errorf("%s: the format of its words is wrong: %v", p.name, s)
			case isStop:
				stops++
			case failed.value != nil && whole:
				t.Errorf("%s%s: %v, not a stop in words\n%s", p.name, told(in), failed.value, failed.stack)
			case failed.value == nil:
				fine++
				for _, v := range out {
					m.keep(v)
				}
				draw(t, p.name+told(in), blocks)
			}
		}
	}
	if fine == 0 || stops == 0 {
		t.Errorf("%d primitives: %d calls went well and %d stopped; there must be both", len(list), fine, stops)
	}
}

// A primitive is a function or a method that a recipe can call.
type primitive struct {
	name string
	call reflect.Value
}

// primitives returns all of them, in the order of the packages and of their names.
func primitives(t *testing.T) (list []primitive) {
	var src strings.Builder
	src.WriteString("package main\n")
	for _, p := range check.Packages {
		if strings.HasPrefix(p.Path, check.Own) {
			fmt.Fprintf(&src, "import _ %q\n", p.Path)
		}
	}
	src.WriteString("func main() {}\n")
	r, faults := recipe.Read("all.go", []byte(src.String()))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	c, faults := check.Check(r)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, pkg := range c.Package.Imports() {
		for _, name := range pkg.Scope().Names() {
			switch x := symbols.Lookup(pkg.Path(), name).(type) {
			case nil:
			case reflect.Type:
				for recv, i := reflect.PointerTo(x), 0; i < recv.NumMethod(); i++ {
					list = append(list, primitive{pkg.Name() + "." + name + "." + recv.Method(i).Name, recv.Method(i).Func})
				}
			default:
				if v := reflect.ValueOf(x); v.Kind() == reflect.Func {
					list = append(list, primitive{pkg.Name() + "." + name, v})
				}
			}
		}
	}
	return list
}

type failure struct {
	value any
	stack string
}

func called(f reflect.Value, in []reflect.Value) (out []reflect.Value, failed failure) {
	defer func() {
		if failed.value = recover(); failed.value != nil {
			failed.stack = string(debug.Stack())
		}
	}()
	if f.Type().IsVariadic() {
		return f.CallSlice(in), failed
	}
	return f.Call(in), failed
}

// draw draws what a primitive showed in every form.
func draw(t *testing.T, name string, blocks document.Blocks) {
	if len(blocks) == 0 {
		return
	}
	defer func() {
		if x := recover(); x != nil {
			t.Errorf("%s: what it shows cannot be drawn: %v\n%s", name, x, debug.Stack())
		}
	}()
	d := &document.Document{Sections: []document.Section{{Blocks: blocks}}}
	for _, ending := range render.Endings() {
		if _, err := render.File("all"+ending, d); err != nil {
			t.Errorf("%s: what it shows cannot be drawn: %v", name, err)
		}
	}
}

// A maker makes arguments by chance: mostly of what primitives have returned, and
// wild ones as often as it is told to.
type maker struct {
	rng  *rand.Rand
	made map[reflect.Type][]reflect.Value
	wild float64
}

// begin makes what everything else is made of.
func (m *maker) begin() {
	for _, blank := range []*mirror.Mirror{
		mirror.New(mirror.Spec{Diameter: 0.25, FocalLength: 1.5, Thickness: 0.035}),
		mirror.New(mirror.Spec{Diameter: 0.4, FocalLength: 1.6, Hole: 0.08}),
	} {
		wide := lap.Round(lap.Spec{Name: "100 mm lap", Diameter: 0.1, Load: 14})
		small := lap.Ring(lap.Spec{Name: "55 mm lap", Diameter: 0.055, Load: 5}, 0.015)
		along := stroke.Tangential(0.02, 3.3, 0.1).Wander(0.003)
		glass, rate := figure.Conic(blank, -0.9), wear.Published()
		spell := plan.Spell{Lap: wide, Stroke: along, At: 0.062, Turns: 40}
		mask := zone.NewMask(blank, blank.Hole(), 0.06, 0.078, 0.093, 0.105, 0.116, blank.Clear())
		readings := zone.Given(mask, zone.Sheet{Unit: unit.MM}, []float64{0, 1, 2, 3, 4, 5}, []float64{0, 1.1, 2, 3, 4.1, 5})
		for _, v := range []any{
			blank, wide, small, along, stroke.Held(0.1).Free(), glass, rate, spell, mask, readings,
			wear.Setting{Lap: small, Stroke: along, At: 0.08},
			plan.New(glass, rate, spell, plan.Spell{Lap: small, Stroke: along, At: 0.09, Turns: 20}),
			plan.Shelf{Laps: []*lap.Lap{wide, small}, Strokes: []*stroke.Stroke{along}},
			plan.Sharing{Ring: 0.08, Width: 0.02, Time: 600, Laps: []*lap.Lap{wide, small}, Stroke: along},
			session.Work{Before: glass, Spells: []session.Spell{{Lap: wide, Stroke: along, At: 0.062, Turns: 40}}, After: readings},
			session.Bench{Laps: []*lap.Lap{wide, small}, Strokes: []*stroke.Stroke{along}},
			zone.Sheet{Unit: unit.MM},
		} {
			m.keep(reflect.ValueOf(v))
		}
	}
}

// keep keeps a value, and what lies in it, to be given to other primitives.
func (m *maker) keep(v reflect.Value) {
	const most = 12
	switch t := v.Type(); {
	case t.Kind() == reflect.Slice:
		for i := range min(v.Len(), 3) {
			m.keep(v.Index(i))
		}
	case t.Kind() == reflect.Pointer && v.IsNil():
	case t.Kind() != reflect.Pointer && t.Kind() != reflect.Struct:
	case len(m.made[t]) < most:
		m.made[t] = append(m.made[t], v)
	default:
		m.made[t][most/2+m.rng.IntN(most/2)] = v
	}
}

var (
	tame = map[reflect.Type][]float64{
		reflect.TypeFor[unit.Length]():   {0, 0.0001, 0.003, 0.02, 0.05, 0.1},
		reflect.TypeFor[unit.Rate]():     {0.1, 0.5},
		reflect.TypeFor[unit.Force]():    {10},
		reflect.TypeFor[unit.Pressure](): {2000},
		reflect.TypeFor[unit.Preston]():  {1e-13},
		reflect.TypeFor[unit.Time]():     {600},
		reflect.TypeFor[float64]():       {0.3, 0.5, 0.95, 3},
	}
	wildFloats = []float64{0, math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300, -1e300, math.SmallestNonzeroFloat64, 1e9, 1e-9}
	wildInts   = []int64{-1, 1, 6, 100, math.MaxInt64, math.MinInt64, 1 << 31}
	texts      = []string{"", "name", "readings-1.csv", "recipe.log", "no such.csv", "%d%s\x00\xff", "\n", strings.Repeat("é", 300), "set"}
	anything   = []reflect.Type{
		reflect.TypeFor[float64](), reflect.TypeFor[int](), reflect.TypeFor[string](), reflect.TypeFor[bool](), reflect.TypeFor[unit.Length](),
		reflect.TypeFor[[]float64](), reflect.TypeFor[[]unit.Length](), reflect.TypeFor[figure.Estimate](), reflect.TypeFor[*figure.Figure](),
	}
)

// pick returns one of a list.
func pick[T any](m *maker, list []T) T { return list[m.rng.IntN(len(list))] }

// value makes a value of type t.
func (m *maker) value(t reflect.Type) reflect.Value {
	v := reflect.New(t).Elem()
	wild := m.rng.Float64() < m.wild
	switch t.Kind() {
	case reflect.Float64:
		if list := tame[t]; list != nil && !wild {
			v.SetFloat(pick(m, list))
		} else {
			v.SetFloat(pick(m, wildFloats))
		}
	case reflect.Int:
		v.SetInt(int64(m.rng.IntN(5)))
		if wild {
			v.SetInt(pick(m, wildInts))
		}
	case reflect.Uint64:
		v.SetUint(m.rng.Uint64())
	case reflect.Bool:
		v.SetBool(m.rng.IntN(2) == 0)
	case reflect.String:
		v.SetString(pick(m, texts))
	case reflect.Slice:
		n := m.rng.IntN(4)
		switch {
		case wild:
			n = pick(m, []int{0, 1, 40})
		case t.Elem().Kind() == reflect.Float64 && m.rng.IntN(2) == 0:
			n = figure.GridSize
		}
		for range n {
			v = reflect.Append(v, m.value(t.Elem()))
		}
	case reflect.Pointer:
		if list := m.made[t]; len(list) > 0 && !wild {
			v.Set(pick(m, list))
		} else if !wild {
			v.Set(reflect.New(t.Elem()))
			v.Elem().Set(m.value(t.Elem()))
		}
	case reflect.Struct:
		list := m.made[t]
		if len(list) > 0 {
			v.Set(pick(m, list))
		}
		for i := range t.NumField() {
			if t.Field(i).IsExported() && (len(list) == 0 || wild || m.rng.IntN(8) == 0) {
				v.Field(i).Set(m.value(t.Field(i).Type))
			}
		}
	case reflect.Interface:
		if !wild {
			v.Set(m.value(pick(m, anything)))
		}
	default:
		panic("no primitive took a " + t.String() + " yet: make one here")
	}
	return v
}

// isMade reports whether nothing in v is nil or empty that only a primitive makes.
func isMade(v reflect.Value, depth int) bool {
	const deep = 4
	switch t := v.Type(); {
	case depth > deep:
	case t.Kind() == reflect.Pointer || t.Kind() == reflect.Interface:
		return !v.IsNil() && isMade(v.Elem(), depth+1)
	case t.Kind() == reflect.Slice:
		for i := range v.Len() {
			if !isMade(v.Index(i), depth+1) {
				return false
			}
		}
	case t.Kind() == reflect.Struct && strings.HasPrefix(t.PkgPath(), check.Own):
		for i := range t.NumField() {
			f := t.Field(i)
			if !f.IsExported() && v.IsZero() || f.IsExported() && f.Type.Kind() == reflect.Pointer && v.Field(i).IsNil() {
				return false
			}
		}
	}
	return true
}

// told prints arguments for a person who looks for what failed.
func told(in []reflect.Value) string {
	var parts []string
	for _, v := range in {
		text := fmt.Sprintf("%+v", v)
		if v.Kind() == reflect.Pointer {
			text = v.Type().String()
		}
		parts = append(parts, text[:min(len(text), 300)])
	}
	return "(" + strings.Join(parts, ", ") + ")"
}
