package page

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
)

// since are the parts that a door is sent, by name.
func since(t *testing.T, p *Parts, before Sums, door string) map[string]json.RawMessage {
	t.Helper()
	text, err := p.Since(before, door)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Version string
		All     bool
		Parts   map[string]json.RawMessage
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatalf("%v:\n%s", err, text)
	}
	if got.Version != p.Version() || got.All != (before == nil) {
		t.Errorf("version %s, all %v", got.Version, got.All)
	}
	return got.Parts
}

func names(parts map[string]json.RawMessage) string {
	var out []string
	for n := range parts {
		out = append(out, n)
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}

func partsOf(t *testing.T, plan *layout.Plan) *Parts {
	t.Helper()
	p, err := PartsOf(plan)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// twoJigs is the sample with a second station, and with a flange that is in no joint.
func twoJigs() *layout.Plan {
	plan := sample()
	plan.Stations = append(plan.Stations, layout.Station{ID: "jig/2", Welds: 1})
	plan.Joints = append(plan.Joints, layout.Joint{ID: "low", Station: "jig/2", Flanges: []string{"f2"}, Welds: 1},
		layout.Joint{ID: "never", Flanges: []string{}})
	plan.Flanges = append(plan.Flanges, layout.Flange{ID: "f2", Joint: "low"}, layout.Flange{ID: "loose"})
	plan.Runs = append(plan.Runs, layout.Run{ID: 4, Station: "jig/2", Flange: "f2"})
	plan.Welds = append(plan.Welds, layout.Weld{Number: 1, Station: "jig/2", Joint: "low", Flange: "f2", Run: 4, Waits: "for others"})
	return plan
}

// Each door is sent what it shows and no more.
func TestPartsOfADoor(t *testing.T) {
	p := partsOf(t, twoJigs())
	for door, want := range map[string]string{
		"engineer":  "findings head jig/ jig/jig jig/jig/2 lines/ lines/jig lines/jig/2",
		"station":   "head jig/ jig/jig jig/jig/2 lines/ lines/jig lines/jig/2 steps/jig steps/jig/2",
		"estimator": "head money",
	} {
		if got := names(since(t, p, nil, door)); got != want {
			t.Errorf("%s: %s, want %s", door, got, want)
		}
	}
	if _, err := p.Since(nil, "back"); err == nil || !strings.Contains(err.Error(), `no door "back"`) {
		t.Error(err)
	}
}

// After a change only the parts are sent that differ: a weld more at the first station moves the second's in the plan's list, which
// the head says, and leaves its part as it was.
func TestPartsSince(t *testing.T) {
	before := partsOf(t, twoJigs())
	if got := names(since(t, partsOf(t, twoJigs()), before.Sums(), "engineer")); got != "" {
		t.Errorf("the same plan: %s", got)
	}
	plan := twoJigs()
	plan.Welds = slices.Insert(plan.Welds, 2, layout.Weld{Number: 3, Station: "jig", Joint: "top", Flange: "f1", Run: 3})
	plan.Runs = slices.Insert(plan.Runs, 1, layout.Run{ID: 4, Station: "jig", Flange: "f1"})
	plan.Runs[2].ID, plan.Welds[3].Run = 5, 5
	got := since(t, partsOf(t, plan), before.Sums(), "engineer")
	if names(got) != "head jig/jig" {
		t.Errorf("a weld more: %s", names(got))
	}
	for _, want := range []string{`{"id":"jig","run":3,"weld":0}`, `{"id":"jig/2","run":5,"weld":3}`} {
		if !strings.Contains(string(got["head"]), want) {
			t.Errorf("the head lacks %s: %s", want, got["head"])
		}
	}
	plan = twoJigs()
	plan.Cost.Lines = []layout.Line{{What: "labour"}}
	if got := names(since(t, partsOf(t, plan), before.Sums(), "engineer")); got != "" {
		t.Errorf("a line of cost: %s", got)
	}
	plan = twoJigs()
	plan.Flanges[0].Line[1].At[2] = 7
	if got := names(since(t, partsOf(t, plan), before.Sums(), "engineer")); got != "lines/jig" {
		t.Errorf("another line: %s", got)
	}
}

// A number that JSON cannot hold is said, rather than a part left out.
func TestPartsThatCannotBeWritten(t *testing.T) {
	plan := sample()
	plan.Welds[0].Along = math.NaN()
	if _, err := PartsOf(plan); err == nil || !strings.Contains(err.Error(), "part jig/jig of the page") {
		t.Error(err)
	}
}

// What is left of a line has every point of it within the finer level's bound, at its distance along it, and both of its ends.
func TestThinned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 60).Draw(t, "points")
		bend, along := rapid.Float64Range(0, 0.2).Draw(t, "bend"), 0.0
		line := make([]layout.LinePoint, n)
		way, at := 0.0, layout.Vec{}
		for i := range line {
			line[i] = layout.LinePoint{Along: along, At: at}
			step := rapid.Float64Range(0.1, 20).Draw(t, "step")
			way += bend * rapid.Float64Range(-0.3, 1).Draw(t, "turn")
			at[0], at[1] = at[0]+step*math.Cos(way), at[1]+step*math.Sin(way)
			along += step
		}
		out := thinned(line)
		if n > 0 && (out[0] != line[0] || out[len(out)-1] != line[n-1]) {
			t.Fatalf("its ends: %v", out)
		}
		for _, p := range line {
			k := min(max(1, slices.IndexFunc(out, func(o layout.LinePoint) bool { return o.Along >= p.Along })), len(out)-1)
			if len(out) < 2 {
				break
			}
			a, b := out[k-1], out[k]
			f := (p.Along - a.Along) / (b.Along - a.Along)
			if d := a.At.R3().Add(b.At.R3().Sub(a.At.R3()).Mul(f)).Sub(p.At.R3()).Norm(); d > Fine+1e-9 {
				t.Fatalf("a point at %.3f is %.4f mm off what is left", p.Along, d)
			}
		}
	})
	straight := make([]layout.LinePoint, 200)
	for i := range straight {
		straight[i] = layout.LinePoint{Along: float64(i), At: layout.Vec{float64(i), 0, 0}}
	}
	if n := len(thinned(straight)); n != 2 {
		t.Errorf("a straight of 200 points keeps %d", n)
	}
}

func BenchmarkParts(b *testing.B) {
	plan := twoJigs()
	for range 60_000 {
		n := float64(len(plan.Flanges[0].Line))
		plan.Flanges[0].Line = append(plan.Flanges[0].Line, layout.LinePoint{Along: 300 + n, At: layout.Vec{n, 40 * math.Sin(n/50), 0}})
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := PartsOf(plan); err != nil {
			b.Fatal(err)
		}
	}
}
