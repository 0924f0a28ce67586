package spots

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"seamwright/geometry/flange"
	"seamwright/layout/pitch"
	"seamwright/layout/spots/sample"
)

// apart are round figures for tests: welds side by side 15 mm apart, staggered rows 8 mm.
func apart() RowLimits { return RowLimits{Least: 15, Staggered: 8, Greatest: 30} }

// broad is a strip along x between a free edge and a bend, so wide on either side of the line.
func broad(length, side float64) Line {
	return Line{ID: "f1", Sheets: []string{"a", "b"}, Points: sample.Broad(length, side)}
}

// failer is what a test and a property test have in common.
type failer interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

// keepsRows wants every rule of two rows kept, each looked at one by one.
func keepsRows(t failer, r Request, out Layout) {
	t.Helper()
	r, _, err := r.completed()
	if err != nil {
		t.Fatal(err)
	}
	least := r.Limits.LeastPitch.Value
	for i, v := range out.Welds {
		for _, b := range r.balls() {
			if !b.clamp && v.Position.Distance(b.at) < b.radius-1e-3 {
				t.Fatalf("weld at %g of row %d is in %s", v.S, v.Row, b.id)
			}
		}
		st := nearestPoint(r.Line, v.S)
		if v.Left < r.keepFrom(st.LeftEdge)-0.1 || v.Right < r.keepFrom(st.RightEdge)-0.1 {
			t.Fatalf("weld at %g of row %d is %g and %g from the sides", v.S, v.Row, v.Left, v.Right)
		}
		for _, w := range out.Welds[i+1:] {
			turned := v.Along.Dot(w.Along) < math.Cos(CornerTurn*math.Pi/180)
			if turned && v.Row == w.Row && v.Row == 0 { // neighbours round a corner are Separate's
				continue
			}
			arc := 1.0
			if half := v.Along.Angle(w.Along).Radians() / 2; v.Row == w.Row && half > 0 {
				arc = half / math.Sin(half)
			}
			if d := v.Position.Distance(w.Position) * arc; d < least*(1-2e-3) {
				t.Fatalf("welds at %g of row %d and at %g of row %d are %g apart", v.S, v.Row, w.S, w.Row, d)
			}
			if v.Row*w.Row == 2 && math.Abs(v.S-w.S) < r.Limits.WeldDiameter.Value-1e-6 && math.Abs(v.Offset-w.Offset) < r.Apart.Least-0.1 {
				t.Fatalf("welds side by side at %g are %g apart", v.S, v.Offset-w.Offset)
			}
		}
		if i > 0 && v.S < out.Welds[i-1].S-pitch.Tiny { // nearer than that they are at one place, the rows by turns
			t.Fatalf("weld %d at %g follows %g", i, v.S, out.Welds[i-1].S)
		}
	}
}

func nearestPoint(l Line, s float64) flange.LinePoint {
	best := l.Points[0]
	for _, st := range l.Points {
		if math.Abs(st.S-s) < math.Abs(best.S-s) {
			best = st
		}
	}
	return best
}

func rowsOf(out Layout) (n [3]int) {
	for _, w := range out.Welds {
		n[w.Row]++
	}
	return n
}

// One row holds 1 + 280/15 = 19 welds on 300 mm; the load needs 30.
func TestTwoRowsWhereOneDoesNotHold(t *testing.T) {
	r := Request{Line: broad(300, 20), Limits: limits(), Apart: apart(), LoadCount: 19}
	if out := lay(t, r); len(out.Welds) != 19 || rowsOf(out)[0] != 19 {
		t.Errorf("19 welds fit in one row: %v", rowsOf(out))
	}
	r.LoadCount = 30
	out := lay(t, r)
	keepsRows(t, r, out)
	if n := rowsOf(out); len(out.Welds) != 30 || n[0] != 0 || n[1] != 15 || len(out.Problems) > 0 {
		t.Errorf("%v, %v", n, out.Problems)
	}
	for i := 1; i < len(out.Welds); i++ { // evenly staggered
		if d := out.Welds[i].S - out.Welds[i-1].S; !near(d, 280.0/29, 1e-6) || out.Welds[i].Row == out.Welds[i-1].Row {
			t.Errorf("weld %d: %g after the one before, rows %d and %d", i, d, out.Welds[i-1].Row, out.Welds[i].Row)
		}
	}
	r.Rows = 1
	if out := lay(t, r); len(out.Welds) != 19 || len(problems(out, LoadWish)) != 1 || len(problems(out, NarrowRows)) != 0 {
		t.Errorf("one row and no more: %d welds, %v", len(out.Welds), out.Problems)
	}
}

