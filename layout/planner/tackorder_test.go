package planner_test

import (
	"strings"
	"testing"
)

// A stated order of tacks that the joint's line cannot have, for its shape, its station or its few tacks, is told of; one that it has is
// not. The line is open, 240 mm long.
func TestIdleTackOrder(t *testing.T) {
	const dowel = "stations: [{id: jig, arrives: [a, b], dowels: [{at_mm: [0, 0, 0]}]}]\n"
	for _, c := range []struct{ name, joint, stations, why string }{
		{"none stated", "tack_every_mm: 40", "", ""},
		{"from end to end", "tack_order: through, tack_every_mm: 300", "", ""},
		{"the middle of many", "tack_order: middle-first, tack_every_mm: 40", "", ""},
		{"the middle of two", "tack_order: middle-first, tack_every_mm: 300", "", "none of its lines has tacks enough for it"},
		{"quarters of an open line", "tack_order: quarters, tack_every_mm: 40", "", "its open lines have no quarters"},
		{"no dowel", "tack_order: datum-first, tack_every_mm: 40", "", "has no dowel to be the datum"},
		{"from the dowel", "tack_order: datum-first, tack_every_mm: 40", dowel, ""},
	} {
		dir := t.TempDir()
		sheet(t, dir, "a.stl", flat(0, 0, 240, 60, 0))
		sheet(t, dir, "b.stl", flat(0, 40, 240, 100, 1))
		p := planText(t, dir, "name: tacks\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
			"panels: [{id: a, mesh: a.stl, steel: s}, {id: b, mesh: b.stl, steel: s}]\n"+c.stations+
			"joints: [{id: lap, panels: [a, b], "+c.joint+"}]\n")
		var got []string
		for _, f := range findings(p, "joint.key") {
			got = append(got, f.Where)
		}
		if all := strings.Join(got, "; "); (all == "") != (c.why == "") || !strings.Contains(all, c.why) || len(got) > 1 {
			t.Errorf("%s: %q, want %q", c.name, all, c.why)
		}
	}
}
