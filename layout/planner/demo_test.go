package planner_test

import (
	"bytes"
	"context"
	"math"
	"os"
	"slices"
	"sync"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
	"seamwright/internal/tarn"
	"seamwright/layout"
	"seamwright/layout/planfile"
	"seamwright/layout/planner"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// plan reads and plans a shell file.
func plan(t testing.TB, path string, workers int, overrides map[string]string) *layout.Plan {
	t.Helper()
	p, _, err := planned(path, workers, overrides)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func planned(path string, workers int, overrides map[string]string) (*layout.Plan, *shell.Shell, error) {
	in, err := found(path, workers, overrides)
	if err != nil {
		return nil, nil, err
	}
	p, err := planner.Build(context.Background(), in)
	return p, in.Shell, err
}

// found reads a shell file and finds its flanges.
func found(path string, workers int, overrides map[string]string) (planner.Input, error) {
	ctx := context.Background()
	sh, notes, err := shellfile.Read(path, overrides)
	if err != nil {
		return planner.Input{}, err
	}
	loaded, err := parts.Load(ctx, sh, workers, nil)
	if err != nil {
		return planner.Input{}, err
	}
	var sheets []flange.Sheet
	for _, p := range loaded {
		sheets = append(sheets, p.Sheet)
	}
	flanges, err := flange.Find(ctx, sheets, flange.Options{Workers: workers, GapLimit: sh.GapLimit})
	if err != nil {
		return planner.Input{}, err
	}
	digest, _, err := shell.Digests(sh, nil)
	return planner.Input{Shell: sh, Parts: loaded, Found: flanges, Digest: digest, Notes: notes, Workers: workers}, err
}

// plannedDemo is the demo and its plan, the same for all tests, which must not change them.
var plannedDemo = sync.OnceValue(func() (out struct {
	plan *layout.Plan
	in   planner.Input
	err  error
}) {
	var dir string
	if dir, out.err = os.MkdirTemp("", "tarn"); out.err != nil {
		return out
	}
	defer os.RemoveAll(dir)
	if out.err = tarn.Write(dir); out.err != nil {
		return out
	}
	if out.in, out.err = found(dir+"/shell.yaml", 2, nil); out.err == nil {
		out.plan, out.err = planner.Build(context.Background(), out.in)
	}
	return out
})

func demo(t *testing.T) (*layout.Plan, *shell.Shell) {
	t.Helper()
	d := plannedDemo()
	if d.err != nil {
		t.Fatal(d.err)
	}
	return d.plan, d.in.Shell
}

func text(t testing.TB, p *layout.Plan) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := planfile.Write(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The demo is planned once for all that is asked of it.
func TestDemo(t *testing.T) {
	p, _ := demo(t)
	t.Run("welds lie on the true weld lines", func(t *testing.T) { weldsOnTruth(t, p) })
	t.Run("true weld lines are welded from end to end", func(t *testing.T) { truthWelded(t, p) })
	t.Run("no flange is false", func(t *testing.T) { noFalseFlange(t, p) })
	t.Run("numbers and runs", func(t *testing.T) { numbersAndRuns(t, p) })
	t.Run("steps", func(t *testing.T) { stepsInOrder(t, p) })
	t.Run("gear", func(t *testing.T) { gear(t, p) })
	t.Run("no rule is broken", func(t *testing.T) {
		for _, f := range p.Findings {
			if f.Severity == layout.Broken {
				t.Errorf("%s: %s: %g, limit %g %s", f.Rule, f.Where, f.Value, f.Limit, f.Unit)
			}
		}
	})
	t.Run("same plan on one worker", func(t *testing.T) { // from the same flanges, which the finder's own tests hold to that
		in := plannedDemo().in
		in.Workers = 1
		again, err := planner.Build(context.Background(), in)
		if err != nil || !bytes.Equal(text(t, p), text(t, again)) {
			t.Errorf("the plan depends on the number of workers: %v", err)
		}
	})
}

func point(v layout.Vec) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }

// trueLines are the generator's weld lines by the set of sheets and joint.
func trueLines(joint string) []*curve.Line {
	var out []*curve.Line
	for _, w := range tarn.Truth() {
		if w.Joint == joint {
			out = append(out, curve.New(w.Points, w.Closed))
		}
	}
	return out
}

func weldsOnTruth(t *testing.T, p *layout.Plan) {
	if len(p.Welds) < 700 || len(p.Welds) > 1600 {
		t.Errorf("%d welds, want 700 to 1,600", len(p.Welds))
	}
	worst := 0.0
	lines := map[string][]*curve.Line{}
	for _, w := range p.Welds {
		if lines[w.Joint] == nil {
			lines[w.Joint] = trueLines(w.Joint)
		}
		least := math.Inf(1)
		for _, l := range lines[w.Joint] {
			_, d := l.Nearest(point(w.Position))
			least = min(least, d)
		}
		worst = max(worst, least)
		if least > 0.5 {
			t.Errorf("weld %d of %s is %.2f mm from the true line of its joint %s", w.Number, w.Station, least, w.Joint)
		}
	}
	t.Logf("%d welds, at most %.3f mm from the true weld lines", len(p.Welds), worst)
}

// truthWelded: along every true line welds stand from end to end. Where a third sheet ends the other two are
// joggled together over 24 mm, and the first weld stands beyond that; a drawn keep-out on the floor takes 100 mm.
func truthWelded(t *testing.T, p *layout.Plan) {
	for _, truth := range tarn.Truth() {
		line := curve.New(truth.Points, truth.Closed)
		var at []float64
		for _, w := range p.Welds {
			sheets, want := slices.Clone(w.Sheets), slices.Clone(truth.Panels)
			slices.Sort(sheets)
			slices.Sort(want)
			if s, d := line.Nearest(point(w.Position)); w.Joint == truth.Joint && d < 0.5 && slices.Equal(sheets, want) {
				at = append(at, s)
			}
		}
		slices.Sort(at)
		if len(at) == 0 {
			t.Errorf("no weld on the true line of %s, %.0f mm long", truth.Joint, line.Length())
			continue
		}
		if !truth.Closed && (at[0] > 35 || line.Length()-at[len(at)-1] > 35) {
			t.Errorf("%s: first weld at %.1f, last %.1f before the end", truth.Joint, at[0], line.Length()-at[len(at)-1])
		}
		for i := 1; i < len(at); i++ {
			if at[i]-at[i-1] > 110 {
				t.Errorf("%s: %.1f mm without a weld at %.1f", truth.Joint, at[i]-at[i-1], at[i-1])
			}
		}
	}
}

func noFalseFlange(t *testing.T, p *layout.Plan) {
	truths := tarn.Truth()
	for _, f := range p.Flanges {
		if f.Joint == "" {
			t.Errorf("flange %s of %v, %.0f mm long, belongs to no joint", f.ID, f.Panels, f.Length)
			continue
		}
		for _, v := range f.Places() {
			least := math.Inf(1)
			for _, w := range truths {
				if w.Joint == f.Joint {
					_, d := curve.New(w.Points, w.Closed).Nearest(point(v))
					least = min(least, d)
				}
			}
			if least > 0.5 {
				t.Errorf("the weld line of flange %s is %.2f mm from the truth at %v", f.ID, least, v)
				break
			}
		}
	}
}

func numbersAndRuns(t *testing.T, p *layout.Plan) {
	next := map[string]int{}
	for _, w := range p.Welds {
		next[w.Station]++
		if w.Number != next[w.Station] {
			t.Fatalf("station %s: weld %d stands at place %d", w.Station, w.Number, next[w.Station])
		}
		r := p.Runs[w.Run-1]
		if r.ID != w.Run || r.Station != w.Station || w.Number < r.From || w.Number > r.To || r.Gun != w.Gun || r.Tip != w.Tip ||
			r.Setting != w.Setting || r.Step != w.Step || r.Flange != w.Flange {
			t.Errorf("weld %d of %s does not agree with run %+v", w.Number, w.Station, r)
		}
	}
	for _, r := range p.Runs {
		if r.Count != r.To-r.From+1 {
			t.Errorf("run %d: %d welds from %d to %d", r.ID, r.Count, r.From, r.To)
		}
	}
}

func stepsInOrder(t *testing.T, p *layout.Plan) {
	rank := map[layout.WeldStep]int{"tack": 0, "fill": 1, "released": 1}
	last := map[string]int{}
	released := 0
	for _, w := range p.Welds {
		if rank[w.Step] < last[w.Station] {
			t.Errorf("weld %d of %s: a tack after a fill", w.Number, w.Station)
		}
		last[w.Station] = rank[w.Step]
		if w.Step == "released" {
			released++
			if w.Waits == "" {
				t.Errorf("weld %d of %s does not say what it waits for", w.Number, w.Station)
			}
		}
	}
	if released == 0 {
		t.Error("no weld waits for a clamp: the demo has clamps in the way")
	}
	if len(p.Seams) != 1 || !p.Seams[0].Closed || p.Seams[0].Length < 4000 || p.Seams[0].Time <= 0 {
		t.Errorf("roller seams: %d; the gutter has one, closed, over 4 m", len(p.Seams))
	}
}

// gear: welds in the gutter take the narrow flat tip because no other goes in; others take a wider one.
func gear(t *testing.T, p *layout.Plan) {
	narrow := map[string]bool{}
	for _, tip := range p.Tips {
		narrow[tip.ID] = tip.Shape == "narrow-flat"
	}
	for _, w := range p.Welds {
		if w.Gun == "" || w.Tip == "" || w.Setting == "" {
			t.Errorf("weld %d of %s has no gun, tip or setting", w.Number, w.Station)
		}
		if (w.Joint == "gutter") != narrow[w.Tip] {
			t.Errorf("weld %d of joint %s takes tip %s", w.Number, w.Joint, w.Tip)
		}
	}
}
