package parting

import (
	"context"
	"reflect"
	"testing"

	"seamwright/layout/spots"
	"seamwright/layout/spots/sample"
)

// Two rows at the least pitch round a ring are neighbours along it: nothing is too near, and nothing is moved.
func TestSeparateLeavesTwoRowsAlone(t *testing.T) {
	ring := spots.Line{ID: "ring", Sheets: []string{"a", "b"}, Closed: true, Points: sample.Ring(60, 18)}
	broad := spots.Line{ID: "f1", Sheets: []string{"a", "b"}, Points: sample.Broad(300, 20)}
	rows := spots.RowLimits{Least: 15, Staggered: 8, Greatest: 30}
	for _, r := range []spots.Request{
		{Line: ring, Limits: sample.Limits(), Apart: rows, LoadCount: 44}, {Line: broad, Limits: sample.Limits(), Apart: rows, LoadCount: 37},
	} {
		before := []spots.Layout{lay(t, r)}
		after, err := Separate(context.Background(), []spots.Request{r}, before, nil)
		second := 0
		for _, w := range before[0].Welds {
			if w.Row == 2 {
				second++
			}
		}
		if err != nil || second < 15 || len(problems(after[0], spots.TooNear)) > 0 || !reflect.DeepEqual(before, after) {
			t.Errorf("%d in the second row: %v", second, after[0].Problems)
		}
	}
}

// Welds at given places stay when a neighbour comes too near: the neighbour moves.
func TestGivenPlacesStayWhenLinesAreSeparated(t *testing.T) {
	given := spots.Request{Line: straight(200), Limits: sample.Limits(), Places: []float64{30, 84, 138, 170}}
	other := spots.Request{Line: straight(200), Limits: sample.Limits()}
	other.Line.ID = "f2"
	for i := range other.Line.Points {
		other.Line.Points[i].Point.Y = 12
	}
	requests := []spots.Request{given, other}
	before := []spots.Layout{lay(t, given), lay(t, other)}
	after, err := Separate(context.Background(), requests, before, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range after[0].Welds {
		if w.S != given.Places[i] {
			t.Errorf("weld %d moved from %v to %v", i, given.Places[i], w.S)
		}
	}
	conflicts := func(ls []spots.Layout) (n int) {
		for _, a := range ls[0].Welds {
			for _, b := range ls[1].Welds {
				if a.Position.Distance(b.Position) < 15 {
					n++
				}
			}
		}
		return n
	}
	if conflicts(before) == 0 || conflicts(after) >= conflicts(before) {
		t.Errorf("%d conflicts before, %d after", conflicts(before), conflicts(after))
	}
}
