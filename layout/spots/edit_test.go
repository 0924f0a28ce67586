package spots

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"seamwright/geometry/flange"
)

func weldsAt(l Layout) []float64 {
	var out []float64
	for _, w := range l.Welds {
		out = append(out, math.Round(w.S*1e6)/1e6)
	}
	return out
}

// 10, 50, 90, 130, 170, 210 and 250 without an edit.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		name string
		edit []Edit
		want []float64
		kind []Kind
	}{
		{"none", nil, []float64{10, 50, 90, 130, 170, 210, 250}, nil},
		{"pin", []Edit{{"p", Pin, 94, 0}}, []float64{10, 50, 94, 130, 170, 210, 250}, nil},
		{"pin on top of it", []Edit{{"p", Pin, 90, 0}}, []float64{10, 50, 90, 130, 170, 210, 250}, nil},
		{"move", []Edit{{"m", Move, 92, 101}}, []float64{10, 50, 101, 130, 170, 210, 250}, nil},
		{"move past the next", []Edit{{"m", Move, 92, 190}}, []float64{10, 50, 130, 170, 190, 210, 250}, nil},
		{"add", []Edit{{"a", Add, 70, 0}}, []float64{10, 50, 70, 90, 130, 170, 210, 250}, []Kind{}},
		{"leave out", []Edit{{"l", LeaveOut, 135, 0}}, []float64{10, 50, 90, 170, 210, 250}, []Kind{PitchAbove}},
		{"two of them", []Edit{{"l", LeaveOut, 135, 0}, {"a", Add, 125, 0}}, []float64{10, 50, 90, 125, 170, 210, 250}, []Kind{PitchAbove}},
		{"off the line", []Edit{{"m", Move, 92, 300}}, []float64{10, 50, 90, 130, 170, 210, 250}, []Kind{ByHand}},
		{"no weld in reach", []Edit{{"x", LeaveOut, 130, 0}, {"y", LeaveOut, 130, 0}}, []float64{10, 50, 90, 170, 210, 250},
			[]Kind{ByHand, PitchAbove}},
	} {
		out := lay(t, Request{Line: straight(260), Limits: limits(), Edits: c.edit})
		if got := weldsAt(out); !slices.Equal(got, c.want) {
			t.Errorf("%s: welds at %v, want %v", c.name, got, c.want)
		}
		var kinds []Kind
		for _, p := range out.Problems {
			kinds = append(kinds, p.Kind)
		}
		if c.kind != nil && !slices.Equal(kinds, c.kind) && len(kinds)+len(c.kind) > 0 {
			t.Errorf("%s: problems %v, want %v", c.name, out.Problems, c.kind)
		}
		for _, w := range out.Welds {
			if byHand := slices.ContainsFunc(c.edit, func(e Edit) bool { return e.ID == w.Edit }); (w.Edit != "") != byHand {
				t.Errorf("%s: weld at %g says that edit %q put it there", c.name, w.S, w.Edit)
			}
		}
	}
}

// An edit stays where it is when the line is laid again with other wishes, in one row or two, on open and closed lines.
func TestEditsSurviveLayingOutAnew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Request{Line: broad(300, 20), Limits: limits(), Apart: apart()}
		if rapid.Bool().Draw(t, "closed") {
			r.Line = ringLine(60)
		}
		r.Pitch = rapid.Float64Range(20, 60).Draw(t, "pitch")
		r.Rows = rapid.IntRange(0, 2).Draw(t, "rows")
		r.LoadCount = rapid.IntRange(0, 30).Draw(t, "load")
		at := rapid.Float64Range(20, 280).Draw(t, "at")
		r.Edits = []Edit{{"here", rapid.SampledFrom([]Do{Pin, Add}).Draw(t, "do"), at, 0}}
		out, err := Lay(r)
		if err != nil {
			t.Fatal(err)
		}
		found := 0
		for i, w := range out.Welds {
			if w.Edit == "here" {
				found++
				if !(math.Abs(w.S-at) <= 1e-6) {
					t.Fatalf("the weld set at %g stands at %g", at, w.S)
				}
			}
			if i > 0 && w.S < out.Welds[i-1].S-1e-9 {
				t.Fatalf("welds are not in order: %v", weldsAt(out))
			}
		}
		if found != 1 {
			t.Fatalf("%d welds were set by hand", found)
		}
	})
}

