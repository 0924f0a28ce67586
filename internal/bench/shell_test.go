package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"testing"
)

// The two sheets of a shape lap in one strip, which has the lap's length, on any number of workers.
func TestShellFindsTheLap(t *testing.T) {
	dir := t.TempDir()
	if err := run([]string{"make", "even", "20000", dir}, nil); err != nil {
		t.Fatal(err)
	}
	for _, workers := range []string{"1", "2"} {
		var out bytes.Buffer
		if err := run([]string{"shell", workers, "0", filepath.Join(dir, "a.stl"), filepath.Join(dir, "b.stl")}, &out); err != nil {
			t.Fatal(err)
		}
		var threads, flanges int
		var read, find, total, length, peak float64
		if n, err := fmt.Sscan(out.String(), &threads, &read, &find, &total, &flanges, &length, &peak); n != 7 || err != nil {
			t.Fatalf("%q: %v", out.String(), err)
		}
		if want := max(overlap, width); flanges != 1 || length < 0.99*want || length > 1.01*want || total < find {
			t.Errorf("%d flanges, %g mm, want one of %g", flanges, length, float64(want))
		}
	}
	if run([]string{"shell", "0", "1", "a.stl"}, nil) == nil || run([]string{"shell", "1", "thin", "a.stl"}, nil) == nil {
		t.Error("no workers, or a thickness that is no number, was taken")
	}
}
