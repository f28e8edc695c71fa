package interp

import (
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// Maps are reached through reflection, save those whose keys are strings or whole
// numbers of eight bytes: a map with such keys and elements of the same shape has
// the same hash and the same memory whatever its types are called, so Go's own
// map operations on a map type of that shape serve for all of them.

func (c *compiler) mapUpdate(instr *ssa.MapUpdate) op {
	k, v := c.slot(instr.Key), c.slot(instr.Value)
	n := c.site(instr, instr.Pos())
	if set := mapOps(k.lay, v.lay).set; set != nil {
		m := c.slot(instr.Map).offset
		return func(fr *frame) {
			fr.at = n
			set(register(fr, slot{m, nil}), register(fr, k), register(fr, v))
		}
	}
	m := c.mapping(instr.Map)
	return func(fr *frame) {
		fr.at = n
		m(fr).SetMapIndex(k.value(fr), v.value(fr))
	}
}

func (c *compiler) lookup(instr *ssa.Lookup) op {
	k := c.slot(instr.Index)
	n := c.site(instr, instr.Pos())
	var d slot
	var ok uintptr
	if instr.CommaOk {
		d, ok = c.place(c.tuples[instr][0]), c.place(c.tuples[instr][1]).offset
	} else {
		d = c.slot(instr)
	}
	if get := mapOps(k.lay, d.lay).get; get != nil {
		m := c.slot(instr.X).offset
		return func(fr *frame) {
			fr.at = n
			found := get(register(fr, slot{m, nil}), register(fr, k), register(fr, d))
			if instr.CommaOk {
				*at[bool](fr, ok) = found
			}
		}
	}
	m := c.mapping(instr.X)
	return func(fr *frame) {
		fr.at = n
		v := m(fr).MapIndex(k.value(fr))
		if v.IsValid() {
			d.value(fr).Set(v)
		} else {
			d.lay.clear(register(fr, d))
		}
		if instr.CommaOk {
			*at[bool](fr, ok) = v.IsValid()
		}
	}
}

// A mapAccess reads and writes elements of maps of one shape. All three are
// addresses: of the map, the key and the element.
type mapAccess struct {
	get func(m, k, v unsafe.Pointer) bool
	set func(m, k, v unsafe.Pointer)
}

// mapOps returns the access to maps of the key and element, or none.
func mapOps(key, elem *layout) mapAccess {
	switch key.rt.Kind() {
	case reflect.String:
		return mapOf[string](elem)
	case reflect.Int, reflect.Int64, reflect.Uint, reflect.Uint64:
		return mapOf[uint64](elem)
	}
	return mapAccess{}
}

func mapOf[K comparable](elem *layout) mapAccess {
	switch elem.shape {
	case shape1:
		return access[K, uint8]()
	case shape8:
		return access[K, uint64]()
	case shapePtr:
		return access[K, unsafe.Pointer]()
	case shapeStr:
		return access[K, string]()
	case shapeList:
		return access[K, header]()
	case shapeFace:
		return access[K, face]()
	}
	return mapAccess{}
}

func access[K comparable, V any]() mapAccess {
	return mapAccess{
		get: func(m, k, v unsafe.Pointer) bool {
			x, ok := (*(*map[K]V)(m))[*(*K)(k)]
			*(*V)(v) = x
			return ok
		},
		set: func(m, k, v unsafe.Pointer) {
			(*(*map[K]V)(m))[*(*K)(k)] = *(*V)(v)
		},
	}
}
