package order

import (
	"fmt"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// alongs are the places of the tacks of one line in the order in which they are made.
func alongs(t *testing.T, pattern Pattern, around float64, places ...float64) []float64 {
	t.Helper()
	var stops []Stop
	for _, s := range places {
		stops = append(stops, Stop{ID: fmt.Sprint(s), Step: Tack, Position: r3.Vector{X: s}, Joint: "j", Flange: "f", Along: s, Gun: "a",
			Pattern: pattern, Around: around})
	}
	plan, err := Sequence(t.Context(), stops, Options{})
	if err != nil || len(plan.Runs) != 1 {
		t.Fatalf("%v, %v", plan, err)
	}
	var out []float64
	for _, i := range plan.Order {
		out = append(out, stops[i].Along)
	}
	return out
}

func TestTacksByTheirRule(t *testing.T) {
	for _, c := range []struct {
		pattern Pattern
		around  float64
		places  []float64
		want    [][]float64 // either
	}{
		{Quarters, 400, []float64{0, 100, 200, 300}, [][]float64{{0, 200, 100, 300}, {300, 100, 0, 200}}},
		{Quarters, 800, []float64{0, 100, 200, 300, 400, 500, 600, 700}, [][]float64{{0, 400, 200, 600, 100, 500, 300, 700},
			{700, 300, 100, 500, 0, 400, 200, 600}}},
		{Quarters, 300, []float64{0, 100, 200}, [][]float64{{0, 100, 200}, {200, 100, 0}}}, // three: there are no quarters
		{Quarters, 0, []float64{0, 100, 200, 300}, [][]float64{{0, 100, 200, 300}, {300, 200, 100, 0}}},
		{MiddleFirst, 0, []float64{0, 100, 200, 300, 400}, [][]float64{{200, 300, 400, 100, 0}, {200, 100, 0, 300, 400}}},
		{MiddleFirst, 0, []float64{0, 100}, [][]float64{{0, 100}, {100, 0}}},
		{DatumFirst, 0, []float64{0, 100, 200}, [][]float64{{0, 100, 200}}},
		{DatumLast, 0, []float64{0, 100, 200}, [][]float64{{200, 100, 0}}},
		{"", 0, []float64{0, 100, 200}, [][]float64{{0, 100, 200}, {200, 100, 0}}},
	} {
		got := alongs(t, c.pattern, c.around, c.places...)
		if !slices.ContainsFunc(c.want, func(w []float64) bool { return slices.Equal(w, got) }) {
			t.Errorf("%q round %g, %v: %v", c.pattern, c.around, c.places, got)
		}
	}
}

// Clamps that open one by one: the welds under one are made before the next one's, all of them before anything is filled, though the
// way is longer so.
func TestClampsOneByOne(t *testing.T) {
	stop := func(id string, step Step, x float64, clamps ...string) Stop {
		return Stop{ID: id, Step: step, Position: r3.Vector{X: x}, Joint: "j", Flange: "f", Along: x, Gun: "a", Clamps: clamps}
	}
	stops := []Stop{stop("t1", Tack, 0), stop("t2", Tack, 500), stop("f1", Fill, 90), stop("f2", Fill, 410),
		stop("b", Released, 100, "clamp C2"), stop("a", Released, 400, "clamp C1"), stop("c", Released, 110, "clamp C2")}
	pairs := []Pair{{First: 5, Then: 4, Why: "waits until clamp C1 is welded"}, {First: 5, Then: 6, Why: "waits until clamp C1 is welded"}}
	plan, err := Sequence(t.Context(), stops, Options{OneByOne: true, Pairs: pairs})
	if err != nil {
		t.Fatal(err)
	}
	place := map[string]int{}
	for k, i := range plan.Order {
		place[stops[i].ID] = k
	}
	if place["a"] != 2 || place["b"]+place["c"] != 7 || place["f1"] < 5 || place["f2"] < 5 {
		t.Errorf("%v", place)
	}
}

// Two postures by turns along a line: what is welded in one posture is welded together where changing takes longer than walking.
func TestPostureIsSearchedOver(t *testing.T) {
	var stops []Stop
	for i := range 6 {
		s := Stop{ID: fmt.Sprint(i), Step: Fill, Position: r3.Vector{X: float64(i) * 100}, Axis: r3.Vector{Z: 1}, Joint: "j",
			Flange: fmt.Sprint("f", i), Gun: "a"}
		if i%2 == 1 {
			s.Axis = r3.Vector{Y: 1}
		}
		stops = append(stops, s)
	}
	for _, c := range []struct {
		posture  float64
		postures int
	}{{0, 5}, {8, 1}} {
		plan, err := Sequence(t.Context(), stops, Options{WalkSpeed: 150, Posture: c.posture})
		if err != nil || plan.Postures != c.postures || !plan.Proven || plan.Seconds != plan.Travel/150+c.posture*float64(plan.Postures) {
			t.Errorf("at %g s: %+v, %v", c.posture, plan, err)
		}
	}
}

// What the maps say of how tacks are gone through is how they are.
func TestTackRulesAsTheyAreSaid(t *testing.T) {
	for n := 2; n <= 6; n++ {
		var line []int
		var stops []Stop
		for i := range n {
			line, stops = append(line, i), append(stops, Stop{Step: Tack, Along: float64(i) * 100, Around: float64(n) * 100})
		}
		for said, pattern := range map[layout.TackRule]Pattern{layout.TackQuarters: Quarters, layout.TackMiddle: MiddleFirst,
			layout.TackDatum: DatumFirst, layout.TackThrough: Through} {
			if through := tacksBy(pattern, line, stops) == nil; through != (said.Said(n) == "") {
				t.Errorf("%d tacks by %s: from end to end %v, said %q", n, pattern, through, said.Said(n))
			}
		}
	}
}
