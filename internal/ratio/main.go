// Command ratio runs a program and holds its processor time against a fixed calculation in the same run, and its peak memory
// against the size of what it reads, so that a plan that grows slower or larger is noticed on any machine.
//
//	ratio -time 12 -memory 20 -files demo/panels seamwright plan demo/shell.yaml -o plan --no-cache
//
// It exits with 1 when the program fails or a limit is passed; with 3 of the program, a broken rule, it goes on.
package main

import (
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
)

func main() {
	most := flag.Float64("time", 0, "greatest processor time, in times of the fixed calculation")
	memory := flag.Float64("memory", 0, "greatest peak memory, in times of the files' size")
	files := flag.String("files", "", "folder of what is read")
	flag.Parse()
	if flag.NArg() == 0 || *files == "" {
		fmt.Fprintln(os.Stderr, "usage: ratio -time N -memory N -files FOLDER PROGRAM ARGUMENTS")
		os.Exit(2)
	}
	if err := hold(*most, *memory, *files, flag.Args(), calculate); err != nil {
		fmt.Fprintln(os.Stderr, "ratio: "+err.Error())
		os.Exit(1)
	}
}

// hold runs the program between two of the fixed calculations, as other work on the machine slows all of them.
func hold(most, memory float64, files string, args []string, calculate func() float64) error {
	size, err := sizeOf(files)
	if err != nil {
		return err
	}
	before := calculate()
	c := exec.Command(args[0], args[1:]...)
	c.Stderr = os.Stderr
	if err := c.Run(); c.ProcessState == nil || err != nil && c.ProcessState.ExitCode() != 3 {
		return fmt.Errorf("%s: %w", args[0], err)
	}
	unit := (before + calculate()) / 2
	took := (c.ProcessState.UserTime() + c.ProcessState.SystemTime()).Seconds()
	peak := peakOf(c.ProcessState)
	fmt.Printf("processor time %.2f s, %.2f times the fixed calculation (%.2f s), at most %g; peak memory %.0f MiB, %.1f times the files "+
		"(%.1f MiB), at most %g\n", took, took/unit, unit, most, peak/(1<<20), peak/size, size/(1<<20), memory)
	if took > most*unit || peak > memory*size {
		return fmt.Errorf("more than that")
	}
	return nil
}

func sizeOf(dir string) (float64, error) {
	var sum int64
	err := filepath.WalkDir(dir, func(_ string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		info, err := e.Info()
		sum += info.Size()
		return err
	})
	if err == nil && sum == 0 {
		err = fmt.Errorf("%s: no files in it", dir)
	}
	return float64(sum), err
}

// calculate is the fixed calculation, in seconds of processor time: distances and sorting, with more data than the caches of a
// processor hold, as planning does.
func calculate() float64 {
	start := spent()
	const n = 1 << 20
	points := make([][3]float64, n)
	state := uint64(1)
	for i := range points {
		for k := range 3 {
			state = state*6364136223846793005 + 1442695040888963407
			points[i][k] = float64(state>>11) / (1 << 53)
		}
	}
	keys := make([]float64, n)
	for range 3 {
		for i, p := range points {
			q := points[(i*7919)%n]
			keys[i] = math.Hypot(math.Hypot(p[0]-q[0], p[1]-q[1]), p[2]-q[2])
		}
		slices.Sort(keys)
		for i := range points {
			points[i][0] += keys[i]
		}
	}
	return spent() - start
}