// Side by side 2 x 19 = 38 welds fit; staggered 1 + 2 x 280/15 = 38: only the last of them stands side by side where the
// length is a whole number of pitches.
func TestSideBySideWhereStaggeredDoesNotHold(t *testing.T) {
	r := Request{Line: broad(290, 20), Limits: limits(), Apart: apart(), Count: 38} // 270 = 18 x 15
	out := lay(t, r)
	keepsRows(t, r, out)
	if n := rowsOf(out); n != [3]int{0, 19, 19} || len(problems(out, CountShort)) > 0 {
		t.Errorf("%v, %v", n, out.Problems)
	}
	if a, b := out.Welds[0], out.Welds[1]; a.S != b.S || !near(b.Offset-a.Offset, 15, 1e-9) {
		t.Errorf("%+v and %+v", a, b)
	}
	r.Count, r.Rows = 39, 2
	if out = lay(t, r); len(out.Welds) != 38 || len(problems(out, CountShort)) != 1 || len(problems(out, NarrowRows)) != 0 {
		t.Errorf("%d welds, %v", len(out.Welds), out.Problems)
	}
}

// 38 mm across hold three rows side by side, and so more welds than two; what is not wanted is left out of the
// middle one, and only as many rows are laid as it takes.
func TestMoreThanTwoRows(t *testing.T) {
	for _, c := range []struct {
		count, rows int
	}{{19, 0}, {20, 2}, {38, 2}, {39, 3}, {45, 3}, {57, 3}} {
		r := Request{Line: broad(290, 24), Limits: limits(), Apart: apart(), Count: c.count} // 48 mm less 6 from the edge and 4 from the bend
		out := lay(t, r)
		last := 0
		for i, w := range out.Welds {
			last = max(last, w.Row)
			if w.Offset > 18+1e-9 || w.Offset < -20-1e-9 {
				t.Errorf("%d: weld %d is %g mm off the line", c.count, i, w.Offset)
			}
			for k, o := range out.Welds[:i] {
				if d := w.Position.Distance(o.Position); d < 15-slack-1e-9 {
					t.Errorf("%d: welds %d and %d are %g mm apart", c.count, k, i, d)
				}
			}
		}
		if len(out.Welds) != c.count || last != c.rows || len(problems(out, CountShort)) > 0 {
			t.Errorf("%d welds of %d in %d rows of %d: %v", len(out.Welds), c.count, last, c.rows, out.Problems)
		}
	}
	r := Request{Line: broad(290, 24), Limits: limits(), Apart: apart(), Count: 69}
	if out := lay(t, r); len(out.Welds) != 68 || // 4 rows 12.67 mm apart in 34 columns
		len(problems(out, CountShort)) != 1 {
		t.Errorf("%d welds, %v", len(out.Welds), out.Problems)
	}
	wide := ringLine(200)
	for i := range wide.Points {
		wide.Points[i].Left, wide.Points[i].Right = 24, 24
	}
	ring := Request{Line: wide, Limits: limits(), Apart: apart(), Count: 180}
	if out := lay(t, ring); len(out.Welds) != 180 || len(problems(out, CountShort)) > 0 {
		t.Errorf("round: %d welds, %v", len(out.Welds), out.Problems)
	}
}

