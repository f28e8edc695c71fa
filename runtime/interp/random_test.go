package interp_test

import (
	"flag"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

var (
	randomCount = flag.Int("random", 60, "how many random programs to try")
	randomSeed  = flag.Int("randomseed", 1, "the seed of the first random program")
)

// A writer of random programs: well-typed, ending, and printing what they do.
type randomProgram struct {
	t       *rapid.T
	b       strings.Builder
	indent  int
	vars    []variable // in scope
	count   int
	inLoop  int
	funcs   []signature
	structs []structure
	depth   int
}

// A structure is a struct type with two methods: one of a value that gives its first
// field's type, and one of a pointer that sets its last field.
type structure struct {
	name   string
	fields []string // types; the names are f0, f1, …
	get    signature
	put    signature
}

type variable struct {
	name, typ string
	fixed     bool // a loop's counter: not to be assigned
}

type signature struct {
	name   string
	params []string
	result string
}

var numeric = []string{"int", "int8", "uint8", "int32", "uint32", "int64", "uint64", "float32", "float64"}

func isFloat(t string) bool { return strings.HasPrefix(t, "float") }

func (p *randomProgram) pick(n int) int { return rapid.IntRange(0, n-1).Draw(p.t, "pick") }

func (p *randomProgram) line(format string, args ...any) {
	p.b.WriteString(strings.Repeat("\t", p.indent))
	fmt.Fprintf(&p.b, format, args...)
	p.b.WriteByte('\n')
}

func (p *randomProgram) name(prefix string) string {
	p.count++
	return fmt.Sprintf("%s%d", prefix, p.count)
}

// variableOf names a variable of the type in scope, or "".
func (p *randomProgram) variableOf(typ string, assign bool) string {
	var names []string
	for _, v := range p.vars {
		if v.typ == typ && !(assign && v.fixed) {
			names = append(names, v.name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return names[p.pick(len(names))]
}

// literal writes a value that is no constant to the compiler, which would refuse
// what overflows.
func (p *randomProgram) literal(typ string) string { return "of(" + p.constant(typ) + ")" }

func (p *randomProgram) constant(typ string) string {
	switch typ {
	case "bool":
		return []string{"true", "false"}[p.pick(2)]
	case "string":
		return []string{`""`, `"a"`, `"bc"`, `"é"`}[p.pick(4)]
	case "int8", "uint8":
		return fmt.Sprintf("%s(%d)", typ, p.pick(128))
	case "float32", "float64":
		return fmt.Sprintf("%s(%s)", typ, []string{"0", "0.1", "1", "2.5", "-3.75", "1e10", "1e-3", "7"}[p.pick(8)])
	}
	return fmt.Sprintf("%s(%d)", typ, []int{0, 1, 2, 3, 7, 100, 1000003, 2147483647}[p.pick(8)])
}

// expression writes an expression of the type.
func (p *randomProgram) expression(typ string) string {
	p.depth++
	defer func() { p.depth-- }()
	if p.depth > 4 || p.pick(5) == 0 {
		if v := p.variableOf(typ, false); v != "" && p.pick(4) > 0 {
			return v
		}
		if p.structure(typ) == nil {
			return p.literal(typ)
		}
	}
	if p.structure(typ) != nil {
		return p.structValue(typ)
	}
	if p.pick(4) == 0 {
		if part := p.part(typ); part != "" {
			return part
		}
	}
	if p.pick(6) == 0 {
		for _, f := range p.funcs {
			if f.result == typ && p.pick(2) == 0 {
				return p.call(f)
			}
		}
	}
	switch typ {
	case "bool":
		t := append(numeric, "string")[p.pick(len(numeric)+1)]
		switch p.pick(4) {
		case 0:
			return "!" + p.expression("bool")
		case 1:
			return "(" + p.expression("bool") + []string{" && ", " || "}[p.pick(2)] + p.expression("bool") + ")"
		}
		return "(" + p.expression(t) + []string{" < ", " <= ", " > ", " >= ", " == ", " != "}[p.pick(6)] + p.expression(t) + ")"
	case "string":
		return "(" + p.expression("string") + " + " + p.expression("string") + ")"
	}
	switch p.pick(6) {
	case 0: // a conversion that every machine does in the same way
		from := numeric[p.pick(len(numeric))]
		if isFloat(from) && !isFloat(typ) {
			return typ + "(len(" + p.expression("string") + "))"
		}
		return typ + "(" + p.expression(from) + ")"
	case 1:
		return "-(" + p.expression(typ) + ")"
	case 2:
		return []string{"min", "max"}[p.pick(2)] + "(" + p.expression(typ) + ", " + p.expression(typ) + ")"
	}
	if isFloat(typ) {
		// The explicit conversion keeps a compiler from fusing.
		return typ + "(" + p.expression(typ) + []string{" + ", " - ", " * ", " / "}[p.pick(4)] + p.expression(typ) + ")"
	}
	x, y := p.expression(typ), p.expression(typ)
	switch p.pick(9) {
	case 0:
		return "div(" + x + ", " + y + ")"
	case 1:
		return "rem(" + x + ", " + y + ")"
	case 2:
		return "(" + x + []string{" << ", " >> "}[p.pick(2)] + "(" + p.expression("uint8") + " % 70))"
	}
	return "(" + x + []string{" + ", " - ", " * ", " & ", " | ", " ^ ", " &^ "}[p.pick(7)] + y + ")"
}

// structure returns the struct type of the name, or nil.
func (p *randomProgram) structure(typ string) *structure {
	for i := range p.structs {
		if p.structs[i].name == typ {
			return &p.structs[i]
		}
	}
	return nil
}

// structValue writes a value of a struct type.
func (p *randomProgram) structValue(typ string) string {
	if xs := p.variableOf("[]"+typ, false); xs != "" && p.pick(3) == 0 {
		return "at(" + xs + ", " + p.expression("int") + ")"
	}
	var fields []string
	for i, f := range p.structure(typ).fields {
		if p.pick(4) > 0 {
			fields = append(fields, fmt.Sprintf("f%d: %s", i, p.expression(f)))
		}
	}
	return typ + "{" + strings.Join(fields, ", ") + "}"
}

// part writes a part of a variable that has the type: a field, what a method gives,
// an element; or "".
func (p *randomProgram) part(typ string) string {
	var parts []string
	for _, v := range p.vars {
		if s := p.structure(v.typ); s != nil {
			for i, f := range s.fields {
				if f == typ {
					parts = append(parts, fmt.Sprintf("%s.f%d", v.name, i))
				}
			}
			if s.get.result == typ {
				parts = append(parts, v.name+"."+p.call(s.get))
			}
			if typ == "bool" {
				parts = append(parts, "("+v.name+" == "+p.structValue(v.typ)+")")
			}
		}
		switch v.typ {
		case "[]" + typ:
			parts = append(parts, "at("+v.name+", "+p.expression("int")+")")
		case "map[string]" + typ:
			parts = append(parts, v.name+"["+p.expression("string")+"]")
		}
		if typ == "int" && (strings.HasPrefix(v.typ, "[]") || strings.HasPrefix(v.typ, "map")) {
			parts = append(parts, "len("+v.name+")")
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return parts[p.pick(len(parts))]
}

// elementType is a scalar or a struct type.
func (p *randomProgram) elementType() string {
	if len(p.structs) > 0 && p.pick(3) == 0 {
		return p.structs[p.pick(len(p.structs))].name
	}
	return p.anyType()
}

// declare writes a new variable of the type with a first value.
func (p *randomProgram) declare(typ, value string) {
	name := p.name("v")
	p.line("%s := %s", name, value)
	p.line("_ = %s", name)
	p.vars = append(p.vars, variable{name: name, typ: typ})
}

// compound writes a statement about a struct, a slice or a map.
func (p *randomProgram) compound() {
	typ := p.elementType()
	var s *structure
	if len(p.structs) > 0 {
		s = &p.structs[p.pick(len(p.structs))]
	}
	switch p.pick(7) {
	case 0:
		if s != nil {
			p.declare(s.name, p.structValue(s.name))
		}
	case 1:
		if s == nil {
			return
		}
		if v := p.variableOf(s.name, true); v != "" {
			i := p.pick(len(s.fields))
			p.line("%s.f%d = %s", v, i, p.expression(s.fields[i]))
			p.line("%s.%s", v, p.call(s.put))
		}
	case 2:
		p.declare("[]"+typ, fmt.Sprintf("[]%s{%s, %s}", typ, p.expression(typ), p.expression(typ)))
	case 3:
		xs := p.variableOf("[]"+typ, true)
		if xs == "" {
			return
		}
		switch p.pick(4) {
		case 0:
			p.line("%s = %s[len(%s)/2:]", xs, xs, xs)
		case 1:
			p.line("if len(%s) > 0 {", xs)
			p.line("\t%s[len(%s)-1] = %s", xs, xs, p.expression(typ))
			p.line("}")
		default:
			p.line("if len(%s) < 20 {", xs)
			p.line("\t%s = append(%s, %s)", xs, xs, p.expression(typ))
			p.line("}")
		}
	case 4:
		p.declare("map[string]"+typ, fmt.Sprintf("map[string]%s{\"a\": %s}", typ, p.expression(typ)))
	case 5:
		m := p.variableOf("map[string]"+typ, true)
		if m == "" {
			return
		}
		if p.pick(3) == 0 {
			p.line("delete(%s, %s)", m, p.expression("string"))
		} else {
			p.line("%s[%s] = %s", m, p.expression("string"), p.expression(typ))
		}
	default:
		if p.indent >= 4 || p.inLoop >= 2 {
			return
		}
		over, counter := p.variableOf("[]"+typ, false), "int"
		if over == "" {
			m := p.variableOf("map[string]"+typ, false)
			if m == "" {
				return
			}
			over, typ = "slices.Sorted(maps.Keys("+m+"))", "string"
			counter = ""
		}
		i, x := "_", p.name("x")
		if counter != "" {
			i = p.name("i")
		}
		p.inLoop++
		if counter == "" {
			p.line("for %s := range slices.Values(%s) {", x, over)
		} else {
			p.line("for %s, %s := range %s {", i, x, over)
			p.line("\t_ = %s", i)
		}
		p.line("\t_ = %s", x)
		scope := len(p.vars)
		p.vars = append(p.vars, variable{name: x, typ: typ})
		p.block(3)
		p.vars = p.vars[:scope]
		p.line("}")
		p.inLoop--
	}
}

// writeStruct writes a struct type with its methods.
func (p *randomProgram) writeStruct() {
	s := structure{name: p.name("pair")}
	for range 2 + p.pick(3) {
		s.fields = append(s.fields, p.anyType())
	}
	last := len(s.fields) - 1
	p.line("")
	p.line("type %s struct {", s.name)
	for i, f := range s.fields {
		p.line("\tf%d %s", i, f)
	}
	p.line("}")
	p.vars = []variable{{name: "a", typ: s.fields[0]}, {name: "s.f1", typ: s.fields[1]}}
	s.get = signature{"get", s.fields[:1], s.fields[0]}
	p.line("")
	p.line("func (s %s) get(a %s) %s {", s.name, s.fields[0], s.fields[0])
	p.line("\ts.f0 = a")
	p.line("\treturn %s", p.expression(s.fields[0]))
	p.line("}")
	p.vars = []variable{{name: "a", typ: s.fields[last]}, {name: "s.f0", typ: s.fields[0]}}
	s.put = signature{name: "put", params: s.fields[last:]}
	p.line("")
	p.line("func (s *%s) put(a %s) {", s.name, s.fields[last])
	p.line("\ts.f%d = %s", last, p.expression(s.fields[last]))
	p.line("}")
	p.structs = append(p.structs, s)
}

func (p *randomProgram) call(f signature) string {
	args := make([]string, len(f.params))
	for i, t := range f.params {
		args[i] = p.expression(t)
	}
	return f.name + "(" + strings.Join(args, ", ") + ")"
}

func (p *randomProgram) anyType() string {
	all := append(numeric, "bool", "string")
	return all[p.pick(len(all))]
}

func (p *randomProgram) block(n int) {
	p.indent++
	scope := len(p.vars)
	for range 1 + p.pick(n) {
		p.statement()
	}
	for _, v := range p.vars[scope:] {
		p.line("note(%s)", v.name)
	}
	p.vars = p.vars[:scope]
	p.indent--
}

func (p *randomProgram) statement() {
	typ := p.anyType()
	switch k := p.pick(18); {
	case k >= 12:
		p.compound()
	case k < 3:
		p.declare(typ, p.expression(typ))
	case k < 6:
		v := p.variableOf(typ, true)
		if v == "" {
			return
		}
		switch {
		case typ == "bool":
			p.line("%s = %s", v, p.expression(typ))
		case typ == "string":
			p.line("if len(%s) < 20 {", v)
			p.line("\t%s += %s", v, p.expression(typ))
			p.line("}")
		default:
			p.line("%s %s %s", v, []string{"=", "+=", "-=", "*="}[p.pick(4)], p.expression(typ))
		}
	case k < 8 && p.indent < 5:
		p.line("if %s {", p.expression("bool"))
		p.block(3)
		if p.pick(2) == 0 {
			p.line("} else {")
			p.block(3)
		}
		p.line("}")
	case k < 9 && p.indent < 4 && p.inLoop < 2:
		i := p.name("i")
		p.inLoop++
		if p.pick(2) == 0 {
			p.line("for %s := range %d {", i, 1+p.pick(5))
		} else {
			p.line("for %s := 0; %s < %d; %s++ {", i, i, 1+p.pick(5), i)
		}
		p.line("\t_ = %s", i)
		p.vars = append(p.vars, variable{i, "int", true})
		p.block(3)
		if p.pick(4) == 0 {
			p.line("\tif %s {", p.expression("bool"))
			p.line("\t\t%s", []string{"break", "continue"}[p.pick(2)])
			p.line("\t}")
		}
		p.vars = p.vars[:len(p.vars)-1]
		p.line("}")
		p.inLoop--
	case k < 10:
		v := p.variableOf(typ, true)
		if v == "" || typ == "bool" || typ == "string" {
			return
		}
		f := p.name("f")
		p.line("%s := func(x %s) %s { %s += x; return %s }", f, typ, typ, v, v)
		p.line("note(%s(%s), %s)", f, p.expression(typ), v)
	default:
		p.line("note(%s, %s)", p.expression(typ), p.expression(p.anyType()))
	}
}

var randomPrograms = rapid.Custom(func(t *rapid.T) string {
	p := &randomProgram{t: t}
	p.b.WriteString(`package main

import (
	"fmt"
	"maps"
	"slices"
)

var _ = slices.Sorted(maps.Keys(map[int]int{}))

type integer interface {
	~int | ~int8 | ~uint8 | ~int32 | ~uint32 | ~int64 | ~uint64
}

func of[T any](x T) T { return x }

func at[T any](xs []T, i int) (x T) {
	if len(xs) == 0 {
		return x
	}
	return xs[uint(i)%uint(len(xs))]
}

func div[T integer](a, b T) T {
	if b == 0 {
		return a
	}
	return a / b
}

func rem[T integer](a, b T) T {
	if b == 0 {
		return a
	}
	return a % b
}

var notes int

func note(xs ...any) {
	if notes++; notes < 200 {
		fmt.Println(xs...)
	}
}
`)
	for range p.pick(3) {
		p.writeStruct()
	}
	for range 1 + p.pick(3) {
		f := signature{name: p.name("fun"), result: p.anyType()}
		p.vars = nil
		var params []string
		for range 1 + p.pick(3) {
			typ, name := p.anyType(), p.name("a")
			f.params = append(f.params, typ)
			params = append(params, name+" "+typ)
			p.vars = append(p.vars, variable{name: name, typ: typ})
		}
		p.line("")
		p.line("func %s(%s) %s {", f.name, strings.Join(params, ", "), f.result)
		p.inLoop = 1
		p.block(3)
		p.inLoop = 0
		p.line("\treturn %s", p.expression(f.result))
		p.line("}")
		p.funcs = append(p.funcs, f)
	}
	p.vars = nil
	p.line("")
	p.line("func main() {")
	p.block(4)
	p.block(4)
	p.block(4)
	p.line("}")
	return p.b.String()
})

func TestRandomProgramsSayWhatTheCompilerSays(t *testing.T) {
	var programs []program
	for i := range *randomCount {
		src := randomPrograms.Example(*randomSeed + i)
		programs = append(programs, program{fmt.Sprintf("random%d.go", *randomSeed+i), []byte(src)})
	}
	want := compiled(t, programs)
	for _, p := range programs {
		if diff := cmp.Diff(want[p.name], said(interpret(p.name, p.source, 20*time.Second))); diff != "" {
			t.Errorf("%s: compiled (-) and interpreted (+) differ:\n%s\n%s", p.name, diff, p.source)
		}
	}
}
