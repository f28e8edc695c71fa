//go:build linux && cgo

package child

// addressLimit tells whether the address space may be limited. The C library's
// threads reserve address space in amounts that a limit would trip over, so that
// here the parent watches what is in memory instead.
const addressLimit = false
