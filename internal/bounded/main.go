// Command bounded reads files as large and as awkward as the limits let through, and some beyond them, each in a process of its own by the
// package that reads such files, and prints what that takes: memory beyond that of a process that reads nothing, in times of the
// file, and processor time for each 100 MB. It exits with 1 where one takes more than 8 times its size (and 48 MiB, which any small file
// may) or 3 s for 100 MB (and 1 s). It is run by hand, on Linux, on a machine that has nothing else to do: go run ./internal/bounded
package main

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

func main() {
	if len(os.Args) == 3 {
		os.Exit(child(os.Args[1], os.Args[2]))
	}
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "bounded:", err)
		os.Exit(1)
	}
}

// child reads one file, says why not where that fails, and how much memory the process took.
func child(kind, file string) int {
	code := 0
	if err := readers[kind](file); err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 2
	}
	fmt.Println(peak())
	return code
}

// peak is the most memory that this process had, in bytes. What a process is said to have had by the one that waits for it counts that
// one's own, too.
func peak() float64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return math.NaN()
	}
	var kib float64
	for line := range strings.Lines(string(status)) {
		if _, err := fmt.Sscanf(line, "VmHWM: %f kB", &kib); err == nil {
			return 1024 * kib
		}
	}
	return math.NaN()
}

const (
	mostTimes   = 8.0      // of the file's size
	anyFile     = 48 << 20 // bytes that reading a small file may take
	mostSeconds = 3.0      // of the processor for 100 MB
	anyTime     = 1.0      // s of the processor that reading a small file may take
)

func run() error {
	dir, err := os.MkdirTemp("", "bounded")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }() // a temporary folder
	idle, err := measure("nothing", dir)
	if err != nil {
		return err
	}
	fmt.Printf("%-44s %8s %9s %7s %8s %10s  %s\n", "file", "MB", "peak MiB", "times", "s", "s/100 MB", "what became of it")
	beyond := 0
	for _, c := range cases() {
		ok, err := c.judge(filepath.Join(dir, c.file), idle)
		if err != nil {
			return fmt.Errorf("%s: %w", c.name, err)
		}
		if !ok {
			beyond++
		}
	}
	if beyond > 0 {
		return fmt.Errorf("%d files take more than %g times their size or %g s for 100 MB, or were not taken as meant", beyond, mostTimes,
			mostSeconds)
	}
	return nil
}

// A use is what one call took.
type use struct {
	peak   float64 // bytes
	time   time.Duration
	code   int
	stderr string // its first line
}

func measure(kind, file string) (use, error) {
	c := exec.Command(os.Args[0], kind, file)
	var told, said bytes.Buffer
	c.Stdout, c.Stderr = &told, &said
	err := c.Run()
	if c.ProcessState == nil || err != nil && !errors.As(err, new(*exec.ExitError)) {
		return use{}, err
	}
	first, _, _ := strings.Cut(strings.ReplaceAll(said.String(), filepath.Dir(file)+"/", ""), "\n")
	u := use{time: c.ProcessState.UserTime() + c.ProcessState.SystemTime(), code: c.ProcessState.ExitCode(), stderr: first}
	_, err = fmt.Sscan(told.String(), &u.peak)
	return u, err
}

// judge writes the case's file, has it read, and prints what that took.
func (c reading) judge(at string, idle use) (bool, error) {
	file, err := os.Create(at)
	if err != nil {
		return false, err
	}
	if err := errors.Join(c.write(file), file.Close()); err != nil {
		return false, err
	}
	defer func() { _ = os.Remove(at) }() // in a temporary folder
	info, err := os.Stat(at)
	if err != nil {
		return false, err
	}
	got, err := measure(c.kind, at)
	if err != nil {
		return false, err
	}
	size, more := float64(info.Size()), max(0, got.peak-idle.peak)
	seconds := max(0, (got.time - idle.time).Seconds())
	ok := more <= max(mostTimes*size, anyFile) && seconds <= max(mostSeconds*size/100e6, anyTime)
	became := "read"
	if got.code == 2 {
		became = "refused: " + got.stderr
	} else if got.code != 0 {
		became, ok = fmt.Sprintf("exit code %d: %s", got.code, got.stderr), false
	}
	if c.refused != (got.code == 2) {
		became, ok = "NOT AS MEANT: "+became, false
	}
	if !ok {
		became = "BEYOND: " + became
	}
	fmt.Printf("%-44s %8.1f %9.0f %7.1f %8.2f %10.1f  %.150s\n", c.name, size/1e6, got.peak/(1<<20), more/size, got.time.Seconds(),
		seconds/size*100e6, became)
	return ok, nil
}
