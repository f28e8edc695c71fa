//go:build unix && !linux

package child

import (
	"runtime"
	"time"

	"golang.org/x/sys/unix"
)

// raise does what these systems have: they end a process that has used up its
// time on the processors, and let it write no files. Files are opened by os.Root
// alone, a recipe has no names for the rest, and the parent kills the child when
// its time is up.
func raise(folder string, l Limits) Walls {
	limit := func(resource int, r unix.Rlimit) bool { return unix.Setrlimit(resource, &r) == nil }
	limit(unix.RLIMIT_CORE, unix.Rlimit{})
	limit(unix.RLIMIT_FSIZE, unix.Rlimit{})
	var cpu unix.Rlimit
	seconds := uint64(l.Time/time.Second)*uint64(runtime.NumCPU()) + 2
	set(&cpu.Cur, seconds)
	set(&cpu.Max, seconds)
	return Walls{CPU: limit(unix.RLIMIT_CPU, cpu)}
}

// set sets a limit, whose type differs between systems.
func set[T int64 | uint64](limit *T, to uint64) { *limit = T(to) }

func resident(pid int) (uint64, bool) { return 0, false }
