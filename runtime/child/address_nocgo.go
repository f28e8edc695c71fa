//go:build linux && !cgo

package child

// addressLimit tells whether the address space may be limited. The C library's
// threads reserve address space in amounts that a limit would trip over.
const addressLimit = true
