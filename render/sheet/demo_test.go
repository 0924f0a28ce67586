package sheet

import (
	"context"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/internal/tarn"
	"seamwright/layout"
	"seamwright/layout/planner"
	"seamwright/render/paper"
	"seamwright/render/view"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// demo is the demo's panels and flanges, which take longest to find; tests only look at them.
var demo flanges

type demoPart = parts.Part

type flanges struct {
	once  sync.Once
	parts []demoPart
	found *flange.Found
	err   error
}

func (d *flanges) find(ctx context.Context, sh *shell.Shell) {
	if d.parts, d.err = parts.Load(ctx, sh, 0, nil); d.err != nil {
		return
	}
	var sheets []flange.Sheet
	for _, p := range d.parts {
		sheets = append(sheets, p.Sheet)
	}
	d.found, d.err = flange.Find(ctx, sheets, flange.Options{GapLimit: sh.GapLimit})
}

// planDemo plans the demo shell.
func planDemo(t *testing.T) (*layout.Plan, []view.Panel) {
	t.Helper()
	return planDemoWith(t, func(text []byte) []byte { return text })
}

// planDemoWith plans the demo shell with its shell file changed.
func planDemoWith(t *testing.T, change func([]byte) []byte) (*layout.Plan, []view.Panel) {
	t.Helper()
	ctx := context.Background()
	dir := t.TempDir()
	if err := tarn.Write(dir); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(dir + "/shell.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(dir+"/shell.yaml", change(text), 0o644); err != nil {
		t.Fatal(err)
	}
	sh, _, err := shellfile.Read(dir+"/shell.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	demo.once.Do(func() { demo.find(ctx, sh) })
	if demo.err != nil {
		t.Fatal(demo.err)
	}
	var panels []view.Panel
	for _, p := range demo.parts {
		panels = append(panels, view.NewPanel(p.Panel.ID, p.Shape, p.Steel.Thickness))
	}
	plan, err := planner.Build(ctx, planner.Input{Shell: sh, Parts: demo.parts, Found: demo.found})
	if err != nil {
		t.Fatal(err)
	}
	return plan, panels
}

// Every map of the demo: no label lies over a label, a weld or a leader, no leaders cross, all is within the frame,
// and each weld is drawn once.
func TestDemoMaps(t *testing.T) {
	if testing.Short() {
		t.Skip("planning the demo takes its time")
	}
	plan, panels := planDemo(t)
	hash, err := Hash(plan)
	if err != nil {
		t.Fatal(err)
	}
	for _, st := range plan.Stations {
		t.Run(st.ID, func(t *testing.T) {
			d, err := station(context.Background(), layout.NewIndex(plan), panels, st.ID, Options{Hash: hash}, &gallery{})
			if err != nil {
				t.Fatal(err)
			}
			sheets := d.sheets
			checkMarks(t, d, 12, 60)
			checkFollowed(t, d)
			checkFaces(t, d)
			marks, pictures := 0, map[string]bool{}
			for _, s := range sheets {
				frame := paper.Size{Width: s.Page.Width, Height: s.Page.Height}.Frame()
				if n := overlaps(t, s, frame); n != (count{}) {
					t.Errorf("%s: %+v", s.Name, n)
				}
				if s.Labels.Unplaced > 0 {
					t.Errorf("%s: %d labels found no place", s.Name, s.Labels.Unplaced)
				}
				checkSafe(t, s)
				marks += weldMarks(s)
				for _, l := range s.Page.Layers {
					if strings.HasPrefix(l.Name, "picture ") && len(l.Items) > 0 {
						pictures[strings.Fields(l.Name)[1]] = true
					}
				}
			}
			if want := len(slices.DeleteFunc(slices.Clone(plan.Welds), func(w layout.Weld) bool { return w.Station != st.ID })); marks != want {
				t.Errorf("%d weld marks, want %d", marks, want)
			}
			if len(pictures) != len(st.Arrives)+1 {
				t.Errorf("%d pictures of parts, want %d that arrive and one that leaves", len(pictures), len(st.Arrives))
			}
		})
	}
}
