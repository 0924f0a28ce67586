package flange_test

import (
	"math"
	"slices"
	"testing"

	"seamwright/geometry/flange"
)

// Where a third sheet begins half way along a flange of two and leaves a sliver of it along its edge, or two thirds along and ends before
// the flange does, the flange of two is what there is before it, and behind it: no line runs through the sliver, and none is lost for it.
func TestSliverBesideAThirdSheet(t *testing.T) {
	for _, left := range []float64{0.3, 0.5, 1, 2, 3.5} {
		for _, to := range []float64{200, 150} {
			found := find(t, flange.Options{}, sheetOf("a", plate(0, -20, 200, 16, 0), 1), sheetOf("b", plate(0, 0, 200, 60, -1), 1),
				sheetOf("c", plate(100, -40, to, 16-left, 1), 1))
			var lengths []float64
			for _, f := range found.Flanges {
				if !slices.Equal(f.Sheets, []int{0, 1}) && !slices.Equal(f.Sheets, []int{1, 0}) {
					continue
				}
				lengths = append(lengths, f.Length)
				if !(math.Abs(f.Width.Mean-16) <= 0.1) {
					t.Errorf("%g mm left, to %g: a flange of %.2f x %+v, want 16 wide", left, to, f.Length, f.Width)
				}
				for _, p := range f.Line {
					if !(math.Abs(p.Point.Y-8) <= 1) || p.Point.X > 100.1 && p.Point.X < to-0.1 {
						t.Errorf("%g mm left, to %g: the line runs through %.2f", left, to, p.Point)
						break
					}
				}
			}
			slices.Sort(lengths)
			want := []float64{100}
			if to < 200 {
				want = []float64{200 - to, 100}
			}
			if !slices.EqualFunc(lengths, want, func(a, b float64) bool { return math.Abs(a-b) <= 0.1 }) {
				t.Errorf("%g mm left, to %g: flanges of two sheets of %.2f mm, want %v", left, to, lengths, want)
			}
		}
	}
}
