// Package record holds what tests see to what stands in files, whole, where a test by itself would look at a part only. A test of a
// package with a flag -update writes them anew with it: look at the difference.
//
//	said := record.Errors(t)
//	for _, c := range cases {
//		if err := do(c.in); err == nil || !said.Has(err, c.want) {
//			t.Errorf(...)
//		}
//	}
package record

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Hold holds a text to a file, and names the first line that differs.
func Hold(t testing.TB, file, text string) {
	t.Helper()
	if updating() {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v: run the package's tests with -update", err)
	}
	if line, was, is := differs(string(want), text); line > 0 {
		t.Fatalf("%s:%d: is\n%s\nwas\n%s\nIf that is right, run the package's tests with -update and look at the difference", file, line, is, was)
	}
}

// differs is the first line, from 1, that is not the same in both, and what it is in each; 0 for none.
func differs(was, is string) (line int, a, b string) {
	if was == is {
		return 0, "", ""
	}
	left, right := strings.SplitAfter(was, "\n"), strings.SplitAfter(is, "\n")
	at := func(lines []string, i int) string {
		return strings.Join(lines[min(i, len(lines)):min(i+1, len(lines))], "")
	}
	for line = 1; at(left, line-1) == at(right, line-1); line++ {
	}
	return line, at(left, line-1), at(right, line-1)
}

func updating() bool {
	f := flag.Lookup("update")
	return f != nil && f.Value.String() == "true"
}

// Said is the errors that a test has seen.
type Said struct{ lines []string }

// Errors begins a record of a test's errors, whole, which is held to testdata/errors/NAME.txt at the test's end. In which order they
// came does not count, nor in which temporary folder a file lay.
func Errors(t testing.TB) *Said {
	s := &Said{}
	t.Cleanup(func() {
		if !t.Failed() {
			slices.Sort(s.lines)
			Hold(t, filepath.Join("testdata", "errors", t.Name()+".txt"), strings.Join(slices.Compact(s.lines), ""))
		}
	})
	return s
}

var folders = regexp.MustCompile(regexp.QuoteMeta(os.TempDir()) + `/\S*/`)

// Has notes an error and says whether it holds some words.
func (s *Said) Has(err error, words string) bool {
	s.lines = append(s.lines, folders.ReplaceAllString(err.Error(), "")+"\n")
	return strings.Contains(err.Error(), words)
}
