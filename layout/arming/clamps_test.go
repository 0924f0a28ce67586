package arming

import (
	"math/rand/v2"
	"slices"
	"testing"

	"seamwright/geometry/axial"
	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/layout/laying"
	"seamwright/layout/reach"
	"seamwright/layout/spots"
)

// oneByOne is a station with three clamps that open after tacks; welds wait for the first and for the third.
func oneByOne() *arming {
	x := &arming{station: layout.Station{ID: "jig", OneByOne: true}, turns: []string{"clamp a", "clamp b", "clamp c"}}
	scene := &axial.Scene{Panels: []axial.Panel{{Name: "sheet"}, {Name: "clamp c"}, {Name: "clamp a"}, {Name: "clamp b"}}}
	x.jig = jig{scene: scene, late: []int{1, 2, 3}}
	for _, clamps := range [][]string{nil, {"clamp a"}, {"clamp c"}} {
		x.own = append(x.own, &ArmedWeld{Weld: laying.Weld{Spot: spots.Weld{Clamps: clamps}}})
	}
	return x
}

// Where clamps open one by one, those that are open for a weld are its own and those before that others wait for.
func TestOpenedClamps(t *testing.T) {
	x := oneByOne()
	for i, want := range [][]int{nil, {2}, {1, 2}} {
		if got := x.opened(x.own[i]); !slices.Equal(got, want) {
			t.Errorf("weld %d: %v, want %v", i, got, want)
		}
	}
	x.own = append(x.own, &ArmedWeld{Weld: laying.Weld{Spot: spots.Weld{Clamps: []string{"clamp b", "clamp a"}}}})
	if got := x.opened(x.own[3]); !slices.Equal(got, []int{2, 3}) {
		t.Errorf("a weld of two clamps: %v", got)
	}
	x.station.OneByOne = false
	if got := x.opened(x.own[1]); !slices.Equal(got, []int{1, 2, 3}) {
		t.Errorf("all at once: %v", got)
	}
}

// A weld that is released and that no gun reaches waits for all clamps where they open one by one, if a gun reaches it then.
func TestAfterAllClamps(t *testing.T) {
	for _, c := range []struct {
		step               layout.WeldStep
		reached, oneByOne  bool
		wantWait, wantDone bool
	}{
		{layout.Released, false, true, true, true},
		{layout.Released, true, true, false, true},
		{layout.Tack, false, true, false, false},
		{layout.Released, false, false, false, false},
	} {
		x := oneByOne()
		x.station.OneByOne = c.oneByOne
		x.station.Clamps = []layout.Fixture{{ID: "a"}, {ID: "b"}, {ID: "c"}, {ID: "kept", Release: layout.AtEnd}}
		x.own = x.own[:1]
		x.own[0].Step = c.step
		x.asked, x.results = make([]reach.Weld, 1), make([]reach.Result, 1)
		if c.reached {
			x.results[0].Poses = []reach.Pose{{}}
		}
		x.look = func(welds []reach.Weld, _ reach.Options) ([]reach.Result, error) {
			out := make([]reach.Result, len(welds))
			for i, w := range welds {
				if slices.Equal(w.Absent, x.jig.late) {
					out[i].Poses = []reach.Pose{{}}
				}
			}
			return out, nil
		}
		if err := x.afterAllClamps(); err != nil {
			t.Fatal(err)
		}
		if waits := len(x.own[0].Spot.Clamps) == 3; waits != c.wantWait || x.results[0].Reached() != c.wantDone {
			t.Errorf("%+v: waits for %v, reached %v", c, x.own[0].Spot.Clamps, x.results[0].Reached())
		}
	}
}

// The order in which a few clamps are opened is as short a walk as any.
func TestShortestWayRoundClamps(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 3))
		clamps := make([]layout.Fixture, 2+rng.IntN(4))
		for i := range clamps {
			clamps[i].At = layout.Vec{1000 * rng.Float64(), 600 * rng.Float64(), 300 * rng.Float64()}
		}
		length := func(way []int) (sum float64) {
			for k := 1; k < len(way); k++ {
				sum += joining.Point(clamps[way[k-1]].At).Distance(joining.Point(clamps[way[k]].At))
			}
			return sum
		}
		got := shortestWay(clamps)
		if sorted := slices.Sorted(slices.Values(got)); len(got) != len(clamps) || sorted[0] != 0 || len(slices.Compact(sorted)) != len(clamps) {
			t.Fatalf("seed %d: %v is no way round %d clamps", seed, got, len(clamps))
		}
		if got[0] > got[len(got)-1] {
			t.Errorf("seed %d: %v begins at the later of its ends", seed, got)
		}
		best := length(got)
		var try func(way []int)
		try = func(way []int) {
			if len(way) == len(clamps) && length(way) < best-1e-9 {
				t.Errorf("seed %d: %v takes %g mm, %v %g", seed, got, length(got), way, length(way))
				best = length(way)
			}
			for k := range clamps {
				if !slices.Contains(way, k) {
					try(append(slices.Clone(way), k))
				}
			}
		}
		try(nil)
	}
}
