package joining

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/google/go-cmp/cmp"

	"seamwright/geometry/flange"
	"seamwright/layout"
)

func TestMeasureStrip(t *testing.T) {
	line := []flange.LinePoint{
		{S: 0, Axis: r3.Vector{Z: 1}, Offset: 0.5, Left: 8, Right: 9, LeftEdge: flange.FreeEdge, RightEdge: flange.Bend, Gap: 0.1},
		{S: 2, Left: 8, Right: 9, LeftEdge: flange.FreeEdge, RightEdge: flange.Bend, Gap: 0.2},
		{S: 4, Point: r3.Vector{X: 4}, Axis: r3.Vector{Z: 1}, Left: 7, Right: 9, LeftEdge: flange.GapOpens, RightEdge: flange.Bend, Gap: 0.3},
	}
	for name, c := range map[string]struct {
		in   flange.Flange
		want layout.Flange
	}{
		"two stretches": {
			flange.Flange{Length: 4.5, Line: line, Outline: [][]r3.Vector{{{X: 1, Y: 8}, {X: 3, Y: 7}}},
				Holes: []flange.Hole{{Center: r3.Vector{X: 1, Y: 2, Z: 3}, Radius: 4}}},
			layout.Flange{
				Line: []layout.LinePoint{
					{Normal: layout.Vec{0, 0, 1}, Left: 8, Right: 9, Air: 0.1, Ends: [2]layout.Edge{layout.FreeEdge, layout.Bend}},
					{Along: 2, Left: 8, Right: 9, Air: 0.2, Ends: [2]layout.Edge{layout.FreeEdge, layout.Bend}},
					{Along: 4, At: layout.Vec{4, 0, 0}, Normal: layout.Vec{0, 0, 1}, Left: 7, Right: 9, Air: 0.3,
						Ends: [2]layout.Edge{layout.GapOpens, layout.Bend}},
				},
				Outline: [][]layout.Vec{{{1, 8, 0.5}, {3, 7, 0}}},
				Holes:   []layout.Hole{{At: layout.Vec{1, 2, 3}, Radius: 4}},
			},
		},
		"no line": {},
	} {
		var got layout.Flange
		measureStrip(&got, c.in)
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}
