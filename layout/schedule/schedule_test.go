package schedule

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

func ExampleSolve() {
	p := Problem{Persons: 2, Guns: []Gun{{ID: "deep", Count: 1}}, Tasks: []Task{
		{Seconds: 60},
		{Seconds: 100, Gun: "deep", After: []int{0}},
		{Seconds: 80, Gun: "deep", After: []int{0}},
	}}
	s, err := Solve(context.Background(), p)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Seconds, s.Proven) // two persons, but one gun
	// Output: 240 true
}

func TestSolve(t *testing.T) {
	at := func(x float64) Room { return Room{At: r3.Vector{X: x}, Radius: 400} }
	walk := func(before, after int) float64 { return 10 }
	for _, c := range []struct {
		name string
		p    Problem
		want float64
	}{
		{"nothing to do", Problem{Persons: 1}, 0},
		{"one after the other", Problem{Persons: 1, Tasks: []Task{{Seconds: 5}, {Seconds: 7}}}, 12},
		{"side by side", Problem{Persons: 2, Tasks: []Task{{Seconds: 5}, {Seconds: 7}}}, 7},
		{"in each other's way", Problem{Persons: 2, Tasks: []Task{{Seconds: 5, Room: at(0)}, {Seconds: 7, Room: at(700)}}}, 12},
		{"out of each other's way", Problem{Persons: 2, Tasks: []Task{{Seconds: 5, Room: at(0)}, {Seconds: 7, Room: at(800)}}}, 7},
		{"one gun for two", Problem{Persons: 2, Guns: []Gun{{ID: "a", Count: 1}},
			Tasks: []Task{{Seconds: 5, Gun: "a"}, {Seconds: 7, Gun: "a"}}}, 12},
		{"a gun for each", Problem{Persons: 2, Guns: []Gun{{ID: "a", Count: 2}},
			Tasks: []Task{{Seconds: 5, Gun: "a"}, {Seconds: 7, Gun: "a"}}}, 7},
		{"two lift", Problem{Persons: 2, Tasks: []Task{{Seconds: 4}, {Seconds: 6}, {Seconds: 5, Persons: 2}}}, 11},
		{"walking counts", Problem{Persons: 1, Change: walk, Tasks: []Task{{Seconds: 5}, {Seconds: 7}}}, 32},
		{"waiting", Problem{Persons: 3, Tasks: []Task{{Seconds: 5}, {Seconds: 7, After: []int{0}}, {Seconds: 1, After: []int{1}}}}, 13},
	} {
		got, err := Solve(context.Background(), c.p)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if !(math.Abs(got.Seconds-c.want) <= 1e-9) || !got.Proven {
			t.Errorf("%s: %g s, proven %v; %g wanted", c.name, got.Seconds, got.Proven, c.want)
		}
	}
}