// 6 mm from the edge and 4 from the bend leave 10 mm of 20: too little for welds side by side, enough for rows 10 mm apart
// and 11.2 mm aslant along the line.
func TestStaggeredRowsOnANarrowStrip(t *testing.T) {
	r := Request{Line: broad(300, 10), Limits: limits(), Apart: apart(), LoadCount: 25}
	out := lay(t, r)
	keepsRows(t, r, out)
	if n := rowsOf(out); len(out.Welds) != 25 || n[0] != 0 || len(out.Problems) != 0 {
		t.Fatalf("%v %v", n, out.Problems)
	}
	if d := out.Welds[1].Offset - out.Welds[0].Offset; !(math.Abs(d) <= 10+slack) || math.Abs(d) < 8 {
		t.Errorf("rows %g apart", d)
	}
	// The shell's rule is kept to the last weld: 280/sqrt(15² - 10²) = 25.04.
	r.LoadCount = 60
	out = lay(t, r)
	keepsRows(t, r, out)
	if len(out.Welds) != 26 || len(problems(out, LoadWish)) != 1 {
		t.Errorf("%d welds, %v", len(out.Welds), out.Problems)
	}
}

// Between 120 and 180 mm the strip is too narrow for two rows: they stand on both sides of it, and it is said.
func TestRowsOnlyWhereWide(t *testing.T) {
	l := broad(300, 20)
	for i := range l.Points {
		if s := l.Points[i].S; s >= 120 && s <= 180 {
			l.Points[i].Left, l.Points[i].Right = 7, 7
		}
	}
	r := Request{Line: l, Limits: limits(), Apart: apart(), LoadCount: 26}
	out := lay(t, r)
	keepsRows(t, r, out)
	if len(out.Welds) != 26 || len(problems(out, LoadWish)) != 0 || len(problems(out, NarrowRows)) != 0 {
		t.Errorf("%d welds: %v", len(out.Welds), out.Problems)
	}
	for _, w := range out.Welds {
		if inside := w.S > 119 && w.S < 181; inside != (w.Row == 0) && w.Row != 1 && inside {
			t.Errorf("weld at %g in row %d", w.S, w.Row)
		}
	}
	r.LoadCount = 60
	out = lay(t, r)
	keepsRows(t, r, out)
	p := problems(out, NarrowRows)
	if len(p) != 1 || p[0].From != 120 || p[0].To != 180 || p[0].Value != 14 || p[0].Limit != 18 || len(problems(out, LoadWish)) != 1 {
		t.Fatalf("%v", out.Problems)
	}
	if p[0].Line != "f1" || p[0].Rows != 2 {
		t.Errorf("%+v, want line f1 and two rows", p[0])
	}
}

func TestRowsAskedFor(t *testing.T) {
	r := Request{Line: broad(300, 20), Limits: limits(), Apart: apart(), Rows: 2}
	out := lay(t, r)
	keepsRows(t, r, out)
	// 280/14 = 20, two of them in each row
	if n := rowsOf(out); n[0] != 0 || len(out.Welds) != 15 || out.Pitch.Greatest > 40+1e-6 || len(out.Problems) != 0 {
		t.Errorf("%v %v %v", n, out.Pitch, out.Problems)
	}
	// A strip that is broad for half its length.
	for i := range r.Line.Points {
		if r.Line.Points[i].S > 150 {
			r.Line.Points[i].Left, r.Line.Points[i].Right = 8, 8
		}
	}
	out = lay(t, r)
	keepsRows(t, r, out)
	if n := rowsOf(out); n[2] < 2 || n[0] < 2 || out.Pitch.Greatest > 40+1e-6 || len(problems(out, NarrowRows)) != 1 {
		t.Errorf("%v %v %v", n, out.Pitch, out.Problems)
	}
}

// On a strip that is broad up to 150 mm two rows of ten stand 15 mm apart from 10 to 145, and a single one of nine goes on from 160 to 280:
// no more than these hold, and no fewer are laid.
func TestMostWhereBroadForHalf(t *testing.T) {
	r := Request{Line: broad(290, 20), Limits: limits(), Apart: apart(), Rows: 2, Count: 400}
	for i := range r.Line.Points {
		if r.Line.Points[i].S > 150 {
			r.Line.Points[i].Left, r.Line.Points[i].Right = 8, 8
		}
	}
	out := lay(t, r)
	keepsRows(t, r, out)
	if n := rowsOf(out); n != [3]int{9, 10, 10} || !near(out.Pitch.Greatest, 15, 1e-6) || len(problems(out, CountShort)) != 1 {
		t.Errorf("%v %v %v", n, out.Pitch, out.Problems)
	}
}

