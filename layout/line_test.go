package layout_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"seamwright/layout"
)

func TestSidesByStretch(t *testing.T) {
	ends := func(left, right layout.Edge) [2]layout.Edge { return [2]layout.Edge{left, right} }
	f := layout.Flange{Length: 4.5, Line: []layout.LinePoint{{Ends: ends(layout.FreeEdge, layout.Bend)},
		{Along: 2, Ends: ends(layout.FreeEdge, layout.Bend)}, {Along: 4, Ends: ends(layout.GapOpens, layout.Bend)}}}
	want := []layout.Side{{To: 3, Left: layout.FreeEdge, Right: layout.Bend}, {From: 3, To: 4.5, Left: layout.GapOpens, Right: layout.Bend}}
	if d := cmp.Diff(want, f.Sides()); d != "" {
		t.Error(d)
	}
	if got := new(layout.Flange).Sides(); got != nil {
		t.Errorf("no line has sides %v", got)
	}
}

// Lengths along the curve are those that the finder measured, not those of its chords.
func TestCurveKeepsTheFindersLengths(t *testing.T) {
	f := layout.Flange{Length: 33, Closed: true, Line: []layout.LinePoint{{}, {Along: 11, At: layout.Vec{10, 0, 0}},
		{Along: 22, At: layout.Vec{10, 10, 0}}}}
	c := f.Curve()
	if c.Length() != 33 {
		t.Errorf("length %v", c.Length())
	}
	if got := layout.VecOf(c.At(16.5)); got != (layout.Vec{10, 5, 0}) {
		t.Errorf("half-way along the second side: %v", got)
	}
	if s, d := c.Nearest(layout.Vec{5, -1, 0}.R3()); s != 5.5 || d != 1 {
		t.Errorf("nearest at %v, %v off", s, d)
	}
}
