package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"seamwright/internal/calls"
	"seamwright/internal/plates"
)

// TestMain makes this test binary the program itself, for scripts and for tests that stop it.
func TestMain(m *testing.M) {
	testscript.Main(calls.WithCache{M: m}, map[string]func(){"seamwright": main})
}

// TestScripts runs the program as a user does: each script in testdata/script holds its files, its calls and everything
// that they print. -update writes what they print anew.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *calls.Update,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "plate": scriptPlate, "block": scriptBlock,
			"groups": groups, "words": wordsOfPDF},
		Condition: func(cond string) (bool, error) {
			if cond == "devices" { // pipes, links and devices as Linux has them
				return runtime.GOOS == "linux", nil
			}
			if cond == "paper" {
				_, err := exec.LookPath("pdftotext")
				if err != nil && os.Getenv("CI") == "true" {
					return false, errors.New("pdftotext is missing: install the Debian package poppler-utils")
				}
				return err == nil, nil
			}
			return false, errors.New("there is no condition " + cond)
		},
		Setup: func(e *testscript.Env) error {
			e.Setenv("XDG_CACHE_HOME", e.WorkDir+"/.cache")
			return nil
		},
	})
}

// planHashes are those of plans, which change with the program.
var planHashes = regexp.MustCompile(`[0-9a-f]{40,64}…?`)

// wordsOfPDF FILE.pdf FILE.txt writes what a PDF says, laid out as on paper, with a word in place of hashes.
func wordsOfPDF(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: words FILE.pdf FILE.txt")
	}
	ts.Check(ts.Exec("pdftotext", "-layout", args[0], args[1]))
	text := strings.ReplaceAll(ts.ReadFile(args[1]), "\f", "\n==== next page\n")
	text = planHashes.ReplaceAllString(text, "HASH")
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(strings.Join(lines, "\n")), 0o600))
}

// exits CODE PROGRAM ARGUMENTS runs a program and wants that exit code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARGUMENTS")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	code := 0
	if ended := (*exec.ExitError)(nil); errors.As(err, &ended) {
		code = ended.ExitCode()
	} else {
		ts.Check(err)
	}
	if code != want {
		ts.Fatalf("exit code %d, want %d\n%s%s", code, want, ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}

// scriptPlate FILE X0 Y0 X1 Y1 Z writes a flat rectangle as STL.
func scriptPlate(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 6 {
		ts.Fatalf("usage: plate FILE X0 Y0 X1 Y1 Z")
	}
	at := lengthsOf(ts, args[1:])
	writeIn(ts, args[0], plates.STL(plates.Flat(at[0], at[1], at[2], at[3], at[4])))
}

// scriptBlock FILE X Y Z DX DY DZ writes a closed box as STL.
func scriptBlock(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 7 {
		ts.Fatalf("usage: block FILE X Y Z DX DY DZ")
	}
	at := lengthsOf(ts, args[1:])
	corner := func(i int) plates.Point {
		return plates.Point{at[0] + at[3]*float64(i&1), at[1] + at[4]*float64(i>>1&1), at[2] + at[5]*float64(i>>2&1)}
	}
	var quads [][4]plates.Point
	for _, q := range [][4]int{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		quads = append(quads, [4]plates.Point{corner(q[0]), corner(q[1]), corner(q[2]), corner(q[3])})
	}
	writeIn(ts, args[0], plates.STL(quads...))
}

// groups FILE WORDS writes a DXF drawing in mm of the groups that a file lists, each a code and a value, parted by blanks.
func groups(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: groups FILE WORDS")
	}
	words := strings.Fields("0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES " + ts.ReadFile(args[1]) + " 0 ENDSEC 0 EOF")
	writeIn(ts, args[0], []byte(strings.Join(words, "\n")+"\n"))
}

func lengthsOf(ts *testscript.TestScript, words []string) []float64 {
	var out []float64
	for _, text := range words {
		v, err := strconv.ParseFloat(text, 64)
		ts.Check(err)
		out = append(out, v)
	}
	return out
}

func writeIn(ts *testscript.TestScript, name string, data []byte) {
	ts.Check(os.MkdirAll(filepath.Dir(ts.MkAbs(name)), 0o755))
	ts.Check(os.WriteFile(ts.MkAbs(name), data, 0o600))
}

// command is the program as a process of its own.
func command(t testing.TB, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self, args...)
	c.Args[0] = "seamwright"
	return c
}