func TestWhatCannotBeDone(t *testing.T) {
	for _, c := range []struct {
		p    Problem
		want string
	}{
		{Problem{}, "schedule: 0 persons do no work"},
		{Problem{Persons: 1, Tasks: []Task{{Seconds: math.NaN()}}}, "schedule: task 0 takes NaN s, which is no time"},
		{Problem{Persons: 1, Tasks: []Task{{Persons: 2}}}, "schedule: task 0 needs 2 persons, 1 are there"},
		{Problem{Persons: 1, Tasks: []Task{{Gun: "deep"}}}, "schedule: task 0 needs gun deep, which is not at the station"},
		{Problem{Persons: 1, Tasks: []Task{{After: []int{1}}}}, "schedule: task 0 waits for task 1, of 1"},
		{Problem{Persons: 1, Tasks: []Task{{}, {After: []int{2}}, {After: []int{1}}}},
			"schedule: 2 tasks wait for each other, task 1 among them"},
	} {
		if _, err := Solve(context.Background(), c.p); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Solve(ctx, Problem{Persons: 1, Tasks: []Task{{Seconds: 1}}}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// drawn is a random problem. Times are whole seconds, so that equal ones are equal.
func drawn(t *rapid.T, most int, changes bool) Problem {
	p := Problem{Persons: rapid.IntRange(1, 3).Draw(t, "persons")}
	p.Guns = []Gun{{ID: "a", Count: 1}, {ID: "b", Count: rapid.IntRange(1, 2).Draw(t, "b")}}
	n := rapid.IntRange(1, most).Draw(t, "n")
	for i := range n {
		task := Task{Seconds: float64(rapid.IntRange(1, 9).Draw(t, "s")), Gun: rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "gun")}
		if i > 0 && rapid.Bool().Draw(t, "waits") {
			task.After = []int{rapid.IntRange(0, i-1).Draw(t, "after")}
		}
		if rapid.IntRange(0, 3).Draw(t, "many") == 0 {
			task.Persons = min(2, p.Persons)
		}
		if rapid.Bool().Draw(t, "room") {
			task.Room = Room{At: r3.Vector{X: float64(rapid.IntRange(0, 5).Draw(t, "x"))}, Radius: 1}
		}
		p.Tasks = append(p.Tasks, task)
	}
	if changes {
		by := rapid.SliceOfN(rapid.IntRange(0, 4), (n+1)*n, (n+1)*n).Draw(t, "changes")
		p.Change = func(before, after int) float64 { return float64(by[(before+1)*n+after]) }
		p.Setup = func(before, after int) float64 { return float64(by[(after*(n+1)+before+1)]) / 2 }
		p.HandOver = float64(rapid.IntRange(0, 3).Draw(t, "hand over"))
		for i := range p.Guns {
			if rapid.Bool().Draw(t, "held") {
				p.Guns[i].With = rapid.SliceOfN(rapid.IntRange(-1, p.Persons-1), p.Guns[i].Count, p.Guns[i].Count).Draw(t, "with")
			}
		}
	}
	return p
}

// holds checks a schedule against the problem by its own words.
func holds(p Problem, s Schedule) error {
	seen := map[int]Share{}
	for _, a := range s.Shares {
		seen[a.Task] = a
		if a.End-a.Start != p.Tasks[a.Task].Seconds || len(a.Persons) != max(1, p.Tasks[a.Task].Persons) {
			return fmt.Errorf("task %d: %+v", a.Task, a)
		}
		for _, b := range s.Shares {
			if a.Task == b.Task || a.End <= b.Start || b.End <= a.Start {
				continue
			}
			ta, tb := p.Tasks[a.Task], p.Tasks[b.Task]
			if slices.ContainsFunc(a.Persons, func(x int) bool { return slices.Contains(b.Persons, x) }) {
				return fmt.Errorf("tasks %d and %d share a person", a.Task, b.Task)
			}
			if ta.Gun != "" && ta.Gun == tb.Gun && a.Unit == b.Unit {
				return fmt.Errorf("tasks %d and %d share a gun", a.Task, b.Task)
			}
			if ta.Room.meets(tb.Room) {
				return fmt.Errorf("tasks %d and %d are in each other's way", a.Task, b.Task)
			}
		}
	}
	if len(seen) != len(p.Tasks) {
		return fmt.Errorf("%d of %d tasks", len(seen), len(p.Tasks))
	}
	for i, t := range p.Tasks {
		for _, a := range t.After {
			if seen[a].End > seen[i].Start {
				return fmt.Errorf("task %d before task %d has ended", i, a)
			}
		}
	}
	return changesHold(p, s)
}

func changesHold(p Problem, s Schedule) error {
	byPerson, byUnit := map[int]Share{}, map[string]Share{}
	for _, a := range s.Shares {
		for _, person := range a.Persons {
			before, from := -1, 0.0
			if b, ok := byPerson[person]; ok {
				before, from = b.Task, b.End
			}
			if p.Change != nil && from+p.Change(before, a.Task) > a.Start+1e-9 {
				return fmt.Errorf("person %d is not there yet for task %d", person, a.Task)
			}
			byPerson[person] = a
		}
		if gun := p.Tasks[a.Task].Gun; gun != "" {
			key := fmt.Sprint(gun, a.Unit)
			before, from := -1, 0.0
			g := p.Guns[slices.IndexFunc(p.Guns, func(g Gun) bool { return g.ID == gun })]
			others := len(g.With) > 0 && g.With[a.Unit] >= 0 && g.With[a.Unit] != a.Persons[0]
			if b, ok := byUnit[key]; ok {
				before, from = b.Task, b.End
				others = !slices.Contains(b.Persons, a.Persons[0])
			}
			if others && from+p.HandOver > a.Start+1e-9 {
				return fmt.Errorf("gun %s is not handed over yet for task %d", key, a.Task)
			}
			if p.Setup != nil && from+p.Setup(before, a.Task) > a.Start+1e-9 {
				return fmt.Errorf("gun %s is not set up yet for task %d", key, a.Task)
			}
			byUnit[key] = a
		}
	}
	return nil
}

// everyWay is the least time of all lists, persons and guns, with no bound and nothing left out.
func everyWay(p Problem) float64 {
	s := newState(prepare(p))
	best := math.Inf(1)
	var go1 func()
	go1 = func() {
		if len(s.shares) == len(p.Tasks) {
			best = math.Min(best, s.end)
			return
		}
		for task := range p.Tasks {
			if !s.eligible(task) {
				continue
			}
			for unit := range s.p.units(task) {
				for mask := 1; mask < 1<<p.Persons; mask++ {
					var persons []int
					for k := range p.Persons {
						if mask>>k&1 == 1 {
							persons = append(persons, k)
						}
					}
					if len(persons) != max(1, p.Tasks[task].Persons) {
						continue
					}
					u := s.put(s.fit(task, persons, unit))
					go1()
					s.take(u)
				}
			}
		}
	}
	go1()
	return best
}

func TestNoScheduleIsShorter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 4, true)
		got, err := Solve(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if err := holds(p, got); err != nil {
			t.Fatal(err)
		}
		if want := everyWay(p); !got.Proven || !(math.Abs(got.Seconds-want) <= 1e-6) {
			t.Fatalf("%g s, proven %v; %g s can be had", got.Seconds, got.Proven, want)
		}
	})
}

func TestLargeSchedulesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 14, true)
		got, err := Solve(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Solve(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if fmt.Sprint(got) != fmt.Sprint(again) {
			t.Fatal("two schedules of one problem differ")
		}
		if err := holds(p, got); err != nil {
			t.Fatal(err)
		}
		if got.Bound > got.Seconds+1e-9 {
			t.Fatalf("bound %g above %g", got.Bound, got.Seconds)
		}
	})
}

// TestAgainstGLPK holds the least time against GLPK's integer solver on the same model.
func TestAgainstGLPK(t *testing.T) {
	solver, err := exec.LookPath("glpsol")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("glpsol is missing: install glpk-utils")
		}
		t.Skip("NOT CHECKED against GLPK: glpsol is missing (Debian: glpk-utils)")
	}
	for seed := range 16 {
		p := rapid.Custom(func(t *rapid.T) Problem {
			p := drawn(t, 8, false)
			for len(p.Tasks) < 7 {
				p.Tasks = append(p.Tasks, Task{Seconds: float64(2 + len(p.Tasks)), Gun: "a"})
			}
			for i := range p.Tasks {
				p.Tasks[i].Persons = 0
				if seed >= 8 && (i+seed)%3 == 0 { // in half of the problems every third task takes two
					p.Tasks[i].Persons = 2
				}
			}
			p.Guns[1].Count, p.Persons = 1, max(2, p.Persons)
			return p
		}).Example(seed)
		got, err := Solve(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		want := glpk(t, solver, p)
		proven := got.Proven || seed >= 8 // with two persons to a task the search's counts may end before its proof
		if !proven || !(math.Abs(got.Seconds-want) <= 1e-6) {
			t.Errorf("problem %d, %d tasks, %d persons: %g s, proven %v; GLPK %g s", seed, len(p.Tasks), p.Persons, got.Seconds, got.Proven,
				want)
		}
	}
}

