package balance_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"seamwright/internal/record"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout/balance"
)

func drawn(t *rapid.T, most int) []balance.Task {
	n := rapid.IntRange(0, most).Draw(t, "tasks")
	tasks := make([]balance.Task, n)
	for i := range tasks {
		tasks[i].Time = int64(rapid.IntRange(0, 12).Draw(t, "time"))
		for j := range i {
			if rapid.IntRange(0, 4).Draw(t, "arc") == 0 {
				tasks[i].After = append(tasks[i].After, j)
			}
		}
	}
	shuffle := rapid.Permutation(indices(n)).Draw(t, "order")
	out := make([]balance.Task, n)
	for i, task := range tasks {
		for k := range task.After {
			task.After[k] = shuffle[task.After[k]]
		}
		out[shuffle[i]] = task
	}
	return out
}

func indices(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// exhaustive tries every set of tasks that can be done first: the fewest stations, and for the same number of them the
// least load of the last one, for each set.
func exhaustive(tasks []balance.Task, takt int64) int {
	type line struct{ stations, last int64 }
	n := len(tasks)
	best := make([]line, 1<<n)
	for s := range best {
		best[s] = line{math.MaxInt32, 0}
	}
	best[0] = line{0, takt} // the first task opens the first station
	for s := range best {
		if best[s].stations == math.MaxInt32 {
			continue
		}
		for i, task := range tasks {
			free := s&(1<<i) == 0
			for _, b := range task.After {
				free = free && s&(1<<b) != 0
			}
			if !free {
				continue
			}
			next := line{best[s].stations, best[s].last + task.Time}
			if next.last > takt || next.stations == 0 {
				next = line{next.stations + 1, task.Time}
			}
			if old := best[s|1<<i]; next.stations < old.stations || next.stations == old.stations && next.last < old.last {
				best[s|1<<i] = next
			}
		}
	}
	return int(best[len(best)-1].stations)
}

func TestFewestStationsIsExhaustiveOptimum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tasks := drawn(t, 11)
		takt := int64(rapid.IntRange(12, 40).Draw(t, "takt"))
		r, err := balance.FewestStations(context.Background(), tasks, takt, balance.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if want := exhaustive(tasks, takt); len(r.Stations) != want || !r.Proven || r.Bound != int64(want) {
			t.Fatalf("%d stations (bound %d, proven %v), want %d", len(r.Stations), r.Bound, r.Proven, want)
		}
		check(t, tasks, r)
	})
}

func TestLeastTaktIsExhaustiveOptimum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tasks := drawn(t, 9)
		stations := rapid.IntRange(1, 6).Draw(t, "stations")
		r, err := balance.LeastTakt(context.Background(), tasks, stations, balance.Options{})
		if err != nil {
			t.Fatal(err)
		}
		longest := int64(0)
		for _, task := range tasks {
			longest = max(longest, task.Time)
		}
		want := longest
		for exhaustive(tasks, want) > stations {
			want++
		}
		if r.Takt != want || !r.Proven || r.Bound != want || len(r.Stations) > stations {
			t.Fatalf("takt %d (bound %d, proven %v) with %d stations, want %d with %d", r.Takt, r.Bound, r.Proven, len(r.Stations), want, stations)
		}
		check(t, tasks, r)
	})
}

// check is valid for property tests.
func check(t *rapid.T, tasks []balance.Task, r balance.Result) {
	done := map[int]bool{}
	for _, load := range balance.Measure(tasks, r.Stations).Loads {
		if load > r.Takt {
			t.Fatalf("a station takes %d, the takt is %d", load, r.Takt)
		}
	}
	for _, station := range r.Stations {
		for _, i := range station {
			for _, b := range tasks[i].After {
				if !done[b] {
					t.Fatalf("task %d is done before %d: %v", i, b, r.Stations)
				}
			}
			if done[i] {
				t.Fatalf("task %d is done twice", i)
			}
			done[i] = true
		}
	}
	if len(done) != len(tasks) {
		t.Fatalf("%d of %d tasks are done", len(done), len(tasks))
	}
}

