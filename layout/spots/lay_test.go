package spots

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/flange"
	"seamwright/geometry/space"
	"seamwright/internal/record"
)

func TestOpenLine(t *testing.T) {
	for _, test := range []struct {
		name   string
		length float64
		change func(*Request)
		count  int
		first  float64
		pitch  Range
		kinds  []Kind
	}{
		{name: "exact multiple of the greatest pitch", length: 500, count: 13, first: 10, pitch: Range{40, 40, 40}},
		{name: "a little more needs one more", length: 500.1, count: 14, first: 10, pitch: Range{480.1 / 13, 480.1 / 13, 480.1 / 13}},
		{name: "two welds", length: 50, count: 2, first: 10, pitch: Range{30, 30, 30}},
		{name: "two welds at the least pitch", length: 35, count: 2, first: 10, pitch: Range{15, 15, 15}},
		{name: "one weld", length: 30, count: 1, first: 15, kinds: []Kind{Short}},
		{name: "shorter than its end distances", length: 12, count: 1, first: 6, kinds: []Kind{Short}},
		{name: "wanted pitch", length: 500, change: func(r *Request) { r.Pitch = 20 }, count: 25, first: 10, pitch: Range{20, 20, 20}},
		{name: "wanted pitch below the rule", length: 500, change: func(r *Request) { r.Pitch = 12 }, count: 33, first: 10,
			pitch: Range{15, 15, 15}, kinds: []Kind{PitchWish}},
		{name: "wanted pitch above the book's", length: 500, change: func(r *Request) { r.Pitch = 60 }, count: 9, first: 10,
			pitch: Range{60, 60, 60}},
		{name: "wanted pitch above the outer bound", length: 500, change: func(r *Request) { r.Pitch, r.Limits.PitchBound.Value = 60, 55 },
			count: 9, first: 10, pitch: Range{60, 60, 60}, kinds: []Kind{PitchAbove}},
		{name: "wanted pitch above the outer bound, not reached", length: 130, change: func(r *Request) {
			r.Pitch,
				r.Limits.PitchBound.Value = 60, 55
		}, count: 3, first: 10, pitch: Range{55, 55, 55}},
		{name: "greatest pitch of the rules below the least", length: 500, change: func(r *Request) { r.Limits.GreatestPitch.Value = 14 },
			count: 33, first: 10, pitch: Range{15, 15, 15}, kinds: []Kind{PitchWish}},
		{name: "count above the pitch's", length: 500, change: func(r *Request) { r.Count = 17 }, count: 17, first: 10, pitch: Range{30, 30, 30}},
		{name: "count below the pitch's", length: 500, change: func(r *Request) { r.Count = 5 }, count: 5, first: 10,
			pitch: Range{120, 120, 120}, kinds: []Kind{PitchAbove, PitchAbove, PitchAbove, PitchAbove}},
		{name: "a count of one", length: 500, change: func(r *Request) { r.Count = 1 }, count: 1, first: 250,
			kinds: []Kind{EndOpen, EndOpen}},
		{name: "load above the count", length: 500, change: func(r *Request) { r.Count, r.LoadCount = 17, 25 }, count: 17, first: 10,
			pitch: Range{30, 30, 30}, kinds: []Kind{LoadWish}},
		{name: "count that does not fit", length: 500, change: func(r *Request) { r.Count = 40 }, count: 33, first: 10, pitch: Range{15, 15, 15},
			kinds: []Kind{CountShort}},
		{name: "load that does not fit", length: 500, change: func(r *Request) { r.LoadCount = 34 }, count: 33, first: 10,
			pitch: Range{15, 15, 15}, kinds: []Kind{LoadWish}},
		{name: "own end distances", length: 500, change: func(r *Request) { r.Start, r.End = 20, 40 }, count: 12, first: 20,
			pitch: Range{40, 40, 40}},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := Request{Line: straight(test.length), Limits: limits()}
			if test.change != nil {
				test.change(&r)
			}
			out := lay(t, r)
			if len(out.Welds) != test.count || !near(out.Welds[0].S, test.first, 1e-6) {
				t.Fatalf("%d welds from %g, want %d from %g", len(out.Welds), out.Welds[0].S, test.count, test.first)
			}
			if !near(out.Pitch.Least, test.pitch.Least, 1e-6) || !near(out.Pitch.Mean, test.pitch.Mean, 1e-6) || !near(out.Pitch.Greatest,
				test.pitch.Greatest, 1e-6) {
				t.Errorf("pitch %v, want %v", out.Pitch, test.pitch)
			}
			checkKinds(t, out, test.kinds)
		})
	}
}

