package parting

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/flange"
	"seamwright/layout/spots"
	"seamwright/layout/spots/sample"
)

// strip is a straight line between two points, in the x-y plane.
func strip(id string, from, to r3.Vector, sheets ...string) spots.Line {
	d := to.Sub(from)
	length := d.Norm()
	t := d.Mul(1 / length)
	return spots.Line{ID: id, Sheets: sheets, Points: sample.Along(length, false, 8, func(s float64) (p, al, axis r3.Vector) {
		return from.Add(t.Mul(s)), t, vec(0, 0, 1)
	})}
}

func separate(t testing.TB, requests ...spots.Request) (before, after []spots.Layout) {
	t.Helper()
	for _, r := range requests {
		before = append(before, lay(t, r))
	}
	after, err := Separate(context.Background(), requests, before, nil)
	if err != nil {
		t.Fatal(err)
	}
	return before, after
}

func nearest(a, b spots.Layout) float64 {
	least := math.Inf(1)
	for _, v := range a.Welds {
		for _, w := range b.Welds {
			least = math.Min(least, v.Position.Distance(w.Position))
		}
	}
	return least
}

func TestSeparateAtACorner(t *testing.T) {
	// Two flanges meet at right angles; their end welds are 10 mm from the corner each: 14.1 mm apart, 15 wanted.
	a := spots.Request{Line: strip("a", vec(0, 0, 0), vec(300, 0, 0), "roof", "left"), Limits: sample.Limits()}
	b := spots.Request{Line: strip("b", vec(0, 0, 0), vec(0, 290, 0), "roof", "front"), Limits: sample.Limits()}
	before, after := separate(t, a, b)
	if d := nearest(before[0], before[1]); d > 14.2 {
		t.Fatalf("welds start out %g apart", d)
	}
	if d := nearest(after[0], after[1]); d < 15-1e-6 {
		t.Errorf("welds are %g apart", d)
	}
	for i := range after {
		if len(after[i].Welds) < len(before[i].Welds) || len(after[i].Problems) > 0 || after[i].Pitch.Greatest > 40+1e-6 {
			t.Errorf("line %d: %d welds of %d, pitch %v, %v", i, len(after[i].Welds), len(before[i].Welds), after[i].Pitch, after[i].Problems)
		}
	}
}

func TestSeparateOnlyLinesThatShareASheet(t *testing.T) {
	a := spots.Request{Line: strip("a", vec(0, 0, 0), vec(300, 0, 0), "roof", "left"), Limits: sample.Limits()}
	b := spots.Request{Line: strip("b", vec(0, 0, 0), vec(0, 290, 0), "floor", "front"), Limits: sample.Limits()}
	before, after := separate(t, a, b)
	if !reflect.DeepEqual(before, after) {
		t.Error("lines without a common sheet were moved")
	}
}

// Two short lines on top of each other leave no place to go: nothing is dropped, the conflict is said twice.
func TestSeparateSaysWhatItCannotResolve(t *testing.T) {
	a := spots.Request{Line: strip("a", vec(0, 0, 0), vec(60, 0, 0), "roof", "left"), Limits: sample.Limits()}
	b := spots.Request{Line: strip("b", vec(0, 3, 0), vec(60, 3, 0), "roof", "front"), Limits: sample.Limits()}
	before, after := separate(t, a, b)
	for i := range after {
		if len(after[i].Welds) != len(before[i].Welds) {
			t.Errorf("line %d lost welds", i)
		}
		if len(problems(after[i], spots.TooNear)) == 0 {
			t.Errorf("line %d: the conflict is not said: %v", i, after[i].Problems)
		}
	}
	if p := problems(after[0], spots.TooNear)[0]; p.Other != "b" || p.Limit != 15 || p.Value > 15 {
		t.Errorf("problem %+v", p)
	}
}

func TestSeparateCrossingLines(t *testing.T) {
	a := spots.Request{Line: strip("a", vec(0, 0, 0), vec(300, 0, 0), "roof", "left"), Limits: sample.Limits()}
	b := spots.Request{Line: strip("b", vec(130, -130, 0), vec(130, 160, 0), "roof", "post"), Limits: sample.Limits()}
	before, after := separate(t, a, b)
	if d := nearest(before[0], before[1]); d >= 15 {
		t.Fatalf("welds start out %g apart", d)
	}
	if d := nearest(after[0], after[1]); d < 15-1e-6 {
		t.Errorf("welds are %g apart", d)
	}
}

// A line that folds back on itself is looked at in space.
func TestSeparateLooksAtOneLineInSpace(t *testing.T) {
	hairpin := spots.Line{ID: "h", Sheets: []string{"a"}, Points: sample.Along(2*200+math.Pi*5, false, 3,
		func(s float64) (p, al, axis r3.Vector) {
			up := vec(0, 0, 1)
			switch {
			case s <= 200:
				return vec(s, 0, 0), vec(1, 0, 0), up
			case s >= 200+math.Pi*5:
				return vec(400+math.Pi*5-s, 10, 0), vec(-1, 0, 0), up
			}
			sin, cos := math.Sincos((s - 200) / 5)
			return vec(200+5*sin, 5-5*cos, 0), vec(cos, sin, 0), up
		})}
	_, after := separate(t, spots.Request{Line: hairpin, Limits: sample.Limits()})
	if len(problems(after[0], spots.TooNear)) == 0 {
		t.Errorf("legs 10 mm apart: %v", after[0].Problems)
	}
}

