package planner_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"seamwright/layout"
)

// clamped plans a lap of 300 mm with nine welds 35 mm apart, from 10 mm on, with clamps upright on the line that stand higher than the tips
// are long, so that the gun's bar, 50 mm thick, meets them.
func clamped(t *testing.T, open, clamps string) *layout.Plan {
	t.Helper()
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 300, 40, 0))
	sheet(t, dir, "b.stl", flat(0, 22, 300, 62, 1))
	return planText(t, dir, "name: lap\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\njoints: [{id: lap, panels: "+
		"[a, b], count: 9, tack_every_mm: 300}]\n"+
		"stations: [{id: jig, arrives: [a, b], clamps_open: "+open+", clamps: ["+clamps+"]}]\n"+
		"guns: ["+capGun("g", 200, "arm_mm: 50, stroke_mm: 60")+"]\ntips: [{id: cap, shape: domed, face_mm: 5, shank_mm: 12, length_mm: 25}]\n")
}

func clampAt(id string, x, radius float64) string {
	return fmt.Sprintf("{id: %s, at_mm: [%g, 31, 0.5], radius_mm: %g}", id, x, radius)
}

// releases are the texts of the steps that open clamps, and of what is welded there.
func releases(p *layout.Plan) []string {
	var out []string
	for _, s := range p.Stations[0].Steps {
		if s.Do == layout.DoRelease || strings.HasPrefix(s.Text, "Weld where") {
			out = append(out, s.Text[:strings.IndexAny(s.Text, ".,")])
		}
	}
	return out
}

// A dimension from one sheet of a joint to the other is measured once both lie there, though it stands before the joint; where the second
// sheet only closes an opening it is kept out until then.
func TestHoldPointIsMeasuredOnWhatIsLoaded(t *testing.T) {
	for _, c := range []struct {
		name, at, to string
		want         []string
	}{
		{"across both sheets", "[0, 0, 0]", "[300, 62, 1]", []string{"Load a", "Load b", "Hold point H1"}},
		{"on the first alone", "[0, 0, 0]", "[300, 0, 0]", []string{"Load a", "Hold point H1", "Load b"}},
	} {
		dir := t.TempDir()
		sheet(t, dir, "a.stl", flat(0, 0, 300, 40, 0))
		sheet(t, dir, "b.stl", flat(0, 22, 300, 62, 1))
		p := planText(t, dir, "name: lap\n"+reachSteels+"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\n"+
			"joints: [{id: lap, panels: [a, b]}]\nstations: [{id: jig, arrives: [a, b], hold_points: "+
			"[{id: H1, text: Diagonal, before: lap, tolerance_mm: 1, at_mm: "+c.at+", to_mm: "+c.to+"}]}]\n")
		var got []string
		for _, s := range p.Stations[0].Steps {
			if s.Do == layout.DoLoad || s.Do == layout.DoGauge {
				got = append(got, s.Text[:strings.IndexAny(s.Text, ",:.")])
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// Clamps that open one by one do so by the shortest way past them, each with what it hid welded before the next; all together they open in
// one step.
func TestClampsOpenByTheShortestWay(t *testing.T) {
	three := clampAt("C1", 150, 2) + ", " + clampAt("C2", 45, 2) + ", " + clampAt("C3", 255, 2)
	p := clamped(t, "one-by-one", three)
	want := []string{"Open clamp C2: they open in the order C2", "Weld where clamp C2 was", "Open clamp C1", "Weld where clamp C1 was",
		"Open clamp C3", "Weld where clamp C3 was"}
	if got := releases(p); !slices.Equal(got, want) || !slices.Equal(p.Stations[0].ClampTurns, []string{"C2", "C1", "C3"}) {
		t.Errorf("%q, %v", got, p.Stations[0].ClampTurns)
	}
	p = clamped(t, "together", three)
	if got := releases(p); !slices.Equal(got, []string{"Open clamps C1", "Weld where the clamps were"}) || len(p.Stations[0].ClampTurns) > 0 {
		t.Errorf("%q, %v", got, p.Stations[0].ClampTurns)
	}
}

// The bar misses the slim clamp from the weld under the thick one, but not the thick clamp from the weld under the slim one: the thick one
// opens first, whichever the shell file names first. Where either is in the way of the other, the welds wait until all are open.
func TestClampsOpenFromTheEndThatLetsGunsIn(t *testing.T) {
	thick, slim := clampAt("thick", 115, 12), clampAt("slim", 150, 2)
	for _, clamps := range []string{thick + ", " + slim, slim + ", " + thick} {
		p := clamped(t, "one-by-one", clamps)
		if got := p.Stations[0].ClampTurns; !slices.Equal(got, []string{"thick", "slim"}) {
			t.Errorf("%s: opened in the order %v", clamps, got)
		}
		for _, w := range p.Welds {
			switch {
			case w.Unreached:
				t.Errorf("%+v", w)
			case w.Along == 115 && (w.Step != layout.Released || strings.Contains(w.Waits, "slim")):
				t.Errorf("the weld under the thick clamp waits: %q", w.Waits)
			case w.Along == 150 && !strings.Contains(w.Waits, "slim"):
				t.Errorf("the weld under the slim clamp waits: %q", w.Waits)
			}
		}
	}
	p := clamped(t, "one-by-one", thick+", "+clampAt("other", 150, 12))
	for _, w := range p.Welds {
		if w.Unreached || w.Along == 115 && (!strings.Contains(w.Waits, "thick") || !strings.Contains(w.Waits, "other")) {
			t.Errorf("weld at %g mm: %q", w.Along, w.Waits)
		}
	}
	p = clamped(t, "together", thick+", "+clampAt("other", 150, 12))
	for _, w := range p.Welds {
		if w.Unreached || w.Along == 115 && strings.Contains(w.Waits, "other") {
			t.Errorf("all open together: weld at %g mm: %q", w.Along, w.Waits)
		}
	}
}
