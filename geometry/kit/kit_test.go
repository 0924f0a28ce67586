package kit_test

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/kit"
)

// A table answers as a map does, through growing and being reset.
func TestEdgeTableIsAMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var table kit.EdgeTable
		want := map[uint64]int32{}
		for i := range rapid.IntRange(0, 400).Draw(t, "entries") {
			key := kit.WayKey(int32(rapid.IntRange(0, 40).Draw(t, "from")), int32(rapid.IntRange(41, 60).Draw(t, "to")))
			table.Set(key, int32(i))
			want[key] = int32(i)
		}
		have := map[uint64]int32{}
		table.Each(func(key uint64, val *int32) { have[key] = *val })
		if len(have) != len(want) {
			t.Fatalf("%d entries, want %d", len(have), len(want))
		}
		for key, val := range want {
			if got, known := table.Get(key); !known || got != val || have[key] != val {
				t.Fatalf("key %x: %d, %v, want %d", key, got, known, val)
			}
		}
		table.Reset()
		for key := range want {
			if _, known := table.Get(key); known {
				t.Fatalf("key %x is known after the reset", key)
			}
		}
	})
}

// What is found within a distance by cells is what looking at every place finds.
func TestScatteredFindsAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Custom(func(t *rapid.T) r3.Vector {
			x := rapid.Float64Range(-9, 9)
			return r3.Vector{X: x.Draw(t, "x"), Y: x.Draw(t, "y"), Z: x.Draw(t, "z")}
		})
		places := rapid.SliceOfN(at, 1, 50).Draw(t, "places")
		s := kit.NewScattered(2.5)
		for _, p := range places {
			s.Add(p)
		}
		p, within := at.Draw(t, "place"), rapid.Float64Range(0, 2.5).Draw(t, "within")
		even := func(i int32) bool { return i%2 == 0 }
		want := false
		for i, q := range places {
			want = want || even(int32(i)) && q.Sub(p).Norm2() <= within*within
		}
		if got := s.AnyWithin(p, within, even); got != want {
			t.Fatalf("%v, want %v", got, want)
		}
	})
}

func TestMedians(t *testing.T) {
	for _, test := range []struct {
		of   []float64
		want float64
	}{{[]float64{3}, 3}, {[]float64{4, 1}, 2.5}, {[]float64{9, 1, 2}, 2}, {[]float64{1, 1, 8, 9}, 4.5}} {
		if got := kit.Median(slices.Clone(test.of)); got != test.want {
			t.Errorf("%v: %g, want %g", test.of, got, test.want)
		}
	}
	heavy := []kit.Weighted{{Value: 1, Weight: 1}, {Value: 5, Weight: 10}, {Value: 2, Weight: 1}}
	if got := kit.MedianByWeight(heavy); got != 5 {
		t.Errorf("by weight: %g, want 5", got)
	}
}

// Places that differ by rounding alone come in no order by that coordinate.
func TestBeforeMindsNoRounding(t *testing.T) {
	p, q := r3.Vector{X: 1, Y: 2}, r3.Vector{X: 1 + 1e-12, Y: 1}
	if kit.Before(p, q, 1) || !kit.Before(q, p, 1) || kit.Before(p, p, 1) {
		t.Error("the coordinate that differs decides")
	}
	if c := kit.CosDegrees(60); !(math.Abs(c-0.5) <= 1e-15) {
		t.Errorf("cosine of 60 degrees: %g", c)
	}
}
