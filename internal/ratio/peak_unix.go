//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
	"time"
)

// spent is the processor time that this program has used, in seconds.
func spent() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err) // cannot be, with these arguments
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano()).Seconds()
}

// peakOf is the most memory in bytes that an ended program held.
func peakOf(p *os.ProcessState) float64 {
	u, ok := p.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" {
		return float64(u.Maxrss)
	}
	return float64(u.Maxrss) * 1024
}
