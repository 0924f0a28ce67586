package laying

import (
	"slices"
	"testing"
)

func TestShare(t *testing.T) {
	for _, test := range []struct {
		count   int
		lengths []float64
		want    []int
	}{
		{10, []float64{100, 100}, []int{5, 5}},
		{10, []float64{100, 200, 33}, []int{3, 6, 1}},
		{1, []float64{1, 1, 1}, []int{1, 0, 0}},
		{0, []float64{1}, []int{0}},
		{5, nil, []int{}},
		{5, []float64{0, 0}, []int{0, 0}},
	} {
		if got := share(test.count, test.lengths); !slices.Equal(got, test.want) {
			t.Errorf("share(%d, %v) = %v, want %v", test.count, test.lengths, got, test.want)
		}
	}
}
