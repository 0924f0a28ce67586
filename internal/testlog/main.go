// Command testlog reads what go test -json prints and says in the end, by name, which checks were not made:
//
//	go build -o testlog ./internal/testlog
//	go test -json -exec "$PWD/testlog run" ./... | ./testlog
//
// go test hides what a passing package prints, skips included. For each package it prints the processor time that its tests
// took, which testlog run measures; what failed is printed in full, and makes the exit code 1.
package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
)

// mark begins the line in which run tells the processor time.
const mark = "processor time: "

func main() {
	if len(os.Args) > 2 && os.Args[1] == "run" {
		os.Exit(run(os.Args[2:]))
	}
	ok, err := report(os.Stdin, os.Stdout)
	if err != nil {
		fmt.Fprintln(os.Stderr, "testlog:", err)
		os.Exit(2)
	}
	if !ok {
		os.Exit(1)
	}
}

// seed of the random tests in a run that is judged: what lands is held against the same cases as what landed before. go test
// without testlog draws others each time.
const seed = "-rapid.seed=1"

// run is a test binary's run with its processor time behind it.
func run(args []string) int {
	if exec.Command(args[0], "-test.list=^$", seed).Run() == nil { // a binary without random tests has no such flag
		args = append(args, seed)
	}
	c := exec.Command(args[0], args[1:]...)
	c.Stdout, c.Stderr, c.Stdin = os.Stdout, os.Stderr, os.Stdin
	err := c.Run()
	if c.ProcessState != nil {
		fmt.Printf("%s%.1f s\n", mark, (c.ProcessState.UserTime() + c.ProcessState.SystemTime()).Seconds())
	}
	if ended := (*exec.ExitError)(nil); errors.As(err, &ended) {
		return max(ended.ExitCode(), 1)
	} else if err != nil {
		fmt.Fprintln(os.Stderr, "testlog:", err)
		return 1
	}
	return 0
}

// event is one line of go test -json.
type event struct {
	Action, Package, ImportPath, Test, Output string
	Elapsed                                   float64
}

// reason is what a skip says: behind the file and the line.
var reason = regexp.MustCompile(`^\s+[\w.]+\.go:\d+: (.*)\n$`)

// report prints a line for each package, what failed in full, and the checks that were not made. ok is false where anything
// failed.
func report(in io.Reader, out io.Writer) (ok bool, err error) {
	ok = true
	said := map[string][]string{} // what a test printed, by package and test
	times := map[string]string{}
	var skipped []string
	lines := bufio.NewReader(in)
	for {
		line, err := lines.ReadString('\n')
		if line == "" && err != nil {
			break
		}
		var e event
		if json.Unmarshal([]byte(line), &e) != nil { // of the compiler
			fmt.Fprint(out, line)
			continue
		}
		key := e.Package + " " + e.Test
		switch e.Action {
		case "output", "build-output":
			said[key] = append(said[key], e.Output)
			if e.Action == "build-output" {
				fmt.Fprint(out, e.Output)
			}
			if time, found := strings.CutPrefix(e.Output, mark); found {
				times[e.Package] = ", " + strings.TrimSpace(time) + " of processor time"
			}
		case "skip":
			if e.Test != "" {
				skipped = append(skipped, fmt.Sprintf("%s %s: %s", e.Package, e.Test, why(said[key])))
			}
		case "fail":
			ok = false
			fmt.Fprint(out, strings.Join(said[key], ""))
		}
		if e.Test == "" && (e.Action == "pass" || e.Action == "fail") {
			fmt.Fprintf(out, "%-4s %s %.1f s%s\n", e.Action, e.Package, e.Elapsed, times[e.Package])
		}
	}
	slices.Sort(skipped)
	fmt.Fprintf(out, "%d checks not made\n", len(skipped))
	for _, s := range skipped {
		fmt.Fprintln(out, "  not made:", s)
	}
	return ok, nil
}

func why(said []string) string {
	for _, line := range slices.Backward(said) {
		if m := reason.FindStringSubmatch(line); m != nil {
			return m[1]
		}
	}
	return "no reason given"
}
