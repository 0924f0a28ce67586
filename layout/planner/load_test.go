package planner

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout/spots"
)

// Two flanges of the same length carry a joint; on one a keep-out takes most of the line. What it cannot hold the other takes.
func TestLoadIsTakenByWhatHasRoom(t *testing.T) {
	strips := []*strip{lineOf("blocked", 0, 300, 15, 40, "a", "b"), lineOf("free", 0, 300, 15, 40, "a", "b")}
	requests := []spots.Request{strips[0].request, strips[1].request}
	requests[0].KeepOuts = []spots.KeepOut{{ID: "bracket", At: r3.Vector{X: 130}, Radius: 110}}
	layouts := make([]spots.Layout, 2)
	got, err := raise(20, []float64{300, 300}, []int{0, 1}, strips, requests, layouts)
	if err != nil || got != 20 {
		t.Fatalf("%d welds, %v", got, err)
	}
	if a, b := len(layouts[0].Welds), len(layouts[1].Welds); a < 3 || a > 6 || b != 20-a {
		t.Errorf("%d and %d welds", a, b)
	}
	most := len(layouts[0].Welds) + 19
	if got, err = raise(100, []float64{300, 300}, []int{0, 1}, strips, requests, layouts); err != nil || got != most {
		t.Errorf("%d welds of 100, %d fit; %v", got, most, err)
	}
}
