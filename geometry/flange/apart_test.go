package flange

import (
	"testing"

	"github.com/golang/geo/r3"
)

// A contact that is the rest of a flange of the same sheets is left out, and a shred of two of them beside a flange of three; one of two
// that is as large as a flange is not.
func TestApartFromFlanges(t *testing.T) {
	up := r3.Vector{Z: 1}
	line := []LinePoint{{Axis: up, Left: 8, Right: 8}, {Point: r3.Vector{X: 100}, Axis: up, Left: 8, Right: 8}}
	for _, c := range []struct {
		of   []int
		why  Why
		kept bool
	}{
		{[]int{0, 1}, TooSmall, false}, {[]int{0, 1}, StandsOpen, false}, {[]int{1, 0, 2}, TooSmall, false}, {[]int{1, 0, 2}, StandsOpen, true},
		{[]int{0, 2}, TooSmall, true},
	} {
		small := []Small{{Sheets: []int{0, 1}, Length: 30, Width: 10, Place: r3.Vector{X: 120}, Axis: up, Why: c.why}}
		if kept := len(apartFromFlanges(small, []Flange{{Sheets: c.of, Line: line}})) == 1; kept != c.kept {
			t.Errorf("of sheets 0 and 1, %s, beside a flange of %v: kept %t", c.why, c.of, kept)
		}
	}
}
