package child

import (
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"

	seccomp "github.com/elastic/go-seccomp-bpf"
	"github.com/elastic/go-seccomp-bpf/arch"
	"github.com/landlock-lsm/go-landlock/landlock"
	"golang.org/x/sys/unix"
)

// raise puts this process behind walls for good: limits on what it may use,
// Landlock on files and the network, seccomp on what it may ask of the kernel.
// What the kernel does not have is left out, and each wall is tried afterwards.
func raise(folder string, l Limits) Walls {
	var w Walls
	limit := func(resource int, most uint64) bool {
		return unix.Setrlimit(resource, &unix.Rlimit{Cur: most, Max: most}) == nil
	}
	limit(unix.RLIMIT_CORE, 0)
	limit(unix.RLIMIT_FSIZE, 0)
	limit(unix.RLIMIT_NOFILE, 64)
	seconds := uint64(l.Time/time.Second)*uint64(runtime.NumCPU()) + 2
	w.CPU = limit(unix.RLIMIT_CPU, seconds)
	if addressLimit {
		w.Memory = limit(unix.RLIMIT_AS, addressSpace()+hardMemory(l))
	}

	// A kernel without Landlock gives an error or does nothing; the trial below tells.
	_ = landlock.V8.BestEffort().Restrict(landlock.RODirs(folder))

	// The filter is loaded by the thread that gives up its privileges; TSYNC
	// carries it to all others.
	runtime.LockOSThread()
	err := seccomp.LoadFilter(seccomp.Filter{NoNewPrivs: true, Flag: seccomp.FilterFlagTSync, Policy: policy()})
	runtime.UnlockOSThread()

	_, errOpen := os.Open("/")
	w.Files = errOpen != nil
	socket, errSocket := unix.Socket(unix.AF_INET, unix.SOCK_STREAM, 0)
	if errSocket == nil {
		unix.Close(socket)
	}
	w.Network = errSocket != nil
	w.Process = err == nil
	return w
}

// hardMemory is what the address space may grow by: the collector's overhead and
// the program's own tables come on top of what a recipe holds.
func hardMemory(l Limits) uint64 { return uint64(l.Memory)*3/2 + 256<<20 }

// addressSpace returns the size of this process's address space.
func addressSpace() uint64 {
	size, _ := statm(os.Getpid(), 0)
	return size
}

// statm returns a figure of /proc/PID/statm in bytes: 0 the address space, 1 what
// of it is in memory.
func statm(pid, field int) (uint64, bool) {
	data, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/statm")
	if err != nil {
		return 0, false
	}
	fields := strings.Fields(string(data))
	if field >= len(fields) {
		return 0, false
	}
	pages, err := strconv.ParseUint(fields[field], 10, 64)
	return pages * uint64(os.Getpagesize()), err == nil
}

// resident returns how much memory a process holds.
func resident(pid int) (uint64, bool) { return statm(pid, 1) }

// calls are what a Go program asks of the kernel to compute and to read files it
// is given. Everything else fails with EPERM: no sockets, no programs, no new
// limits, no signals to others.
var calls = []string{
	"read", "pread64", "readv", "write", "writev", "close", "lseek", "fstat", "newfstatat", "getdents64", "readlinkat", "fcntl",
	"mmap", "munmap", "mprotect", "madvise", "mincore", "brk",
	"futex", "sched_yield", "sched_getaffinity", "nanosleep", "clock_nanosleep", "clock_gettime", "gettimeofday", "getrandom",
	"rt_sigaction", "rt_sigprocmask", "rt_sigreturn", "sigaltstack", "restart_syscall",
	"gettid", "getpid", "set_robust_list", "rseq", "exit", "exit_group",
	"epoll_create1", "epoll_ctl", "epoll_pwait", "epoll_wait", "eventfd2",
}

func policy() seccomp.Policy {
	known := func(name string) bool { return true }
	if info, err := arch.GetInfo(""); err == nil {
		known = func(name string) bool { _, ok := info.SyscallNames[name]; return ok }
	}
	allowed := slices.DeleteFunc(slices.Clone(calls), func(name string) bool { return !known(name) })
	const toWrite = unix.O_WRONLY | unix.O_RDWR | unix.O_CREAT | unix.O_TRUNC | unix.O_APPEND
	return seccomp.Policy{
		DefaultAction: seccomp.ActionErrno,
		Syscalls: []seccomp.SyscallGroup{{
			// The C library tries clone where the kernel has no clone3, whose
			// flags a filter cannot see.
			Action: seccomp.ActionErrno | seccomp.Action(unix.ENOSYS),
			Names:  []string{"clone3"},
		}, {
			Action: seccomp.ActionAllow,
			Names:  allowed,
			NamesWithCondtions: []seccomp.NameWithConditions{
				{Name: "openat", Conditions: seccomp.ArgumentConditions{{Argument: 2, Operation: seccomp.BitsNotSet, Value: toWrite}}},
				{Name: "clone", Conditions: seccomp.ArgumentConditions{{Argument: 0, Operation: seccomp.BitsSet, Value: unix.CLONE_THREAD}}},
				{Name: "tgkill", Conditions: seccomp.ArgumentConditions{{Argument: 0, Operation: seccomp.Equal, Value: uint64(os.Getpid())}}},
			},
		}},
	}
}