// made draws a line like those of a body shop: many joints, some long, each after a few of those shortly before it.
func made(n int, seed uint64) []balance.Task {
	r := rand.New(rand.NewPCG(seed, 7))
	tasks := make([]balance.Task, n)
	for i := range tasks {
		tasks[i].Time = 20 + int64(r.ExpFloat64()*180)
		for j := max(0, i-12); j < i; j++ {
			if r.IntN(8) == 0 {
				tasks[i].After = append(tasks[i].After, j)
			}
		}
	}
	return tasks
}

func TestSameInputSameLine(t *testing.T) {
	tasks := made(90, 3)
	first, err := balance.LeastTakt(context.Background(), tasks, 9, balance.Options{Effort: 400_000})
	if err != nil {
		t.Fatal(err)
	}
	again, err := balance.LeastTakt(context.Background(), tasks, 9, balance.Options{Effort: 400_000})
	if err != nil || !reflect.DeepEqual(first, again) {
		t.Errorf("%+v and %+v (%v)", first, again, err)
	}
	valid(t, tasks, first)
}

// Little effort still gives a line; it is then not called proven unless it meets the bound.
func TestLittleEffort(t *testing.T) {
	tasks := made(200, 5)
	r, err := balance.FewestStations(context.Background(), tasks, 1800, balance.Options{Effort: 1})
	if err != nil {
		t.Fatal(err)
	}
	valid(t, tasks, r)
	if r.Proven != (len(r.Stations) == int(r.Bound)) {
		t.Errorf("%d stations, bound %d, proven %v", len(r.Stations), r.Bound, r.Proven)
	}
}

// Gathering keeps the line whole and never stretches it; on lines whose groups follow each other it finds them.
func TestGather(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tasks := drawn(t, 14)
		group := make([]int, len(tasks))
		for i := range group {
			group[i] = rapid.IntRange(0, 3).Draw(t, "group")
		}
		r, err := balance.FewestStations(context.Background(), tasks, int64(rapid.IntRange(12, 40).Draw(t, "takt")), balance.Options{})
		if err != nil {
			t.Fatal(err)
		}
		g := balance.Gather(tasks, group, r)
		check(t, tasks, g)
		if len(g.Stations) > len(r.Stations) || spread(group, g.Stations) > spread(group, r.Stations) {
			t.Fatalf("%v became %v", r.Stations, g.Stations)
		}
		if again := balance.Gather(tasks, group, r); !reflect.DeepEqual(again, g) {
			t.Fatal("twice is not the same")
		}
	})
}

func spread(group []int, stations [][]int) int {
	seen := map[[2]int]bool{}
	for k, s := range stations {
		for _, i := range s {
			seen[[2]int{k, group[i]}] = true
		}
	}
	return len(seen)
}

