package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
)

// Each shape is the same two sheets, so the area found must be that of the lap, whatever the triangles, and the line must hold
// what the libraries' lines hold.
func TestMatchFindsTheLapOfEveryShape(t *testing.T) {
	for name := range shapes {
		for _, workers := range []string{"1", "2"} {
			dir := t.TempDir()
			if err := run([]string{"make", name, "40000", dir}, nil); err != nil {
				t.Fatal(err)
			}
			var out bytes.Buffer
			if err := run([]string{"match", "ours", workers, filepath.Join(dir, "a.stl"), filepath.Join(dir, "b.stl")}, &out); err != nil {
				t.Fatal(err)
			}
			var who string
			var threads, pairs, kept int
			var area, read, build, query, total, peak float64
			if n, err := fmt.Sscan(out.String(), &who, &threads, &pairs, &kept, &area, &read, &build, &query, &total, &peak); n != 10 ||
				err != nil {
				t.Fatalf("%q: %v", out.String(), err)
			}
			// A triangle counts by its middle, so by half a triangle more or less along the lap's two edges.
			size := map[string]float64{"slivers": 26, "mixed": 38}[name]
			if size == 0 {
				size = 6
			}
			if want := overlap * width; who != "ours" || pairs != 1 || area < want-size*width || area > want+(size+within)*width {
				t.Errorf("%s: %d pairs, %g mm², want about %g", name, pairs, area, want)
			}
			if total < read || kept == 0 {
				t.Errorf("%s: %q", name, out.String())
			}
		}
	}
}

func TestRead(t *testing.T) {
	dir := t.TempDir()
	if err := run([]string{"make", "even", "2000", dir}, nil); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := run([]string{"read", "ours", "2", filepath.Join(dir, "a.stl")}, &out); err != nil {
		t.Fatal(err)
	}
	var who string
	var threads, triangles int
	var seconds, peak float64
	if n, err := fmt.Sscan(out.String(), &who, &threads, &triangles, &seconds, &peak); n != 5 || err != nil || triangles < 1900 ||
		triangles > 2100 {
		t.Errorf("%q: %v", out.String(), err)
	}
}

func TestWrongWords(t *testing.T) {
	for _, args := range [][]string{nil, {"match"}, {"match", "ours", "0", "a.stl"}, {"match", "ours", "1", "none.stl"},
		{"read", "ours", "1", "none.stl"},
		{"sort", "ours", "1", "a.stl"}, {"make", "round", "1000", "x"}, {"make", "even", "many", "x"}, {"make", "even", "3", "x"}} {
		if err := run(args, &bytes.Buffer{}); err == nil || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v", args, err)
		}
	}
}
