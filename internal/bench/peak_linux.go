package main

import "syscall"

// peak is the most memory that the program has held, in MiB.
func peak() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Maxrss) / 1024
}
