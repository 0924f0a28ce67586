//go:build unix

package program

import (
	"syscall"
	"time"
)

// processorTime is what the process has used of all processors so far, its own and the system's for it.
func processorTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
