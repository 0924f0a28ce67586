package planner_test

import (
	"math"
	"strings"
	"testing"

	"seamwright/layout"
)

// Sheet a ends at y = 80, sheet b at y = 60: the welds stand where the joint says, from the edge of either.
func TestLineFromAPanelsEdge(t *testing.T) {
	for _, c := range []struct {
		joint string
		y     float64
	}{{"edge_of: a, edge_mm: 8", 72}, {"edge_of: b, edge_mm: 8", 68}, {"rows: 0", 70}} {
		p := lap(t, 300, 20, c.joint)
		if len(p.Welds) < 5 {
			t.Fatalf("%s: %d welds", c.joint, len(p.Welds))
		}
		for _, w := range p.Welds {
			if !(math.Abs(w.Position[1]-c.y) <= 0.1) {
				t.Errorf("%s: weld %d at y = %.2f, want %g", c.joint, w.Number, w.Position[1], c.y)
			}
		}
		if got := findings(p, "line.edge"); len(got) > 0 {
			t.Errorf("%s: %+v", c.joint, got)
		}
	}
}

// A rule that keeps the welds off the stated line is named, from either side; so is a line that is not on the strip at all.
func TestLineFromEdgeAgainstTheRules(t *testing.T) {
	p := lap(t, 300, 20, "edge_of: a, edge_mm: 2")
	got := findings(p, "line.edge")
	if len(got) != 1 || got[0].Severity != layout.Doubt || got[0].Value != 2 || got[0].Limit <= 2 || got[0].Source == "" ||
		!strings.Contains(got[0].Where, "least that the rule allows from a free edge") {
		t.Fatalf("%+v", got)
	}
	least := got[0].Limit
	for _, w := range p.Welds {
		if !(math.Abs(80-w.Position[1]-least) <= 0.1) {
			t.Errorf("weld %d is %.2f mm from the edge, the rule's least is %.2f", w.Number, 80-w.Position[1], least)
		}
	}
	p = lap(t, 300, 20, "edge_of: a, edge_mm: 19")
	if got = findings(p, "line.edge"); len(got) != 1 || got[0].Value != 19 || !(math.Abs(got[0].Limit-(20-least)) <= 0.1) ||
		!strings.Contains(got[0].Where, "the other side is a free edge") {
		t.Errorf("%+v", got)
	}
	p = lap(t, 300, 20, "edge_of: a, edge_mm: 40")
	if got = findings(p, "line.edge"); len(got) != 1 || !(math.Abs(got[0].Limit-20) <= 0.1) || !(math.Abs(p.Welds[0].Position[1]-70) <= 0.1) {
		t.Errorf("%+v", got)
	}
}

// Sheet b lies within sheet a: no edge of a runs along the flange, the line stays in the middle.
func TestLineFromAnEdgeThatIsNotThere(t *testing.T) {
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 400, 200, 0))
	sheet(t, dir, "b.stl", flat(50, 80, 350, 100, 1))
	p := planText(t, dir, "name: strap\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
		"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\njoints: [{id: strap, panels: [a, b], edge_of: a, edge_mm: 8}]\n")
	got := findings(p, "line.edge")
	if len(got) != 1 || got[0].Value != 8 || got[0].Remedy == "" || !strings.Contains(got[0].Where, "no free edge") {
		t.Errorf("%+v", got)
	}
	if len(p.Welds) == 0 || !(math.Abs(p.Welds[0].Position[1]-90) <= 0.1) {
		t.Errorf("%d welds: not in the middle", len(p.Welds))
	}
}
