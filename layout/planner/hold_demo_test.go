package planner_test

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// awayFrom is the distance from a place to a triangle, without a tree: over its plane, else over its sides.
func awayFrom(at r3.Vector, corners [3]r3.Vector) float64 {
	normal := corners[1].Sub(corners[0]).Cross(corners[2].Sub(corners[0])).Normalize()
	inside, best := true, math.Inf(1)
	for k := range 3 {
		a, b := corners[k], corners[(k+1)%3]
		inside = inside && normal.Cross(b.Sub(a)).Dot(at.Sub(a)) >= 0
		along := math.Max(0, math.Min(1, at.Sub(a).Dot(b.Sub(a))/math.Max(1e-12, b.Sub(a).Norm2())))
		best = math.Min(best, at.Distance(a.Add(b.Sub(a).Mul(along))))
	}
	if inside {
		return math.Abs(normal.Dot(at.Sub(corners[0])))
	}
	return best
}

// The demo's seven hold points reckoned again from its panels, by looking at every facet and by walking every way from part to part: a
// dimension is as long as it is stated, its ends lie on parts in the jig, and no weld that fixes it is made before it is gauged; a gauge
// comes before what it is stated to come before.
func TestHoldPointsOfTheDemo(t *testing.T) {
	demo := plannedDemo()
	if demo.err != nil {
		t.Fatal(demo.err)
	}
	p, sh := demo.plan, demo.in.Shell
	seen := 0
	for _, s := range p.Stations {
		for _, h := range s.HoldPoints {
			seen++
			late := gaugedAfter(p, s, h.ID)
			if h.Value == 0 {
				if h.Before != layout.Tacks || len(late) > 0 {
					t.Errorf("%s %s: a gauge before %q, after welds of %v", s.ID, h.ID, h.Before, late)
				}
				continue
			}
			if d := h.At.R3().Distance(h.To.R3()); !(math.Abs(d-h.Value) <= h.Tolerance) {
				t.Errorf("%s %s: its ends are %.1f mm apart, stated %.1f", s.ID, h.ID, d, h.Value)
			}
			from, to := lyingOn(demo.in.Parts, sh, s, h.At.R3()), lyingOn(demo.in.Parts, sh, s, h.To.R3())
			if len(from) == 0 || len(to) == 0 {
				t.Errorf("%s %s: its ends lie on %v and %v", s.ID, h.ID, from, to)
			}
			fixing := fixedBy(p, sh, s, from, to)
			t.Logf("%s %s: from %v to %v, fixed by %v", s.ID, h.ID, from, to, fixing)
			for _, joint := range fixing {
				if slices.Contains(late, joint) {
					t.Errorf("%s %s: joint %s fixes what it measures, and is welded before", s.ID, h.ID, joint)
				}
			}
			if h.Before == "" && !slices.Equal(slices.Sorted(slices.Values(h.Joints)), fixing) {
				t.Errorf("%s %s: waits before %v, fixed by %v", s.ID, h.ID, h.Joints, fixing)
			}
		}
	}
	if seen != 7 {
		t.Errorf("%d hold points", seen)
	}
}

// gaugedAfter are the joints of which a weld is made in a step before the one that gauges a hold point.
func gaugedAfter(p *layout.Plan, s layout.Station, hold string) []string {
	var out []string
	for _, step := range s.Steps {
		if step.Hold == hold {
			break
		}
		for _, r := range p.Runs {
			if slices.Contains(step.Runs, r.ID) {
				out = append(out, r.Joint)
			}
		}
	}
	return out
}

// lyingOn are the parts in the jig that a place lies on, to 3 mm and their thickness.
func lyingOn(all []parts.Part, sh *shell.Shell, s layout.Station, at r3.Vector) []string {
	var out []string
	for _, id := range s.Arrives {
		for _, part := range all {
			if !slices.Contains(sh.PanelsOf(id), part.Panel.ID) {
				continue
			}
			for k := range part.Sheet.Mesh.Triangles {
				a, b, c := part.Sheet.Mesh.Corners(k)
				if awayFrom(at, [3]r3.Vector{a, b, c}) <= 3+part.Steel.Thickness {
					out = append(out, id)
					break
				}
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// fixedBy are the joints of a station on any way from one of some parts to one of others that comes to no part twice; of a dimension on
// one part, all that is welded to it.
func fixedBy(p *layout.Plan, sh *shell.Shell, s layout.Station, from, to []string) []string {
	type edge struct{ a, b, joint string }
	var edges []edge
	for _, j := range p.Joints {
		if j.Station != s.ID {
			continue
		}
		var own []string
		for _, id := range s.Arrives {
			if slices.ContainsFunc(sh.PanelsOf(id), func(panel string) bool { return slices.Contains(j.Panels, panel) }) {
				own = append(own, id)
			}
		}
		for _, a := range own {
			for _, b := range own {
				if a != b {
					edges = append(edges, edge{a, b, j.ID})
				}
			}
		}
	}
	fixing := map[string]bool{}
	var walk func(at, target string, been, joints []string)
	walk = func(at, target string, been, joints []string) {
		if at == target {
			for _, j := range joints {
				fixing[j] = true
			}
			return
		}
		for _, e := range edges {
			if e.a == at && !slices.Contains(been, e.b) {
				walk(e.b, target, append(slices.Clone(been), e.b), append(slices.Clone(joints), e.joint))
			}
		}
	}
	for _, u := range from {
		for _, v := range to {
			if u != v {
				walk(u, v, []string{u}, nil)
				continue
			}
			for _, e := range edges {
				if e.a == u {
					fixing[e.joint] = true
				}
			}
		}
	}
	var out []string
	for j := range fixing {
		out = append(out, j)
	}
	slices.Sort(out)
	return out
}
