package review

import (
	"encoding/json"
	"math"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

func lineOf(t testing.TB, args ...string) (r lineResult) {
	t.Helper()
	if err := json.Unmarshal([]byte(seamwright.Must(t, program.ExitDone, append([]string{"stations", "--json"}, args...)...)),
		&r); err != nil {
		t.Fatal(err)
	}
	return r
}

func TestStationsAsStated(t *testing.T) {
	file := calls.TwoJigs(t)
	r := lineOf(t, file)
	if r.Line.How != "stated" || len(r.Line.Posts) != 2 || r.Line.Posts[1].Crew != 2 || r.Batch != 10 || r.Runs != 1000 {
		t.Errorf("%+v", r.Line)
	}
	f := r.Line.Flow
	if f.Bottleneck != "first" || f.ShellsPerWeek <= 0 || !(math.Abs(f.Efficiency+f.BalanceDelay-1) <= 1e-6) ||
		!(f.Makespan < f.MakespanPrepared) {
		t.Errorf("%+v", f)
	}
	s := r.Simulated.Makespan
	if !(s.P50 < s.P80) || s.P50 < 0.7*f.Makespan || s.P80 > 2*f.MakespanPrepared {
		t.Errorf("simulated %+v, by the formula %v", s, f.MakespanPrepared)
	}
	if seamwright.Must(t, program.ExitDone, "stations", file, "--workers", "1") != seamwright.Must(t, program.ExitDone, "stations", file,
		"--workers", "3") {
		t.Error("the number of workers changes the figures")
	}
}

func TestStationsSharedOut(t *testing.T) {
	file := calls.TwoJigs(t)
	two := lineOf(t, file, "--stations", "2", "--keep-jigs=false")
	if two.Line.How != "balanced" || !two.Line.Proven || len(two.Line.Posts) != 2 {
		t.Errorf("%+v", two.Line)
	}
	back := lineOf(t, file, "--takt", "60", "--keep-jigs=false")
	if !back.Line.Proven || back.Line.Takt > 60 {
		t.Errorf("%+v", back.Line)
	}
	kept := lineOf(t, file, "--stations", "2")
	if len(kept.Line.Posts) != 2 || len(kept.Line.Posts[0].Jigs) != 1 || kept.Line.Posts[1].Crew != 2 {
		t.Errorf("%+v", kept.Line.Posts)
	}
}
