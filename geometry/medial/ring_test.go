package medial_test

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/medial"
	"seamwright/geometry/region"
)

// The rough line of a ring between two squares is amid them, closed, and begins beside the corner that it is given.
func TestRing(t *testing.T) {
	p := &region.Patch{
		Points: []r3.Vector{{}, {X: 40}, {X: 40, Y: 40}, {Y: 40}, {X: 10, Y: 10}, {X: 30, Y: 10}, {X: 30, Y: 30}, {X: 10, Y: 30}},
		Tris:   [][3]int32{{0, 1, 5}, {0, 5, 4}, {1, 2, 6}, {1, 6, 5}, {2, 3, 7}, {2, 7, 6}, {3, 0, 4}, {3, 4, 7}},
	}
	for range p.Points {
		p.Normals = append(p.Normals, r3.Vector{Z: 1})
	}
	r := p.Region()
	outer, inner := []int32{0, 1, 2, 3}, []int32{4, 5, 6, 7}
	line := medial.Ring(r, outer, inner, 2)
	if !line.Closed || line.Forks != [2]int32{medial.NoFork, medial.NoFork} || len(line.Points) != 80 { // a place to every 2 mm of 160
		t.Fatalf("closed %t, forks %v, %d points", line.Closed, line.Forks, len(line.Points))
	}
	if d := line.Points[0].Distance(r3.Vector{X: 35, Y: 35}); d > 1e-9 {
		t.Errorf("begins at %v", line.Points[0])
	}
	for i, q := range line.Points { // side by side, each point amid its place on the outer square and the nearest one on the inner
		side, along := i/20, 40-2*float64(i%20)
		want := r3.Vector{X: (along + min(30, max(10, along))) / 2, Y: 35}
		for range side { // a quarter turn about the middle
			want.X, want.Y = 40-want.Y, want.X
		}
		if q.Distance(want) > 1e-9 {
			t.Errorf("point %d at %v, want %v", i, q, want)
		}
	}
}