func checkKinds(t *testing.T, out Layout, want []Kind) {
	t.Helper()
	var got []Kind
	for _, p := range out.Problems {
		got = append(got, p.Kind)
		if p.Line == "" || math.IsNaN(p.Value+p.Limit+p.From+p.To) {
			t.Errorf("problem without a line or place: %v", p)
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("problems %v, want %v", out.Problems, want)
	}
}

func TestKeepOuts(t *testing.T) {
	dowel := func(x, radius float64) KeepOut { return KeepOut{ID: "dowel D1", At: vec(x, 0, 0), Radius: radius} }
	for _, test := range []struct {
		name   string
		length float64
		keep   []KeepOut
		want   []float64
		kinds  []Kind
	}{
		{name: "missed by the even pitch", length: 100, keep: []KeepOut{dowel(30, 5)}, want: []float64{10, 50, 90}},
		// the middle weld of 10, 50, 90 would be in 40.5..59.5 (5 + 2.5 + 2 about 50): a weld more is needed
		{name: "hit in the middle", length: 100, keep: []KeepOut{dowel(50, 5)}, want: []float64{10, 110.0 / 3, 190.0 / 3, 90}},
		// the even middle, 45, is in 30.5..49.5; at its edge the pitches are 39.5 and 30.5
		{name: "hit off the middle", length: 90, keep: []KeepOut{dowel(40, 5)}, want: []float64{10, 49.5, 80}},
		{name: "too long for the greatest pitch", length: 200, keep: []KeepOut{dowel(100, 25)},
			want: []float64{10, 40.25, 70.5, 129.5, 159.75, 190}, kinds: []Kind{PitchAbove}},
		{name: "over the start", length: 200, keep: []KeepOut{dowel(5, 8)}, want: []float64{17.5, 17.5 + 172.5/5, 17.5 + 2*172.5/5,
			17.5 + 3*172.5/5, 17.5 + 4*172.5/5, 190}},
		{name: "far over the start", length: 200, keep: []KeepOut{dowel(5, 30)}, want: []float64{39.5, 39.5 + 150.5/4, 39.5 + 2*150.5/4,
			39.5 + 3*150.5/4, 190}, kinds: []Kind{EndOpen}},
		{name: "over everything", length: 60, keep: []KeepOut{dowel(30, 60)}, want: nil, kinds: []Kind{Blocked}},
		{name: "off the line", length: 100, keep: []KeepOut{{ID: "far", At: vec(50, 30, 0), Radius: 20}}, want: []float64{10, 50, 90}},
		{name: "hole keeps the edge distance", length: 100, keep: []KeepOut{{ID: "hole", At: vec(50, 0, 0), Radius: 5, Hole: true}},
			want: []float64{10, 110.0 / 3, 190.0 / 3, 90}},
	} {
		t.Run(test.name, func(t *testing.T) {
			out := lay(t, Request{Line: straight(test.length), Limits: limits(), KeepOuts: test.keep})
			var got []float64
			for _, w := range out.Welds {
				got = append(got, w.S)
			}
			ok := len(got) == len(test.want)
			for i := range got {
				ok = ok && near(got[i], test.want[i], 1e-6)
			}
			if !ok {
				t.Errorf("welds at %v, want %v", got, test.want)
			}
			checkKinds(t, out, test.kinds)
			for _, p := range out.Problems {
				if (p.Kind == PitchAbove || p.Kind == EndOpen || p.Kind == Blocked) && !slices.Equal(p.KeepOuts, []string{"dowel D1"}) {
					t.Errorf("%v names %v as in the way", p, p.KeepOuts)
				}
			}
		})
	}
}

func TestHoleKeepsTheEdgeDistance(t *testing.T) {
	r := Request{Line: straight(100), Limits: limits(), Clearance: 0.5, KeepOuts: []KeepOut{{ID: "hole", At: vec(45, 0, 0), Radius: 7,
		Hole: true}}}
	for _, w := range lay(t, r).Welds {
		if d := w.Position.Distance(vec(45, 0, 0)); d < 13-1e-6 {
			t.Errorf("weld at %g is %g from the middle of a hole of radius 7, edge distance 6", w.S, d)
		}
	}
}

func TestClampThatOpensHidesWeldsUntilThen(t *testing.T) {
	r := Request{Line: straight(500), Limits: limits(), KeepOuts: []KeepOut{
		{ID: "C2", At: vec(12, 0, 3), Radius: 12, Until: Release},
		{ID: "C1", At: vec(250, 0, 0), Radius: 30, Until: Release},
		{ID: "C3", At: vec(260, 0, 0), Radius: 25, Until: Release},
	}}
	free := r
	free.KeepOuts = nil
	out, without := lay(t, r), lay(t, free)
	for i, w := range out.Welds {
		if w.S != without.Welds[i].S {
			t.Errorf("weld %d was moved to %g by a clamp that opens", i, w.S)
		}
		var want []string
		switch math.Round(w.S) {
		case 10:
			want = []string{"C2"}
		case 250:
			want = []string{"C1", "C3"}
		}
		if !slices.Equal(w.Clamps, want) {
			t.Errorf("weld at %g waits for %v, want %v", w.S, w.Clamps, want)
		}
		if w.Tack && len(w.Clamps) > 0 {
			t.Errorf("tack at %g is hidden by %v", w.S, w.Clamps)
		}
	}
	checkKinds(t, out, nil)
}

// Unless the line is stated, welds keep half a millimetre more than the least from a side, or half of what there is to spare.
func TestOffTheExactEdge(t *testing.T) {
	for _, c := range []struct{ left, right, offset float64 }{
		{8, 8, 0}, {6.5, 9, 0}, {6.2, 9, -0.3}, {5, 9, -1.5}, {9, 5, 1.5}, {6, 6.4, -0.2}, {5.5, 6.8, -0.65}, {6, 6, 0}, {5, 5, 0},
	} {
		line := straight(100)
		for i := range line.Points {
			st := &line.Points[i]
			st.Left, st.Right, st.LeftEdge, st.RightEdge = c.left, c.right, flange.FreeEdge, flange.FreeEdge
		}
		for _, w := range lay(t, Request{Line: line, Limits: limits()}).Welds {
			if !near(w.Offset, c.offset, 1e-9) {
				t.Errorf("%g and %g mm to the edges: a weld %g mm off the line, want %g", c.left, c.right, w.Offset, c.offset)
			}
		}
	}
}

func TestAcrossTheStrip(t *testing.T) {
	set := func(left, right float64, l, r flange.Edge) Request {
		line := straight(100)
		for i := range line.Points {
			st := &line.Points[i]
			st.Left, st.Right, st.LeftEdge, st.RightEdge = left, right, l, r
		}
		return Request{Line: line, Limits: limits(), OnLine: true}
	}
	for _, test := range []struct {
		name        string
		left, right float64
		l, r        flange.Edge
		offset      float64
		short       float64
	}{
		{"room on both sides", 8, 8, flange.FreeEdge, flange.Bend, 0, 0},
		{"too near to the free edge", 5, 9, flange.FreeEdge, flange.Bend, -1, 0},
		{"too near to the bend", 9, 3, flange.FreeEdge, flange.Bend, 1, 0},
		{"exactly enough", 6, 4, flange.FreeEdge, flange.Bend, 0, 0},
		{"two bends, as in a channel", 4, 4, flange.Bend, flange.Bend, 0, 0},
		{"stack goes on", 3, 8, flange.StackEnds, flange.Bend, 0, 0},
		{"sheets part", 2, 8, flange.GapOpens, flange.Bend, -1, 0},
		{"not known counts as a free edge", 5, 9, flange.UnknownEnd, flange.Bend, -1, 0},
		{"too narrow", 4, 4, flange.FreeEdge, flange.Bend, -1, 2},
		{"too narrow between free edges", 5, 5, flange.FreeEdge, flange.FreeEdge, 0, 2},
		{"less than the slack", 5.976, 5.976, flange.FreeEdge, flange.FreeEdge, 0, 0},
		{"more than the slack", 5.974, 5.974, flange.FreeEdge, flange.FreeEdge, 0, 0.052},
	} {
		t.Run(test.name, func(t *testing.T) {
			out := lay(t, set(test.left, test.right, test.l, test.r))
			for _, w := range out.Welds {
				if !near(w.Offset, test.offset, 1e-9) || !near(w.Position.Y, test.offset, 1e-9) {
					t.Errorf("weld at %g is %g off the line (y = %g), want %g", w.S, w.Offset, w.Position.Y, test.offset)
				}
				if !near(w.Left, test.left-test.offset, 1e-9) || !near(w.Right, test.right+test.offset, 1e-9) {
					t.Errorf("weld has %g and %g to its sides", w.Left, w.Right)
				}
			}
			narrow := problems(out, Narrow)
			if (len(narrow) == 1) != (test.short > 0) || len(narrow) == 1 && (!near(narrow[0].Limit-narrow[0].Value, test.short, 1e-9) ||
				narrow[0].Welds != len(out.Welds)) {
				t.Errorf("narrow: %v, want %g short", narrow, test.short)
			}
		})
	}
}

// One weld is laid where one is asked for, however long the line is.
func TestOneWeldIsAskedFor(t *testing.T) {
	if out := lay(t, Request{Line: straight(300), Limits: limits(), Count: 1}); len(out.Welds) != 1 {
		t.Errorf("%d welds", len(out.Welds))
	}
}

// A weld between two points of a ring lies along the ring.
func TestWeldsLieAlongARing(t *testing.T) {
	const radius = 20.0
	for _, w := range lay(t, Request{Line: ringLine(radius), Limits: limits()}).Welds {
		if off := w.Along.Dot(w.Position) / radius; !(math.Abs(off) <= 1e-3) {
			t.Errorf("the weld at %.2f points %.4f rad off the ring", w.S, off)
		}
	}
}

func TestNarrowStretchesAreApart(t *testing.T) {
	line := straight(400)
	for i := range line.Points {
		if s := line.Points[i].S; s >= 100 && s <= 120 || s >= 210 && s <= 260 || s < 8 {
			line.Points[i].Left = 4
			line.Points[i].Right = 4
		}
	}
	line.Points[115].Left = 3 // the worst place of the second stretch, at 230
	out := lay(t, Request{Line: line, Limits: limits()})
	narrow := problems(out, LeftOut)
	if len(narrow) != 2 || narrow[0].From != 100 || narrow[0].To != 120 || narrow[1].From != 210 || narrow[1].To != 260 {
		t.Fatalf("narrow stretches %v, want 100 to 120 and 210 to 260", narrow)
	}
	if narrow[1].Value != 7 || narrow[1].At.X != 230 || narrow[1].Welds != 0 {
		t.Errorf("worst place %+v, want 7 wide at 230 and no weld in the stretch", narrow[1])
	}
	for _, w := range out.Welds {
		if w.S >= 100 && w.S <= 120 || w.S >= 210 && w.S <= 260 {
			t.Errorf("a weld at %g, where the strip is too narrow", w.S)
		}
	}
}

// A strip that is too narrow all along, but within its ends, where no weld may stand, is welded all the same, and said to be narrow.
func TestNarrowButForItsEnds(t *testing.T) {
	for name, wide := range map[string]func(s float64) bool{
		"first end":  func(s float64) bool { return s < limits().EndDistance.Value-3 },
		"second end": func(s float64) bool { return s > 200-limits().EndDistance.Value+3 },
	} {
		line := straight(200)
		for i := range line.Points {
			if !wide(line.Points[i].S) {
				line.Points[i].Left, line.Points[i].Right = 4, 4
			}
		}
		out := lay(t, Request{Line: line, Limits: limits()})
		if len(out.Welds) == 0 || len(problems(out, LeftOut)) != 0 || len(problems(out, Narrow)) != 1 {
			t.Errorf("%s: %d welds, problems %+v, want welds on a narrow strip", name, len(out.Welds), out.Problems)
		}
	}
}

func TestClosedLine(t *testing.T) {
	const radius = 60.0
	length := 2 * math.Pi * radius
	at := func(degrees float64) r3.Vector {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		return vec(radius*cos, radius*sin, 0)
	}
	for _, test := range []struct {
		name  string
		keep  []KeepOut
		count int
		even  bool
		kinds []Kind
	}{
		{name: "free", count: 10, even: true},
		{name: "turned clear of a dowel", keep: []KeepOut{{ID: "D", At: at(0), Radius: 8}}, count: 10, even: true},
		{name: "turned clear of three", keep: []KeepOut{{ID: "D", At: at(0), Radius: 6}, {ID: "E", At: at(36), Radius: 6},
			{ID: "F", At: at(190), Radius: 3}}, count: 10, even: true},
		{name: "uneven between two out of step", keep: []KeepOut{{ID: "D", At: at(0), Radius: 6}, {ID: "E", At: at(54), Radius: 6}}, count: 10,
			even: false},
		{name: "a keep-out that cannot be bridged", keep: []KeepOut{{ID: "D", At: at(0), Radius: 40}}, count: 9, even: false,
			kinds: []Kind{PitchAbove}},
	} {
		t.Run(test.name, func(t *testing.T) {
			out := lay(t, Request{Line: ringLine(radius), Limits: limits(), KeepOuts: test.keep})
			if len(out.Welds) != test.count {
				t.Errorf("%d welds, want %d", len(out.Welds), test.count)
			}
			if got := near(out.Pitch.Least, out.Pitch.Greatest, 1e-6); got != test.even {
				t.Errorf("pitch %v, even: %v, want %v", out.Pitch, got, test.even)
			}
			if !near(out.Pitch.Mean*float64(len(out.Welds)), length, 0.1) {
				t.Errorf("the pitches add up to %g, the line is %g long", out.Pitch.Mean*float64(len(out.Welds)), length)
			}
			checkKinds(t, out, test.kinds)
			for _, w := range out.Welds {
				for _, k := range test.keep {
					if d := w.Position.Distance(k.At); d < k.Radius+2.5+2-0.01 {
						t.Errorf("weld at %g is %g from %s", w.S, d, k.ID)
					}
				}
			}
		})
	}
	if out := lay(t, Request{Line: ringLine(6), Limits: limits()}); len(out.Welds) != 2 || len(problems(out, Short)) != 1 {
		t.Errorf("a ring of 38 mm has %d welds and problems %v", len(out.Welds), out.Problems)
	}
	if out := lay(t, Request{Line: ringLine(60), Limits: limits(), Count: 14}); len(out.Welds) != 14 || !near(out.Pitch.Least,
		out.Pitch.Greatest, 1e-6) {
		t.Errorf("14 welds asked for, %d set out at %v", len(out.Welds), out.Pitch)
	}
	if out := lay(t, Request{Line: ringLine(60), Limits: limits(), Count: 99}); len(out.Welds) != 25 || len(problems(out, CountShort)) != 1 {
		t.Errorf("99 welds asked for, %d set out, %v", len(out.Welds), out.Problems)
	}
}

// A clamp that opens is missed by turning the ring where that costs nothing.
func TestClosedLineTurnsAwayFromClampsThatOpen(t *testing.T) {
	out := lay(t, Request{Line: ringLine(60), Limits: limits(), KeepOuts: []KeepOut{{ID: "C1", At: vec(60, 0, 0), Radius: 9, Until: Release}}})
	for _, w := range out.Welds {
		if len(w.Clamps) > 0 {
			t.Errorf("weld at %g is under %v", w.S, w.Clamps)
		}
	}
}

func TestErrors(t *testing.T) {
	said := record.Errors(t)
	good := func() Request { return Request{Line: straight(100), Limits: limits()} }
	for _, test := range []struct {
		want  string
		spoil func(*Request)
	}{
		{"no line", func(r *Request) { r.Line.Points = r.Line.Points[:1] }},
		{"no line", func(r *Request) { r.Line.Points, r.Line.Closed = r.Line.Points[:2], true }},
		{"not finite", func(r *Request) { r.Line.Points[3].Point.Y = math.NaN() }},
		{"not finite", func(r *Request) { r.Line.Points[3].Left = math.Inf(1) }},
		{"does not lie after", func(r *Request) { r.Line.Points[3].S = 0 }},
		{"no rule", func(r *Request) { r.Limits.LeastPitch.Value = 0 }},
		{"no rule", func(r *Request) { r.Limits.GreatestPitch.Value = 0 }},
		{"no rule", func(r *Request) { r.Limits.LeastPitch.Value = math.NaN() }},
		{"no length", func(r *Request) { r.Pitch = -1 }},
		{"no length", func(r *Request) { r.End = math.Inf(1) }},
	} {
		r := good()
		test.spoil(&r)
		if _, err := Lay(r); err == nil || !said.Has(err, test.want) || !strings.Contains(err.Error(), "weld line f1") {
			t.Errorf("error %v, want one about %q that names the line", err, test.want)
		}
	}
}

// Moving and turning the shell moves and turns the welds and changes nothing else.
func TestPlacedElsewhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := space.Place{Turn: vec(rapid.Float64Range(0, 360).Draw(t, "x"), rapid.Float64Range(0, 360).Draw(t, "y"), 30),
			Move: vec(900, -40, rapid.Float64Range(-2000, 2000).Draw(t, "z"))}
		here := Request{Line: angled(180), Limits: limits(), KeepOuts: []KeepOut{{ID: "D", At: vec(90, 2, 0), Radius: 9}}}
		there := here
		there.Line.Points = slices.Clone(here.Line.Points)
		for i := range there.Line.Points {
			st := &there.Line.Points[i]
			st.Point, st.Along, st.Across, st.Axis = place.Apply(st.Point), place.Rotate(st.Along), place.Rotate(st.Across), place.Rotate(st.Axis)
		}
		there.KeepOuts = []KeepOut{{ID: "D", At: place.Apply(vec(90, 2, 0)), Radius: 9}}
		a, err := Lay(here)
		b, err2 := Lay(there)
		if err != nil || err2 != nil || len(a.Welds) != len(b.Welds) {
			t.Fatal(err, err2, len(a.Welds), len(b.Welds))
		}
		for i := range a.Welds {
			if place.Apply(a.Welds[i].Position).Distance(b.Welds[i].Position) > 1e-6 || a.Welds[i].Tack != b.Welds[i].Tack {
				t.Fatalf("weld %d: %v became %v", i, a.Welds[i], b.Welds[i])
			}
		}
	})
}

