package strips

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout"
)

// The nearest weld is that of a look at all of them, the first of equally near ones.
func TestNearestWeld(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const length = 12.0
		s := &Strip{Flange: &layout.Flange{Length: length, Closed: rapid.Bool().Draw(t, "closed")}}
		alongs := rapid.SliceOfN(rapid.IntRange(0, int(length)), 0, 9).Draw(t, "alongs")
		slices.Sort(alongs)
		for _, a := range alongs {
			s.Welds = append(s.Welds, &layout.Weld{Along: float64(a)})
		}
		at := float64(rapid.IntRange(0, 2*int(length)).Draw(t, "at")) / 2
		var want *layout.Weld
		for _, w := range s.Welds {
			if want == nil || s.Apart(w.Along, at) < s.Apart(want.Along, at) {
				want = w
			}
		}
		if got := s.Nearest(at); got != want {
			t.Fatalf("at %v: got %+v, want %+v", at, got, want)
		}
	})
}

// Tacks are counted along the strip, whichever row they stand in; those of a broad contact row by row.
func TestGapsBetweenTacks(t *testing.T) {
	welds := []*layout.Weld{{Along: 10, Row: 1}, {Along: 130, Row: 2}, {Along: 250, Row: 1}, {Along: 370, Row: 2}}
	lengths := func(s *Strip) []float64 {
		var out []float64
		for _, g := range s.TackGaps(welds) {
			out = append(out, g.Length())
		}
		return out
	}
	for _, c := range []struct {
		flange layout.Flange
		want   []float64
	}{
		{layout.Flange{Length: 380}, []float64{120, 120, 120}},
		{layout.Flange{Length: 480, Closed: true}, []float64{120, 120, 120, 120}},
		{layout.Flange{Length: 380, Patch: true}, []float64{240, 240}},
	} {
		if got := lengths(&Strip{Flange: &c.flange}); !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v, want %v", c.flange, got, c.want)
		}
	}
}
