package main

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

const module = `package p

var limit float64 = 10

var table = []int{3, 4}

const fixed = 7

const (
	double = 2 // times a fraction
	size   = 3
)

var held [size]int

func area(a, b float64) float64 {
	return a - b*double
}

func count(words []string) (n int) {
outer:
	for i := range words {
		for j := range words {
			if i < j && words[i] == words[j] {
				continue outer
			}
		}
		n = n*4 + i
	}
	return n
}

func add(to *int) { *to += 5 }
`

const moduleTest = `package p

import "testing"

func Test(t *testing.T) {
	n := 0
	add(&n)
	if got := area(5, 1); got != 3 || limit != 10 || table[0] != 3 || fixed != 7 || len(held) != 3 || n != 5 {
		t.Error("broken")
	}
	if count([]string{"a", "b", "a"}) != 6 {
		t.Error("broken")
	}
}
`

// Every break of a small package is woven in at once, and is noticed when it is awake: none is made in vain, and none wakes another.
func TestWeave(t *testing.T) {
	dir, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"go.mod": "module p\n\ngo 1.26\n", "p.go": module, "p_test.go": moduleTest} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	sample, err := find(filepath.Join(dir, "p.go"))
	if err != nil {
		t.Fatal(err)
	}
	b := newBench(t.TempDir(), time.Minute, nil, nil)
	alone, wrong, err := b.weave(context.Background(), sample)
	if err != nil {
		t.Fatal(err)
	}
	var kept []string
	for i, at := range sample {
		var v verdict
		switch {
		case wrong[i+1]:
			v = unbuilt
		case alone[i+1]:
			v, err = b.judgeAlone(context.Background(), at)
		default:
			v, err = b.judge(context.Background(), at, i+1, b)
		}
		if err != nil {
			t.Fatal(err)
		}
		if v != noticed {
			kept = append(kept, at.change()+": "+string(v))
		}
	}
	if seen := b.seen[dir]; len(seen) != len(sample)-1 {
		t.Errorf("the tests call %v, want each break but the one that is alone", seen)
	}
	for tests, err := range b.whole {
		if err != nil {
			t.Errorf("%s: %v", tests, err)
		}
	}
	if want := []string{"scale: 4 -> 5: SURVIVED"}; !slices.Equal(kept, want) || len(sample) < 10 {
		t.Errorf("of %d breaks %q are not noticed, want %q", len(sample), kept, want)
	}
	var lines []string
	for _, number := range sorted(alone) {
		lines = append(lines, sample[number-1].Text)
	}
	if want := []string{"size   = 3"}; !slices.Equal(lines, want) {
		t.Errorf("alone are %q, want the constant that must be one: %q", lines, want)
	}
}