// glpk writes the problem as a mixed integer program: starts, who does what, and for each two tasks that must not overlap
// which comes first. Tasks that together need more persons than there are must not overlap whoever does them.
func glpk(t *testing.T, solver string, p Problem) float64 {
	total := 0.0
	for _, task := range p.Tasks {
		total += task.Seconds
	}
	var rows, binary strings.Builder
	row := func(format string, args ...any) { fmt.Fprintf(&rows, " "+format+"\n", args...) }
	for i, a := range p.Tasks {
		row("end - s%d >= %g", i, a.Seconds)
		var who []string
		for k := range p.Persons {
			who = append(who, fmt.Sprintf("x%d_%d", i, k))
			fmt.Fprintf(&binary, " x%d_%d\n", i, k)
		}
		row("%s = %d", strings.Join(who, " + "), max(1, a.Persons))
		for _, before := range a.After {
			row("s%d - s%d >= %g", i, before, p.Tasks[before].Seconds)
		}
		for j := i + 1; j < len(p.Tasks); j++ {
			b := p.Tasks[j]
			fmt.Fprintf(&binary, " y%d_%d\n", i, j)
			first := fmt.Sprintf("s%d - s%d - %g y%d_%d", j, i, total, i, j)  // i before j where y is 1
			second := fmt.Sprintf("s%d - s%d + %g y%d_%d", i, j, total, i, j) // j before i where y is 0
			crowded := max(1, a.Persons)+max(1, b.Persons) > p.Persons
			if a.Gun != "" && a.Gun == b.Gun || a.Room.meets(b.Room) || crowded {
				row("%s >= %g", first, a.Seconds-total)
				row("%s >= %g", second, b.Seconds)
				continue
			}
			for k := range p.Persons {
				row("%s - %g x%d_%d - %g x%d_%d >= %g", first, total, i, k, total, j, k, a.Seconds-3*total)
				row("%s - %g x%d_%d - %g x%d_%d >= %g", second, total, i, k, total, j, k, b.Seconds-2*total)
			}
		}
	}
	dir := t.TempDir()
	model, out := filepath.Join(dir, "model.lp"), filepath.Join(dir, "out.txt")
	text := "Minimize\n end\nSubject To\n" + rows.String() + "Binary\n" + binary.String() + "End\n"
	if err := os.WriteFile(model, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if b, err := exec.Command(solver, "--lp", model, "--cuts", "-o", out).CombinedOutput(); err != nil {
		t.Fatalf("glpsol: %v\n%s", err, b)
	}
	b, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(b)) {
		if f := strings.Fields(line); len(f) > 3 && f[0] == "Objective:" {
			v, err := strconv.ParseFloat(f[3], 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
	}
	t.Fatalf("no objective in\n%s", b)
	return 0
}

func BenchmarkSolve(b *testing.B) {
	for _, n := range []int{10, 30, 60, 120} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			p := Problem{Persons: 3, Guns: []Gun{{ID: "a", Count: 1}, {ID: "b", Count: 2}}}
			for i := range n {
				at := r3.Vector{X: float64(i * 791 % 2000), Y: float64(i * 397 % 1500)}
				task := Task{Seconds: float64(30 + i*37%90), Gun: []string{"a", "b", "b"}[i%3], Room: Room{At: at, Radius: 250}}
				if i >= 6 {
					task.After = []int{i % 6}
				}
				p.Tasks = append(p.Tasks, task)
			}
			p.Change = func(before, after int) float64 {
				if before < 0 {
					return 0
				}
				return p.Tasks[before].Room.At.Distance(p.Tasks[after].Room.At) / 800
			}
			b.ReportAllocs()
			var got Schedule
			for b.Loop() {
				var err error
				if got, err = Solve(context.Background(), p); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(got.Seconds/got.Bound, "of-bound")
		})
	}
}
