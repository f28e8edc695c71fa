//go:build !linux

package child

import (
	"os"
	"syscall"
)

func attributes() *syscall.SysProcAttr { return nil }

func killedFromOutside(*os.ProcessState) bool { return false }

func cpuUsedUp(*os.ProcessState) bool { return false }