// Staggered rows 15 mm apart in 15 columns 280/14 = 20 mm apart; with a count, what is not wanted comes out of the inner rows, and none
// of them is empty. Where they do not fit it is as many as do, and said.
func TestMoreRowsAskedFor(t *testing.T) {
	for _, c := range []struct {
		name        string
		side        float64
		r           Request
		welds, rows int
		narrow      int
	}{
		{"three by the pitch", 20, Request{Rows: 3}, 22, 3, 0},
		{"four by the pitch", 27, Request{Rows: 4}, 30, 4, 0},
		{"three with a count", 20, Request{Rows: 3, Count: 22}, 22, 3, 0},
		{"three with few welds", 20, Request{Rows: 3, Count: 4}, 4, 3, 0},
		{"three 12 mm apart", 20, Request{Rows: 3, RowApart: 12}, 22, 3, 0},
		{"three for a load", 20, Request{Rows: 3, LoadCount: 30}, 30, 3, 0},
		{"seven on a broad strip", 60, Request{Rows: 7}, 52, 7, 0},
		{"three where two fit", 10, Request{Rows: 3}, 15, 2, 1},
		{"three where 14 mm apart does not fit", 15, Request{Rows: 3, RowApart: 14}, 15, 2, 1},
	} {
		c.r.Line, c.r.Limits, c.r.Apart = broad(300, c.side), limits(), apart()
		out := lay(t, c.r)
		keepsRows(t, c.r, out)
		rows := map[int]bool{}
		for _, w := range out.Welds {
			rows[w.Row] = true
		}
		if len(out.Welds) != c.welds || len(rows) != c.rows || len(problems(out, NarrowRows)) != c.narrow {
			t.Errorf("%s: %d welds in rows %v, want %d in %d: %v", c.name, len(out.Welds), rows, c.welds, c.rows, out.Problems)
		}
		for _, p := range problems(out, NarrowRows) {
			if p.Rows != 3 {
				t.Errorf("%s: %v", c.name, p)
			}
		}
	}
}

// Places of two rows are laid as they are, but for what lies on a keep-out or off the strip's room.
func TestPlacesInRows(t *testing.T) {
	places := []Place{{S: 40, Offset: -6, Row: 1}, {S: 20, Offset: 5, Row: 2}, {S: 80, Offset: -8, Row: 1}, {S: 60, Offset: 7, Row: 2},
		{S: 200, Offset: 0}, {S: 100, Offset: 40, Row: 2}}
	r := Request{Line: broad(300, 20), Limits: limits(), Apart: apart(), InRows: places,
		KeepOuts: []KeepOut{{ID: "clip", At: vec(80, -8, 0), Radius: 3}}}
	out := lay(t, r)
	want := []Place{{20, 5, 2}, {40, -6, 1}, {60, 7, 2}, {200, 0, 0}}
	if len(out.Welds) != len(want) {
		t.Fatalf("%+v", out.Welds)
	}
	for i, w := range out.Welds {
		at := want[i]
		if !near(w.S, at.S, 1e-9) || !near(w.Offset, at.Offset, 0.5) || w.Row != at.Row || !near(w.Position.Y, w.Offset, 1e-9) {
			t.Errorf("%+v, want %+v", w, at)
		}
	}
	r.InRows = []Place{}
	if out := lay(t, r); len(out.Welds) != 0 || len(problems(out, Blocked)) != 1 {
		t.Errorf("no places: %+v", out)
	}
}

