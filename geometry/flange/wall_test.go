package flange

import (
	"testing"

	"seamwright/geometry/centreline"
)

// A strip is the wall between two bends if its sheets go on together beside it along more than half of its length, and no free
// edge runs along it.
func TestIsWall(t *testing.T) {
	free := LinePoint{LeftEdge: FreeEdge, LeftSheet: 0, RightSheet: -1}
	bent := LinePoint{LeftEdge: Bend, RightEdge: Bend, LeftSheet: -1, RightSheet: -1}
	for _, c := range []struct {
		point  LinePoint
		nested int
		want   bool
	}{{bent, 4, false}, {bent, 5, false}, {bent, 6, true}, {free, 6, false}} {
		fl := &Flange{}
		sections := make([]centreline.Section, 10)
		for i := range sections {
			fl.Line = append(fl.Line, c.point)
			sections[i].Nested = i < c.nested
		}
		if got := fl.isWall(sections); got != c.want {
			t.Errorf("%d of 10 nested, edges %v and %v: %t, want %t", c.nested, c.point.LeftEdge, c.point.RightEdge, got, c.want)
		}
	}
}
