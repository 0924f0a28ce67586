package balance_test

import (
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"seamwright/layout/balance"
)

func table(t testing.TB, path string) []map[string]string {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, head := range rows[0] {
			m[head] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func number(t testing.TB, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// printed reads the printed problems; testdata names their sources.
func printed(t testing.TB) map[string][]balance.Task {
	problems := map[string][]balance.Task{}
	for _, row := range table(t, "testdata/tasks.csv") {
		task := balance.Task{ID: row["task"], Time: int64(number(t, row["time"]))}
		for _, b := range strings.Fields(row["after"]) {
			task.After = append(task.After, number(t, b)-1)
		}
		problems[row["instance"]] = append(problems[row["instance"]], task)
	}
	return problems
}

// valid checks that every task is at one station, none before what it comes after, and no station beyond the takt.
func valid(t testing.TB, tasks []balance.Task, r balance.Result) {
	t.Helper()
	at := map[int]int{}
	place := 0
	for _, station := range r.Stations {
		load := int64(0)
		for _, i := range station {
			if _, again := at[i]; again {
				t.Fatalf("task %d is done twice", i)
			}
			place++
			at[i] = place
			load += tasks[i].Time
			for _, b := range tasks[i].After {
				if at[b] == 0 {
					t.Fatalf("task %d is done before %d", i, b)
				}
			}
		}
		if load > r.Takt || len(station) == 0 {
			t.Fatalf("a station of %d tasks takes %d, the takt is %d", len(station), load, r.Takt)
		}
	}
	if len(at) != len(tasks) {
		t.Fatalf("%d of %d tasks are done", len(at), len(tasks))
	}
}

// The proven optimum on every printed problem up to 45 tasks, at most one station more beyond.
func TestPrintedProblems(t *testing.T) {
	problems := printed(t)
	exact, beyond := 0, 0
	for _, row := range table(t, "testdata/optima.csv") {
		tasks := problems[row["instance"]]
		takt, want := int64(number(t, row["takt"])), number(t, row["stations"])
		r, err := balance.FewestStations(context.Background(), tasks, takt, balance.Options{})
		if err != nil {
			t.Fatal(err)
		}
		valid(t, tasks, r)
		name := fmt.Sprintf("%s at %d: %d stations, proven %v (bound %d, effort %d), printed %d", row["instance"], takt, len(r.Stations),
			r.Proven, r.Bound, r.Effort, want)
		switch {
		case len(r.Stations) < want, r.Bound > int64(want):
			t.Errorf("%s: better than proven", name)
		case len(tasks) <= 45 && (len(r.Stations) != want || !r.Proven), len(r.Stations) > want+1:
			t.Error(name)
		case r.Proven:
			exact++
		default:
			beyond++
		}
	}
	t.Logf("%d proven, %d within one station", exact, beyond)
}

// The least takt for the printed number of stations lies at or below the printed takt, and above every printed takt that
// needs more stations. Problems up to 45 tasks.
func TestLeastTaktOfPrintedProblems(t *testing.T) {
	problems, rows := printed(t), table(t, "testdata/optima.csv")
	for _, row := range rows {
		tasks := problems[row["instance"]]
		takt, stations := int64(number(t, row["takt"])), number(t, row["stations"])
		if len(tasks) > 45 {
			continue
		}
		r, err := balance.LeastTakt(context.Background(), tasks, stations, balance.Options{})
		if err != nil {
			t.Fatal(err)
		}
		valid(t, tasks, r)
		name := fmt.Sprintf("%s, %d stations: takt %d, proven %v (bound %d, effort %d)", row["instance"], stations, r.Takt, r.Proven, r.Bound,
			r.Effort)
		if !r.Proven || r.Takt > takt || r.Bound != r.Takt {
			t.Errorf("%s; printed %d", name, takt)
		}
		for _, other := range rows {
			if other["instance"] == row["instance"] && number(t, other["stations"]) > stations && int64(number(t, other["takt"])) >= r.Takt {
				t.Errorf("%s; printed at %s: %s stations", name, other["takt"], other["stations"])
			}
		}
	}
}