func TestRowsRoundARing(t *testing.T) {
	l := ringLine(60)
	for i := range l.Points {
		l.Points[i].Left, l.Points[i].Right = 18, 18
	}
	r := Request{Line: l, Limits: limits(), Apart: apart(), LoadCount: 31}
	r.KeepOuts = []KeepOut{{ID: "D", At: vec(60, 0, 0), Radius: 1}}
	out := lay(t, r)
	keepsRows(t, r, out)
	if n := rowsOf(out); len(out.Welds) != 32 || n[1] != 16 || len(problems(out, LoadWish)) > 0 {
		t.Errorf("%v %v", n, out.Problems)
	}
	for i, w := range out.Welds {
		next := out.Welds[(i+2)%len(out.Welds)]
		if w.Row == 0 || w.Row != next.Row || w.Position.Distance(next.Position) < 15-1e-6 {
			t.Errorf("weld %d of row %d and %d of row %d: %g apart", i, w.Row, i+2, next.Row, w.Position.Distance(next.Position))
		}
	}
}

// drawRows is a request for rows on a strip, which may be jagged.
func drawRows(rng *rand.Rand) (r Request, jagged bool) {
	lines := []Line{broad(60+300*rng.Float64(), 7+15*rng.Float64()), ringLine(40 + 60*rng.Float64()), angled(60 + 60*rng.Float64())}
	r = Request{Line: lines[rng.IntN(3)], Limits: limits(), Apart: apart(), LoadCount: rng.IntN(40), Rows: rng.IntN(3)}
	jagged = rng.IntN(2) == 0
	for i := range r.Line.Points {
		if r.Line.ID != "f1" {
			r.Line.Points[i].Left, r.Line.Points[i].Right = 14, 14
		} else if jagged && rng.IntN(20) == 0 {
			r.Line.Points[i].Left -= 3 * rng.Float64()
		}
	}
	for i := range rng.IntN(4) {
		at := r.Line.Points[rng.IntN(len(r.Line.Points))].Point
		r.KeepOuts = append(r.KeepOuts, KeepOut{ID: string(rune('A' + i)), At: at.Add(vec(12*rng.Float64(), 12*rng.Float64(), 0)),
			Radius: 12 * rng.Float64(), Until: []Until{Always, Release}[rng.IntN(2)]})
	}
	return r, jagged
}

// Two rows keep their rules whatever is in the way, hold what is asked where that fits, and are no fewer than one row.
func TestRowsWhateverIsAsked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 21))
		r, jagged := drawRows(rng)
		out, err := Lay(r)
		if err != nil {
			t.Fatal(err)
		}
		single := r
		single.Rows = 1
		one, err := Lay(single)
		if err != nil {
			t.Fatal(err)
		}
		two := false
		for _, w := range out.Welds {
			two = two || w.Row > 0
		}
		if !two {
			if len(out.Welds) != len(one.Welds) {
				t.Fatalf("%d welds in one row, %d without rows", len(out.Welds), len(one.Welds))
			}
			return
		}
		if r.Rows == 1 || r.Rows == 0 && (len(one.Welds) >= r.LoadCount || len(out.Welds) <= len(one.Welds)) {
			t.Fatalf("rows %d: %d welds of %d, one row has %d", r.Rows, len(out.Welds), r.LoadCount, len(one.Welds))
		}
		keepsRows(t, r, out)
		if most := mostRows(r); r.Line.ID == "f1" && !jagged && len(out.Welds) < min(r.LoadCount, most) {
			t.Fatalf("%d welds of %d, %d fit", len(out.Welds), r.LoadCount, most)
		}
		if short := r.LoadCount > len(out.Welds); short != (len(problems(out, LoadWish)) > 0) {
			t.Fatalf("%d welds of %d: %v", len(out.Welds), r.LoadCount, out.Problems)
		}
	})
}

// mostRows is the most welds that two rows hold on a straight line at any of the distances.
func mostRows(r Request) int {
	r, _, _ = r.completed()
	offset, _ := r.offsets()
	j := job{Request: r, track: newTrack(r.Line, offset)}
	most := 0
	for _, d := range j.distances(2) {
		for _, a := range j.newPair(2, d, 1, r.balls()).Irregular(math.MaxInt) { // as many as fit
			most = max(most, len(a.At))
		}
	}
	return most
}
