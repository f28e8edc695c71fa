package interp

import (
	"fmt"
	"reflect"
	"strings"

	"lapwright/runtime/check"
)

const (
	printsAddress = "this prints an address, which is another at every run"
	printsOrder   = "fmt orders the keys of this map by address, which is another at every run"
)

// noAddress ends the run if package fmt would write an address in writing a value
// of one of the program's types: such a value is given to fmt as it is.
func (m *machine) noAddress(x any, d check.Directive) {
	switch x.(type) {
	case nil, string, float64, int:
		return
	}
	m.noInside(x, d)
	v := reflect.ValueOf(x)
	if d.Verb == 'T' || d.Verb != 'p' && !m.mayHoldAddress(v.Type()) {
		return
	}
	if m.writesAddress(v, d, 0) {
		m.refuse(printsAddress, insteadOf(v.Type()))
	}
}

// noInside ends the run if package fmt would write what is within an error of Go's
// own: the machine has its words and no more.
func (m *machine) noInside(x any, d check.Directive) {
	if _, ok := asGoError(x); ok && (strings.Contains(d.Flags, "#") || !strings.ContainsRune("vsqxXT", d.Verb)) {
		m.refuse("this prints the inside of an error of Go's own", check.Instead([]string{"Error"}))
	}
}

// insteadOf says what to print in place of a value that would be written with an
// address.
func insteadOf(t reflect.Type) string {
	if t.Kind() != reflect.Pointer && t.Kind() != reflect.Struct {
		return "print what it points to"
	}
	var names []string
	for i := range t.NumMethod() {
		f := t.Method(i)
		if f.Type.NumIn() == 1 && f.Type.NumOut() == 1 && pointerless(f.Type.Out(0).Kind()) {
			names = append(names, f.Name)
		}
	}
	return check.Instead(names)
}

func pointerless(k reflect.Kind) bool {
	return reflect.Bool <= k && k <= reflect.Complex128 || k == reflect.String
}

// mayHoldAddress tells whether a value of the type can hold what fmt writes as an
// address.
func (m *machine) mayHoldAddress(t reflect.Type) bool {
	may, ok := m.holdsAddress[t]
	if ok {
		return may
	}
	m.holdsAddress[t] = true // for a type that holds itself: by a pointer
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			may = may || m.mayHoldAddress(t.Field(i).Type)
		}
	case reflect.Array, reflect.Slice:
		may = m.mayHoldAddress(t.Elem())
	case reflect.Map:
		may = m.mayHoldAddress(t.Key()) || m.mayHoldAddress(t.Elem())
	default:
		may = !pointerless(t.Kind())
	}
	m.holdsAddress[t] = may
	return may
}

// writesAddress tells whether fmt writes an address in writing a value, by the
// rules of printValue in fmt/print.go. Reflection knows, as it does there, whether
// the value came from an unexported field, whose methods are not used.
func (m *machine) writesAddress(v reflect.Value, d check.Directive, depth int) bool {
	const deep = 100 // a value that holds itself
	if depth > deep || !v.IsValid() {
		return depth > deep
	}
	if v.CanInterface() && v.Kind() != reflect.Interface && writesItself(v.Interface(), d) {
		return false
	}
	switch v.Kind() {
	case reflect.Func, reflect.Chan, reflect.UnsafePointer:
		return !v.IsNil()
	case reflect.Pointer:
		if v.IsNil() {
			return false
		}
		if depth == 0 && d.Verb != 'p' {
			switch v.Elem().Kind() {
			case reflect.Array, reflect.Slice, reflect.Struct, reflect.Map:
				return m.writesAddress(v.Elem(), d, depth+1)
			}
		}
		return true
	case reflect.Interface:
		return m.writesAddress(v.Elem(), d, depth+1)
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Field(i)
			if f.Kind() == reflect.Interface {
				f = f.Elem()
			}
			if m.writesAddress(f, d, depth+1) {
				return true
			}
		}
	case reflect.Slice, reflect.Array:
		if v.Kind() == reflect.Slice && d.Verb == 'p' && depth == 0 {
			return !v.IsNil()
		}
		if !m.mayHoldAddress(v.Type().Elem()) {
			return false
		}
		for i := range v.Len() {
			if m.writesAddress(v.Index(i), d, depth+1) {
				return true
			}
		}
	case reflect.Map:
		if d.Verb == 'p' && depth == 0 {
			return !v.IsNil()
		}
		if !m.mayHoldAddress(v.Type()) {
			return false
		}
		if v.Type().Key().Kind() == reflect.Interface && v.Len() > 1 {
			return true // keys of several types are ordered by the addresses of these
		}
		for it := v.MapRange(); it.Next(); {
			if m.writesAddress(it.Key(), d, depth+1) || m.writesAddress(it.Value(), d, depth+1) {
				return true
			}
		}
	}
	return false
}

// writesItself tells whether fmt has a value write itself.
func writesItself(x any, d check.Directive) bool {
	if _, ok := x.(fmt.Formatter); ok {
		return d.Verb != 'p'
	}
	if d.Sharp() {
		_, ok := x.(fmt.GoStringer)
		return ok
	}
	if !strings.ContainsRune("vwsxXq", d.Verb) {
		return false
	}
	switch x.(type) {
	case error, fmt.Stringer:
		return true
	}
	return false
}
