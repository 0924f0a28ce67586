//go:build !unix

package main

import (
	"os"
	"time"
)

var started = time.Now()

// spent is the time since this program began: its processor time is not known here.
func spent() float64 { return time.Since(started).Seconds() }

// peakOf is not known here.
func peakOf(*os.ProcessState) float64 { return 0 }
