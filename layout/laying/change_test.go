package laying

import (
	"context"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/flange"
	"seamwright/layout/joining"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
)

// lineOf is a straight strip along x with round limits.
func lineOf(id string, from, to float64, least, greatest float64, panels ...string) line {
	l := func(v float64) rule.Limit { return rule.Limit{Value: v, Unit: "mm"} }
	s := &joining.Strip{ID: id, Panels: panels, Limits: rule.Limits{WeldDiameter: l(5), LeastPitch: l(least), GreatestPitch: l(greatest),
		PitchBound:   l(greatest),
		EdgeDistance: l(6), EndDistance: l(10), BendClearance: l(1), TipFace: l(6), TackEvery: l(150)}}
	s.Flange.Length = to - from
	n := max(2, int((to-from)/2))
	for i := range n + 1 {
		at := (to - from) * float64(i) / float64(n)
		s.Flange.Line = append(s.Flange.Line, flange.LinePoint{S: at, Point: r3.Vector{X: from + at}, Along: r3.Vector{X: 1},
			Across: r3.Vector{Y: 1}, Axis: r3.Vector{Z: 1},
			Left: 10, Right: 10, LeftEdge: flange.FreeEdge, RightEdge: flange.FreeEdge})
	}
	return line{strip: s, request: spots.Request{Line: spots.Line{ID: id, Sheets: panels, Points: s.Flange.Line}, Limits: s.Limits}}
}

// bridged lays lines by themselves and then across their changes.
func bridged(t interface{ Fatal(...any) }, lines ...line) (alone, over []spots.Layout) {
	layouts := func() (out []spots.Layout) {
		for _, l := range lines {
			out = append(out, l.laid)
		}
		return out
	}
	for i := range lines {
		if err := lines[i].lay(); err != nil {
			t.Fatal(err)
		}
	}
	alone = layouts()
	if err := bridge(context.Background(), lines); err != nil {
		t.Fatal(err)
	}
	return alone, layouts()
}

// A third sheet lies on the middle of a flange: two, three and again two sheets along one line.
func TestPitchOverAChangeOfStack(t *testing.T) {
	strips := []line{
		lineOf("before", 0, 200, 15, 40, "a", "b"), lineOf("three", 200, 400, 20, 40, "a", "b", "c"), lineOf("after", 420, 600, 15, 40, "a", "b"),
	}
	if got := changes(strips); len(got) != 2 || got[0].gap != 0 || got[1].gap != 20 || got[0].end != [2]int{1, 0} {
		t.Fatalf("%+v", got)
	}
	alone, over := bridged(t, strips...)
	places := func(all []spots.Layout) (x []float64) {
		for _, l := range all {
			for _, w := range l.Welds {
				x = append(x, w.Position.X)
			}
		}
		return x
	}
	x := places(over)
	if len(x) > len(places(alone)) {
		t.Errorf("%d welds, %d without looking over the change", len(x), len(places(alone)))
	}
	for i := 1; i < len(x); i++ {
		if d := x[i] - x[i-1]; d > 40+1e-6 || d < 20-1e-6 && x[i] > 200 && x[i-1] < 400 || d < 15-1e-6 {
			t.Errorf("welds at %g and %g are %g apart", x[i-1], x[i], d)
		}
	}
	for _, v := range x { // the third sheet's edges, and the face on one stack
		if math.Abs(v-200) < 3 || math.Abs(v-400) < 3 || v > 200 && v < 210-1e-9 || v < 400 && v > 390+1e-9 || v > 400 && v < 423 {
			t.Errorf("weld at %g", v)
		}
	}
}

func TestChangesAreStraightOn(t *testing.T) {
	a := lineOf("a", 0, 200, 15, 40, "x", "y")
	for name, o := range map[string]line{
		"one sheet in common": lineOf("o", 200, 400, 15, 40, "x", "z"), "too far": lineOf("o", 245, 400, 15, 40, "x", "y", "z"),
	} {
		if got := changes([]line{a, o}); len(got) != 0 {
			t.Errorf("%s: %+v", name, got)
		}
	}
	turned := lineOf("o", 200, 400, 15, 40, "x", "y", "z")
	for i := range turned.strip.Flange.Line {
		st := &turned.strip.Flange.Line[i]
		st.Point, st.Along, st.Across = r3.Vector{X: 200, Y: st.S}, r3.Vector{Y: 1}, r3.Vector{X: -1}
	}
	if got := changes([]line{a, turned}); len(got) != 0 {
		t.Errorf("round a corner: %+v", got)
	}
}

// Whatever the lengths and pitches: over a change the pitch is kept wherever the two end distances and the gap leave that
// free, the end distances are kept, and there are more welds than without looking only where the greatest pitch asks for them.
func TestOverAnyChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
		first, second, gap := mm("first", 60, 400), mm("second", 60, 400), mm("gap", 0, 25)
		least, three, most := mm("least", 12, 18), mm("least of three", 15, 24), mm("most", 34, 60)
		strips := []line{
			lineOf("two", 0, first, least, most, "a", "b"),
			lineOf("three", first+gap, first+gap+second, three, mm("most of three", 34, 60), "a", "b", "c"),
		}
		alone, over := bridged(t, strips...)
		bound := math.Min(strips[0].strip.Limits.GreatestPitch.Value, strips[1].strip.Limits.GreatestPitch.Value)
		if gap+20 <= bound && gap+20 >= math.Max(least, three) &&
			len(alone[0].Welds)+len(alone[1].Welds) < len(over[0].Welds)+len(over[1].Welds) {
			t.Fatalf("%d and %d welds became %d and %d", len(alone[0].Welds), len(alone[1].Welds), len(over[0].Welds), len(over[1].Welds))
		}
		last, next := over[0].Welds[len(over[0].Welds)-1].Position.X, over[1].Welds[0].Position.X
		if first-last < 3-1e-6 || next-first-gap < 10-1e-6 {
			t.Fatalf("welds at %g and %g, the change from %g to %g", last, next, first, first+gap)
		}
		if d := next - last; d < math.Max(least, three)-1e-6 || d > math.Max(bound, gap+13)+1e-6 {
			t.Fatalf("%g apart over the change, %g to %g wanted, gap %g", d, math.Max(least, three), bound, gap)
		}
	})
}
