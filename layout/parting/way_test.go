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

// onFold is a line along y on a sheet that is bent square at u = 0, at a distance from the bend on one or the other leg.
func onFold(id string, u, from, to float64, sheets ...string) spots.Line {
	return spots.Line{ID: id, Sheets: sheets, Points: sample.Along(to-from, false, 8, func(s float64) (p, t, axis r3.Vector) {
		if u > 0 {
			return vec(0, from+s, u), vec(0, 1, 0), vec(-1, 0, 0)
		}
		return vec(u, from+s, 0), vec(0, 1, 0), vec(0, 0, 1)
	})}
}

// unrolled measures on the bent sheet laid out flat.
func unrolled(_ string, from r3.Vector, _ float64) func(r3.Vector) float64 {
	flat := func(p r3.Vector) r3.Vector { return vec(p.X+p.Z, p.Y, 0) }
	return func(to r3.Vector) float64 { return flat(from).Distance(flat(to)) }
}

// Two flanges on both legs of a square bend: welds opposite each other are 16 mm apart along the sheet and 11.3 mm straight,
// 15 mm are wanted. Only straight do they have to move.
func TestSeparateMeasuresAlongTheSheet(t *testing.T) {
	requests := []spots.Request{
		{Line: onFold("a", -8, 0, 300, "bent", "left"), Limits: sample.Limits()},
		{Line: onFold("b", 8, 0, 300, "bent", "right"), Limits: sample.Limits()},
	}
	var before []spots.Layout
	for _, r := range requests {
		before = append(before, lay(t, r))
	}
	if d := nearest(before[0], before[1]); math.Abs(d-8*math.Sqrt2) > 1e-9 {
		t.Fatalf("welds start out %g apart", d)
	}
	after, err := Separate(context.Background(), requests, before, unrolled)
	if err != nil || !reflect.DeepEqual(before, after) {
		t.Errorf("16 mm along the sheet were moved apart: %v", err)
	}
	if after, err = Separate(context.Background(), requests, before, nil); err != nil || reflect.DeepEqual(before, after) {
		t.Errorf("11.3 mm straight were not: %v", err)
	}
	// 14 mm along the sheet are too little: they move, and no farther than along the sheet is asked for.
	requests[0].Line, requests[1].Line = onFold("a", -7, 0, 300, "bent", "left"), onFold("b", 7, 0, 300, "bent", "right")
	before = []spots.Layout{lay(t, requests[0]), lay(t, requests[1])}
	if after, err = Separate(context.Background(), requests, before, unrolled); err != nil {
		t.Fatal(err)
	}
	least := math.Inf(1)
	for _, v := range after[0].Welds {
		for _, w := range after[1].Welds {
			least = math.Min(least, unrolled("", v.Position, 0)(w.Position))
		}
	}
	if least < 15-1e-6 || len(after[0].Welds)+len(after[1].Welds) < 16 || len(after[0].Problems)+len(after[1].Problems) > 0 {
		t.Errorf("%g mm along the sheet, %v %v", least, after[0].Problems, after[1].Problems)
	}
}

// On any lines on a bent sheet: nothing is lost, and what is nearer than the least pitch along the sheet is said, nothing else.
func TestSeparateOnABend(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		var requests []spots.Request
		var before []spots.Layout
		for i := range 2 + rng.IntN(3) {
			u := (5 + 10*rng.Float64()) * []float64{-1, 1}[i%2]
			from := 200 * rng.Float64()
			l := onFold(string(rune('a'+i)), u, from, from+60+200*rng.Float64(), "bent", string(rune('p'+i)))
			for k := range l.Points {
				l.Points[k].LeftEdge, l.Points[k].RightEdge = flange.FreeEdge, flange.FreeEdge
			}
			requests = append(requests, spots.Request{Line: l, Limits: sample.Limits()})
			one, err := spots.Lay(requests[i])
			if err != nil {
				t.Fatal(err)
			}
			before = append(before, one)
		}
		after, err := Separate(context.Background(), requests, before, unrolled)
		if err != nil {
			t.Fatal(err)
		}
		tooNear := func(all []spots.Layout) (n int) {
			for i := range all {
				for k := i + 1; k < len(all); k++ {
					for _, v := range all[i].Welds {
						for _, w := range all[k].Welds {
							if unrolled("", v.Position, 0)(w.Position) < 15-1e-6 {
								n++
							}
						}
					}
				}
			}
			return n
		}
		said := 0
		for i := range after {
			if !noWorse(before[i], after[i]) {
				t.Fatalf("line %d: %d welds became %d", i, len(before[i].Welds), len(after[i].Welds))
			}
			said += len(problems(after[i], spots.TooNear))
		}
		if a, b := tooNear(after), tooNear(before); a > b || said != 2*a {
			t.Fatalf("%d conflicts became %d, %d said", b, a, said)
		}
	})
}