// Six jigs of ten tasks each, dealt out in turn, fill six stations exactly: each jig can have its own.
func TestGatherFindsTheJigs(t *testing.T) {
	var tasks []balance.Task
	var group []int
	for i := range 60 {
		tasks, group = append(tasks, balance.Task{Time: 10}), append(group, i%6)
	}
	r, err := balance.FewestStations(context.Background(), tasks, 100, balance.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if g := balance.Gather(tasks, group, r); spread(group, g.Stations) != 6 || len(g.Stations) != 6 {
		t.Errorf("%d stations, jigs at %d of them", len(g.Stations), spread(group, g.Stations))
	}
}

func TestErrors(t *testing.T) {
	said := record.Errors(t)
	two := []balance.Task{{ID: "a", Time: 3}, {ID: "b", Time: 4, After: []int{0}}}
	tests := []struct {
		name  string
		tasks []balance.Task
		takt  int64
		want  string
	}{
		{"takt below one", two, 0, "the takt is 0"},
		{"task beyond the takt", two, 3, "task b takes 4, the takt is 3"},
		{"negative time", []balance.Task{{Time: -1}}, 3, "task 0 takes -1"},
		{"after nothing", []balance.Task{{ID: "a", After: []int{4}}}, 3, "task number 4"},
		{"circle", []balance.Task{{ID: "a", After: []int{1}}, {ID: "b", After: []int{0}}}, 3, "comes after itself"},
		{"too many", make([]balance.Task, balance.MostTasks+1), 3, "at most 1024"},
	}
	for _, test := range tests {
		if _, err := balance.FewestStations(context.Background(), test.tasks, test.takt, balance.Options{}); err == nil ||
			!said.Has(err, test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
	}
	if _, err := balance.FewestStations(context.Background(), two, 3, balance.Options{}); !errors.Is(err, balance.ErrTooLong) {
		t.Errorf("a task beyond the takt: %v", err)
	}
	if _, err := balance.LeastTakt(context.Background(), two, 0, balance.Options{}); err == nil {
		t.Error("no stations: no error")
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := balance.FewestStations(stopped, made(200, 5), 1500, balance.Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

// Jackson's problem at takt 10: five stations, efficiency 46 / (5 x 10) = 92 %, balance delay 8 % (printed beside the
// data of Scholl 1993; read).
func TestMeasure(t *testing.T) {
	tasks := printed(t)["Jackson"]
	r, err := balance.FewestStations(context.Background(), tasks, 10, balance.Options{})
	if err != nil {
		t.Fatal(err)
	}
	m := balance.Measure(tasks, r.Stations)
	if len(m.Loads) != 5 || m.Takt != 10 || !(math.Abs(m.Efficiency-0.92) <= 1e-12) || !(math.Abs(m.Delay-0.08) <= 1e-12) {
		t.Errorf("%+v", m)
	}
	if none := balance.Measure(nil, nil); none.Bottleneck != -1 || none.Efficiency != 0 {
		t.Errorf("no stations: %+v", none)
	}
}

func ExampleFewestStations() {
	tasks := []balance.Task{
		{ID: "load", Time: 40}, {ID: "sill", Time: 50, After: []int{0}}, {ID: "cross-member", Time: 30, After: []int{0}},
		{ID: "arch", Time: 60, After: []int{0}}, {ID: "lift out", Time: 20, After: []int{1, 2, 3}},
	}
	r, err := balance.FewestStations(context.Background(), tasks, 100, balance.Options{})
	if err != nil {
		fmt.Println(err)
	}
	for k, station := range r.Stations {
		fmt.Print(k+1, ":")
		for _, i := range station {
			fmt.Print(" ", tasks[i].ID)
		}
		fmt.Println()
	}
	fmt.Printf("proven %v, efficiency %.0f %%\n", r.Proven, 100*balance.Measure(tasks, r.Stations).Efficiency)
	// Output:
	// 1: load arch
	// 2: sill cross-member lift out
	// proven true, efficiency 100 %
}

func BenchmarkFewestStations(b *testing.B) {
	for _, stations := range []int64{2, 5, 10, 20, 40} {
		tasks := made(300, 1)
		sum := int64(0)
		for _, task := range tasks {
			sum += task.Time
		}
		b.Run(fmt.Sprintf("300 joints over about %d stations", stations), func(b *testing.B) { bench(b, tasks, sum/stations+20) })
	}
	for _, joints := range []int{20, 50, 100, 200, 300} {
		b.Run(fmt.Sprintf("%d joints at a takt of 1000", joints), func(b *testing.B) { bench(b, made(joints, 1), 1000) })
	}
}

func bench(b *testing.B, tasks []balance.Task, takt int64) {
	longest := int64(0)
	for _, task := range tasks {
		longest = max(longest, task.Time)
	}
	b.ReportAllocs()
	for b.Loop() {
		r, err := balance.FewestStations(context.Background(), tasks, max(takt, longest), balance.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(r.Stations)), "stations")
		b.ReportMetric(float64(r.Bound), "bound")
	}
}

func BenchmarkLeastTakt(b *testing.B) {
	for _, stations := range []int{2, 5, 10, 20, 40} {
		tasks := made(300, 1)
		b.Run(fmt.Sprintf("300 joints over %d stations", stations), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r, err := balance.LeastTakt(context.Background(), tasks, stations, balance.Options{})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(r.Takt-r.Bound), "gap")
			}
		})
	}
}

func BenchmarkGather(b *testing.B) {
	for _, joints := range []int{50, 300} {
		tasks := made(joints, 1)
		group := make([]int, joints)
		for i := range group {
			group[i] = i * 12 / joints
		}
		r, err := balance.LeastTakt(context.Background(), tasks, 12, balance.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("%d joints of 12 jigs", joints), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				b.ReportMetric(float64(spread(group, balance.Gather(tasks, group, r).Stations)), "jigs")
			}
		})
	}
}
