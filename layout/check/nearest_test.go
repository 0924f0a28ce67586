package check

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
		s := &strip{flange: &layout.Flange{Length: length, Closed: rapid.Bool().Draw(t, "closed")}}
		alongs := rapid.SliceOfN(rapid.IntRange(0, int(length)), 0, 9).Draw(t, "alongs")
		slices.Sort(alongs)
		for _, a := range alongs {
			s.welds = append(s.welds, &layout.Weld{Along: float64(a)})
		}
		at := float64(rapid.IntRange(0, 2*int(length)).Draw(t, "at")) / 2
		var want *layout.Weld
		for _, w := range s.welds {
			if want == nil || s.apart(w.Along, at) < s.apart(want.Along, at) {
				want = w
			}
		}
		if got := s.nearest(at); got != want {
			t.Fatalf("at %v: got %+v, want %+v", at, got, want)
		}
	})
}
