// Package symbols leads from the names of the packages a recipe may import to
// their functions, variables and types in this program. All files but this one
// are generated from package check's list.
//
// Everything is found by switches on strings, so that a program's start pays
// nothing for it.
package symbols

import (
	"fmt"
	"unsafe"
)

// A Held is a value of a recipe's own type that stands where the program wants
// one of its interfaces. Its methods are the recipe's.
type Held struct {
	Value   any // as the machine keeps it in an interface
	Machine Machine
}

// A Machine runs methods of a recipe's types.
type Machine interface {
	// Invoke calls the method of the value. Arguments and results are pointers
	// to variables of the method's own types.
	Invoke(value any, method string, args, results []unsafe.Pointer)
	// Format writes the value as package fmt would.
	Format(value any, s fmt.State, verb rune)
}

// Recipe returns the value as the machine keeps it.
func (h Held) Recipe() any { return h.Value }

func (h Held) call(method string, args, results []unsafe.Pointer) {
	h.Machine.Invoke(h.Value, method, args, results)
}

// An Error is a recipe's value that stands for an error.
type Error struct{ Held }

// Error calls the recipe's method.
func (e Error) Error() (text string) {
	e.call("Error", nil, []unsafe.Pointer{unsafe.Pointer(&text)})
	return text
}

// Format writes the recipe's value.
func (e Error) Format(s fmt.State, verb rune) { e.Machine.Format(e.Value, s, verb) }
