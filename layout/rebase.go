package layout

import (
	"math"
	"slices"
	"sort"
)

// Rebase moves the start of a closed flange to the nearest place that is in the middle between two welds, so that the
// cut through the paper meets none. It returns the mm by which it moved; places along
// the old line are that much less along the new one, round the line.
func Rebase(fl Flange, welds []Weld) (Flange, float64) {
	n, length := len(fl.Line), fl.Length
	if !fl.Closed || n < 3 {
		return fl, 0
	}
	place := cutPlace(fl.ID, welds, length)
	k := sort.Search(n, func(i int) bool { return fl.Line[i].Along >= place })
	if k > 0 && (k == n || place-fl.Line[k-1].Along < fl.Line[k].Along-place) {
		k--
	}
	if k == 0 {
		return fl, 0
	}
	shift := fl.Line[k].Along
	fl.Line = slices.Concat(fl.Line[k:], fl.Line[:k])
	for i := range fl.Line {
		if fl.Line[i].Along -= shift; i >= n-k {
			fl.Line[i].Along += length
		}
	}
	return fl, shift
}

// cutPlace is the middle of the gap between welds that is nearest to the start, before or after it.
func cutPlace(flange string, welds []Weld, length float64) float64 {
	var at []float64
	for _, w := range welds {
		if w.Flange == flange {
			at = append(at, math.Mod(math.Mod(w.Along, length)+length, length))
		}
	}
	if len(at) == 0 {
		return 0
	}
	slices.Sort(at)
	before := (at[len(at)-1] - length + at[0]) / 2
	after := (at[0] + at[min(1, len(at)-1)]) / 2
	switch {
	case before >= 0:
		return before
	case len(at) == 1 || -before <= after:
		return before + length
	}
	return after
}
