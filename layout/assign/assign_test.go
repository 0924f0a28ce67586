package assign

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// exhaustive tries every way to give each row a column of its own, rows <= columns.
func exhaustive(cost [][]float64) float64 {
	best := math.Inf(1)
	used := make([]bool, len(cost[0]))
	var try func(i int, so float64)
	try = func(i int, so float64) {
		if i == len(cost) {
			best = math.Min(best, so)
			return
		}
		for j, c := range cost[i] {
			if !used[j] {
				used[j] = true
				try(i+1, so+c)
				used[j] = false
			}
		}
	}
	try(0, 0)
	return best
}

func transposed(c [][]float64) [][]float64 {
	out := make([][]float64, len(c[0]))
	for j := range out {
		for i := range c {
			out[j] = append(out[j], c[i][j])
		}
	}
	return out
}

func TestAgainstEveryWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "rows")
		m := rapid.IntRange(n, 7).Draw(t, "columns")
		entry := rapid.OneOf(rapid.Float64Range(-50, 50), rapid.SampledFrom([]float64{0, 1, 1, 2, math.Inf(1)}))
		cost := make([][]float64, n)
		for i := range cost {
			cost[i] = rapid.SliceOfN(entry, m, m).Draw(t, "row")
		}
		want := exhaustive(cost)
		for _, turned := range []bool{false, true} {
			c := cost
			if turned {
				c = transposed(cost)
			}
			column, total, err := Solve(c)
			if math.IsInf(want, 1) {
				if !errors.Is(err, ErrForbidden) {
					t.Fatalf("no assignment exists, got %v, %v", column, err)
				}
				continue
			}
			if err != nil || !(math.Abs(total-want) <= 1e-9) {
				t.Fatalf("turned %v: total %v, best of all ways %v, %v", turned, total, want, err)
			}
			proper(t, column, len(c), len(c[0]))
		}
	})
}

type failer interface{ Fatalf(string, ...any) }

// proper wants each partner once, and as many as can be.
func proper(t failer, column []int, n, m int) {
	seen := map[int]bool{}
	for _, j := range column {
		if j == None {
			continue
		}
		if j < 0 || j >= m || seen[j] {
			t.Fatalf("%v is no assignment", column)
		}
		seen[j] = true
	}
	if len(column) != n || len(seen) != min(n, m) {
		t.Fatalf("%v pairs %d of %d", column, len(seen), min(n, m))
	}
}

// An outside library agrees on the total: scipy.optimize.linear_sum_assignment (Debian python3-scipy).
func TestAgainstScipy(t *testing.T) {
	python := "/usr/bin/python3" // Debian's own, which has its packages; another may stand before it on the path
	err := exec.Command(python, "-c", "import scipy.optimize").Run()
	if err != nil {
		python = "python3"
		err = exec.Command(python, "-c", "import scipy.optimize").Run()
	}
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3 with scipy is missing: install the Debian package python3-scipy")
		}
		t.Skip("NOT CHECKED AGAINST SCIPY: install the Debian package python3-scipy")
	}
	random := rand.New(rand.NewPCG(3, 14))
	var problems [][][]float64
	for _, size := range [][2]int{{1, 1}, {5, 5}, {40, 40}, {30, 70}, {70, 30}, {120, 121}} {
		for kind := range 3 {
			cost := make([][]float64, size[0])
			for i := range cost {
				for range size[1] {
					v := random.Float64() * 100
					if kind == 1 {
						v = math.Floor(v / 20) // many ties
					}
					if kind == 2 {
						v -= 60
					}
					cost[i] = append(cost[i], v)
				}
			}
			problems = append(problems, cost)
		}
	}
	input, err := json.Marshal(problems)
	if err != nil {
		t.Fatal(err)
	}
	run := exec.Command(python, "-c", `
import json, sys, numpy
from scipy.optimize import linear_sum_assignment
totals = []
for cost in json.load(sys.stdin):
    cost = numpy.array(cost)
    rows, columns = linear_sum_assignment(cost)
    totals.append(float(cost[rows, columns].sum()))
print(json.dumps(totals))`)
	run.Stdin = bytes.NewReader(input)
	output, err := run.Output()
	if err != nil {
		t.Fatal(err)
	}
	var totals []float64
	if err := json.Unmarshal(output, &totals); err != nil || len(totals) != len(problems) {
		t.Fatalf("%v, %d totals", err, len(totals))
	}
	for k, cost := range problems {
		column, total, err := Solve(cost)
		if err != nil || !(math.Abs(total-totals[k]) <= 1e-9*math.Max(1, math.Abs(totals[k]))) {
			t.Errorf("%d x %d: total %v, scipy %v, %v", len(cost), len(cost[0]), total, totals[k], err)
		}
		proper(t, column, len(cost), len(cost[0]))
	}
}

func TestEdges(t *testing.T) {
	if c, total, err := Solve(nil); c != nil || total != 0 || err != nil {
		t.Errorf("%v %v %v", c, total, err)
	}
	for _, cost := range [][][]float64{{{1, 2}, {3}}, {{math.NaN()}}, {{math.Inf(-1)}}} {
		if _, _, err := Solve(cost); err == nil {
			t.Errorf("%v passed", cost)
		}
	}
	if c, _, err := Solve([][]float64{{}, {}}); err != nil || !slices.Equal(c, []int{None, None}) {
		t.Errorf("no columns: %v, %v", c, err)
	}
}

// A row of welds with one gone and one added elsewhere: every other keeps its own partner.
func TestMatchKeepsPlaces(t *testing.T) {
	on := func(a, b []float64) func(i, j int) float64 {
		return func(i, j int) float64 { return math.Abs(a[i] - b[j]) }
	}
	for _, c := range []struct {
		name     string
		old, new []float64
		reach    float64
		want     []int
	}{
		{"one gone", []float64{0, 30, 60, 90}, []float64{0, 60, 90}, 15, []int{0, None, 1, 2}},
		{"one gone, one added", []float64{0, 30, 60, 90}, []float64{0, 60, 90, 120}, 15, []int{0, None, 1, 2}},
		{"all moved", []float64{0, 10, 20}, []float64{12, 22, 2}, 15, []int{2, 0, 1}},
		{"in order though it costs the same on a line", []float64{0, 10}, []float64{12, 22}, 25, []int{0, 1}},
		{"out of reach", []float64{0}, []float64{15.001}, 15, []int{None}},
		{"at the reach", []float64{0}, []float64{15}, 16, []int{0}},
		{"nothing there", []float64{0, 1}, nil, 15, []int{None, None}},
		{"two for one", []float64{0, 4}, []float64{3}, 15, []int{None, 0}},
	} {
		if got := Match(len(c.old), len(c.new), c.reach, on(c.old, c.new)); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	if got := Match(0, 3, 1, nil); len(got) != 0 {
		t.Errorf("%v", got)
	}
}

func BenchmarkSolve200(b *testing.B) {
	random := rand.New(rand.NewPCG(1, 2))
	cost := make([][]float64, 200)
	for i := range cost {
		for range 200 {
			cost[i] = append(cost[i], random.Float64())
		}
	}
	b.ReportAllocs()
	for range b.N {
		if _, _, err := Solve(cost); err != nil {
			b.Fatal(err)
		}
	}
}