// A strip that tapers is welded from where it is wide enough on, with half an electrode's face more, and so is one that closes on itself.
func TestTaperIsLeftOut(t *testing.T) {
	l := broad(300, 7)
	for i := range l.Points {
		l.Points[i].Left = 2 + l.Points[i].S/20
	}
	out := lay(t, Request{Line: l, Limits: limits()})
	if len(out.Welds) < 3 || len(problems(out, Narrow)) != 0 {
		t.Fatalf("%+v", out)
	}
	// 6 mm to the free edge and 4 to the bend are had from 20 mm on, within the slack from 19; a face of 4 mm is kept off what is narrower
	if first := out.Welds[0].S; first < 21 || first > 30 {
		t.Errorf("the first weld stands at %g", first)
	}
	ring := ringLine(60)
	for i := range ring.Points {
		ring.Points[i].Left, ring.Points[i].Right = 4, 4
		if i >= 2 && i < len(ring.Points)-2 {
			ring.Points[i].Left, ring.Points[i].Right = 9, 9
		}
	}
	for _, w := range lay(t, Request{Line: ring, Limits: limits()}).Welds {
		if w.Left+w.Right < 18-1e-6 {
			t.Errorf("weld at %g of the ring where it is %g mm wide", w.S, w.Left+w.Right)
		}
	}
}

// A stretch is left out where it is too narrow by more than its width is known to; by less, it is welded and said, and by a hair it is
// welded as any other. A slit at one point of the line is kept off too.
func TestHowMuchTooNarrowIsLeftOut(t *testing.T) {
	for _, c := range []struct {
		short         float64
		from, to      float64
		narrow, leave int
	}{{0.01, 80, 120, 0, 0}, {0.15, 80, 120, 1, 0}, {0.25, 80, 120, 0, 1}, {0.5, 80, 120, 0, 1}, {0.6, 80, 120, 0, 1}, {8, 100, 100, 0, 1}} {
		line := straight(200)
		for i := range line.Points {
			if s := line.Points[i].S; s >= c.from && s <= c.to {
				p := &line.Points[i]
				p.Left, p.Right, p.LeftEdge, p.RightEdge = 6-c.short/2, 6-c.short/2, flange.FreeEdge, flange.FreeEdge
			}
		}
		out := lay(t, Request{Line: line, Limits: limits()})
		if len(problems(out, Narrow)) != c.narrow || len(problems(out, LeftOut)) != c.leave {
			t.Errorf("too narrow by %g: %+v", c.short, out.Problems)
		}
		inside := slices.ContainsFunc(out.Welds, func(w Weld) bool { return w.S > c.from-2 && w.S < c.to+2 })
		if inside == (c.leave > 0) {
			t.Errorf("too narrow by %g: welds at %v", c.short, weldsAt(out))
		}
	}
}

// Keep-outs that cover a short line up to its ends leave no place at the ends themselves.
func TestCoveredToItsEnds(t *testing.T) {
	line := straight(20)
	r := Request{Line: line, Limits: limits(), KeepOuts: []KeepOut{{ID: "a", At: vec(4, 0, 0), Radius: 5},
		{ID: "b", At: vec(16, 0, 0), Radius: 5}}}
	if out := lay(t, r); len(out.Welds) != 0 || len(problems(out, Blocked)) != 1 {
		t.Errorf("welds at %v, %v", weldsAt(out), out.Problems)
	}
}

// A strip too narrow all along is welded all the same, down its middle, and said; one narrow in part keeps welds off it.
func TestTooNarrowAllAlong(t *testing.T) {
	line := straight(200)
	for i := range line.Points {
		line.Points[i].Left, line.Points[i].Right = 4, 4
	}
	out := lay(t, Request{Line: line, Limits: limits()})
	if len(out.Welds) == 0 || len(problems(out, Narrow)) != 1 || len(problems(out, LeftOut)) != 0 {
		t.Errorf("%d welds, %v", len(out.Welds), out.Problems)
	}
}

func TestStatedRowDistance(t *testing.T) {
	r := Request{Line: broad(300, 20), Limits: limits(), Apart: apart(), LoadCount: 30, RowApart: 12}
	out := lay(t, r)
	for _, w := range out.Welds {
		if w.Row == 0 || !near(math.Abs(w.Offset), 6, 1e-9) {
			t.Fatalf("weld at %g of row %d is %g off the line, want rows 12 mm apart", w.S, w.Row, w.Offset)
		}
	}
}

// Free edge at 20 and bend at 20: 14 + 16 mm of room; the rules bear 8 to 30.
func TestDistances(t *testing.T) {
	got := Request{Line: broad(300, 20), Limits: limits(), Apart: apart()}.Distances(2)
	if got[0] != 8 || got[len(got)-1] != 30 || !slices.Contains(got, 15) {
		t.Errorf("%v", got)
	}
	for i := 1; i < len(got); i++ {
		if d := got[i] - got[i-1]; d <= 0 || d > rowStep+1e-9 {
			t.Errorf("%g after %g", got[i], got[i-1])
		}
	}
	if got := (Request{Line: straight(300), Limits: limits(), Apart: apart()}).Distances(2); got != nil {
		t.Errorf("no room for two rows, but %v", got)
	}
}