func TestSeparateRefusesForeignLayouts(t *testing.T) {
	if _, err := Separate(context.Background(), []spots.Request{{Line: straight(100), Limits: sample.Limits()}}, nil, nil); err == nil {
		t.Error("no error for a missing layout")
	}
	if _, err := Separate(context.Background(), []spots.Request{{Limits: sample.Limits()}}, make([]spots.Layout, 1), nil); err == nil {
		t.Error("no error for a line without points")
	}
}

// On any set of lines: no weld is lost, no line breaks a limit that it kept, conflicts get no more, and
// every one that stays is said.
func TestSeparateNeverMakesItWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 9))
		requests := randomLines(rng, 2+rng.IntN(5))
		var before []spots.Layout
		for _, r := range requests {
			l, err := spots.Lay(r)
			if err != nil {
				t.Fatal(err)
			}
			before = append(before, l)
		}
		after, err := Separate(context.Background(), requests, before, nil)
		if err != nil {
			t.Fatal(err)
		}
		said := 0
		for i := range after {
			if !noWorse(before[i], after[i]) {
				t.Fatalf("line %d: %d welds %v became %d welds %v", i, len(before[i].Welds), before[i].Problems, len(after[i].Welds), after[i].Problems)
			}
			said += len(problems(after[i], spots.TooNear))
		}
		if a, b := countNear(requests, after), countNear(requests, before); a > b || said != 2*a {
			t.Fatalf("%d conflicts became %d, %d said", b, a, said)
		}
	})
}

// Two or three flanges that meet at a corner at any angles: where places for their end welds can be found by trying them all,
// they are found.
func TestSeparateFindsWhatThereIs(t *testing.T) {
	conflicts, solved := 0, 0
	for seed := range 600 {
		rng := rand.New(rand.NewPCG(uint64(seed), 4))
		var requests []spots.Request
		var before []spots.Layout
		var way []r3.Vector
		for i := range 2 + rng.IntN(2) {
			sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
			way = append(way, vec(cos, sin, 0))
			l := strip(string(rune('a'+i)), vec(0, 0, 0), way[i].Mul(100+200*rng.Float64()), "s", string(rune('p'+i)))
			requests = append(requests, spots.Request{Line: l, Limits: sample.Limits()})
			before = append(before, lay(t, requests[i]))
		}
		if countNear(requests, before) == 0 {
			continue
		}
		conflicts++
		after, err := Separate(context.Background(), requests, before, nil)
		if err != nil {
			t.Fatal(err)
		}
		if countNear(requests, after) == 0 {
			solved++
		} else if places := endPlaces(way, nil); places != nil {
			t.Errorf("seed %d: %d conflicts stay; end welds at %v from the corner have none", seed, countNear(requests, after), places)
		}
	}
	if solved < conflicts/4 {
		t.Errorf("%d of %d corners were solved", solved, conflicts)
	}
}

// endPlaces tries places for the end welds of lines out of a corner, 10 to 20 mm from it, with the next ones a pitch behind.
func endPlaces(way []r3.Vector, have []float64) []float64 {
	i := len(have)
	if i == len(way) {
		return have
	}
	for d := 10.0; d <= 20; d += 0.5 {
		clear := true
		for k, e := range have {
			for n := range 4 {
				p, q := way[i].Mul(d+40*float64(n%2)), way[k].Mul(e+40*float64(n/2))
				clear = clear && p.Distance(q) > 15.01
			}
		}
		if clear {
			if all := endPlaces(way, append(have[:i:i], d)); all != nil {
				return all
			}
		}
	}
	return nil
}

// countNear counts pairs of welds of different lines that are too near, one by one.
func countNear(requests []spots.Request, layouts []spots.Layout) int {
	n := 0
	for i := range layouts {
		for k := i + 1; k < len(layouts); k++ {
			shared := false
			for _, s := range requests[i].Line.Sheets {
				for _, o := range requests[k].Line.Sheets {
					shared = shared || s == o
				}
			}
			for _, v := range layouts[i].Welds {
				for _, w := range layouts[k].Welds {
					if shared && v.Position.Distance(w.Position) < 15-1e-6 {
						n++
					}
				}
			}
		}
	}
	return n
}

func randomLines(rng *rand.Rand, n int) []spots.Request {
	var out []spots.Request
	corner := vec(0, 0, 0)
	spread := 200 * math.Sqrt(float64(n))
	for i := range n {
		to := corner.Add(vec(400*rng.Float64()-200, 400*rng.Float64()-200, 0))
		if to.Distance(corner) < 40 {
			to = corner.Add(vec(60, 10, 0))
		}
		l := strip(string(rune('a'+i)), corner, to, "s"+string(rune('0'+i%3)), "s"+string(rune('0'+(i+1)%3)))
		for k := range l.Points {
			l.Points[k].LeftEdge, l.Points[k].RightEdge = flange.FreeEdge, flange.FreeEdge
		}
		out = append(out, spots.Request{Line: l, Limits: sample.Limits()})
		switch rng.IntN(4) {
		case 0, 1:
			corner = to
		case 2:
			corner = vec(spread*rng.Float64(), spread*rng.Float64(), 0)
		}
	}
	return out
}