// Whatever is asked for: welds grow along the line, keep out of keep-outs, keep the least pitch, and every
// pitch above the wanted one is said, with its place.
func TestWhateverIsAsked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 11)))
		out, err := Lay(r)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := Lay(r)
		if !reflect.DeepEqual(out, again) {
			t.Fatal("the same request was laid out twice in two ways")
		}
		full, _, _ := r.completed()
		for i, w := range out.Welds {
			for _, b := range full.balls() {
				inside := w.Position.Distance(b.at) < b.radius-1e-3
				if inside && !b.clamp {
					t.Fatalf("weld at %g is in %s", w.S, b.id)
				}
				if inside != slices.Contains(w.Clamps, b.id) && !(math.Abs(w.Position.Distance(b.at)-b.radius) <= 1e-3) && b.clamp {
					t.Fatalf("weld at %g waits for %v; %s %v", w.S, w.Clamps, b.id, inside)
				}
			}
			if i > 0 && w.S <= out.Welds[i-1].S {
				t.Fatalf("weld %d at %g follows %g", i, w.S, out.Welds[i-1].S)
			}
		}
		if len(out.Welds) > 1 && out.Pitch.Least < r.Limits.LeastPitch.Value-1e-5 {
			t.Fatalf("pitch %v", out.Pitch)
		}
		if (out.Pitch.Greatest > out.Wanted+1e-5) != (len(problems(out, PitchAbove)) > 0) {
			t.Fatalf("pitch %v of %g, problems %v", out.Pitch, out.Wanted, out.Problems)
		}
		if short := max(r.Count, r.LoadCount) > len(out.Welds); short && len(problems(out, CountShort))+len(problems(out, LoadWish)) == 0 {
			t.Fatalf("%d welds of %d and %d asked for, and nothing said", len(out.Welds), r.Count, r.LoadCount)
		}
		if len(out.Welds) == 0 && len(problems(out, Blocked)) == 0 {
			t.Fatal("no weld, and nothing said")
		}
	})
}

func drawRequest(rng *rand.Rand) Request {
	lines := []Line{straight(20 + 400*rng.Float64()), ringLine(5 + 80*rng.Float64()), angled(10 + 150*rng.Float64())}
	r := Request{Line: lines[rng.IntN(3)], Limits: limits(), Pitch: []float64{0, 25, 33}[rng.IntN(3)], Count: rng.IntN(20),
		LoadCount: rng.IntN(20)}
	for i := range rng.IntN(6) {
		at := r.Line.Points[rng.IntN(len(r.Line.Points))].Point
		until := []Until{Always, Release}[rng.IntN(2)]
		r.KeepOuts = append(r.KeepOuts, KeepOut{ID: string(rune('A' + i)), At: at.Add(vec(3*rng.Float64(), 3*rng.Float64(), 0)),
			Radius: 20 * rng.Float64(), Until: until, Hole: rng.IntN(3) == 0})
	}
	return r
}
