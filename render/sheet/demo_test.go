package sheet

import (
	"context"
	"slices"
	"strings"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/internal/tarn"
	"seamwright/layout"
	"seamwright/layout/planner"
	"seamwright/render/paper"
	"seamwright/render/view"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// planDemo plans the demo shell.
func planDemo(t *testing.T) (*layout.Plan, []view.Panel) {
	t.Helper()
	ctx := context.Background()
	dir := t.TempDir()
	if err := tarn.Write(dir); err != nil {
		t.Fatal(err)
	}
	sh, _, err := shell.Read(dir+"/shell.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	loaded, err := parts.Load(ctx, sh, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	var panels []view.Panel
	var sheets []flange.Sheet
	for _, p := range loaded {
		sheets = append(sheets, p.Sheet)
		panels = append(panels, view.NewPanel(p.Panel.ID, p.Shape, p.Steel.Thickness))
	}
	found, err := flange.Find(ctx, sheets, flange.Options{GapLimit: sh.GapLimit})
	if err != nil {
		t.Fatal(err)
	}
	plan, err := planner.Build(ctx, planner.Input{Shell: sh, Parts: loaded, Found: found})
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
			sheets, err := Station(context.Background(), plan, panels, st.ID, Options{Hash: hash})
			if err != nil {
				t.Fatal(err)
			}
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
