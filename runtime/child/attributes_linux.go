package child

import (
	"os"
	"syscall"
)

// attributes make the child a group of its own, which the keyboard does not
// interrupt, and let the kernel end it with its parent.
func attributes() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
}

func signalled(state *os.ProcessState, signal syscall.Signal) bool {
	status, ok := state.Sys().(syscall.WaitStatus)
	return ok && status.Signaled() && status.Signal() == signal
}

// killedFromOutside tells whether the kernel killed the process: for memory, as
// nobody else would.
func killedFromOutside(state *os.ProcessState) bool { return signalled(state, syscall.SIGKILL) }

// cpuUsedUp tells whether the process ended because its time on the processors did.
func cpuUsedUp(state *os.ProcessState) bool { return signalled(state, syscall.SIGXCPU) }
