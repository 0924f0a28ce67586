package strip

import (
	"math"
	"slices"
	"sort"

	"seamwright/layout"
)

// rebase moves the start of a closed flange to the nearest place that is in the middle between two welds, so that the
// cut through the paper meets none. It returns the mm by which it moved; places along
// the old line are that much less along the new one, round the line.
func rebase(fl layout.Flange, welds []layout.Weld) (layout.Flange, float64) {
	n := len(fl.WeldLine)
	if !fl.Closed || n < 3 {
		return fl, 0
	}
	var sum []float64
	length := 0.0
	for i := range n {
		sum = append(sum, length)
		length += vec(fl.WeldLine[(i+1)%n]).Sub(vec(fl.WeldLine[i])).Norm()
	}
	place := cutPlace(fl.ID, welds, length)
	k := sort.SearchFloat64s(sum, place)
	if k > 0 && (k == n || place-sum[k-1] < sum[k]-place) {
		k--
	}
	if k == 0 {
		return fl, 0
	}
	shift := sum[k]
	turnRound := func(v []float64) []float64 {
		if len(v) != n {
			return v
		}
		return slices.Concat(v[k:], v[:k])
	}
	fl.WeldLine = slices.Concat(fl.WeldLine[k:], fl.WeldLine[:k])
	if len(fl.Normals) == n {
		fl.Normals = slices.Concat(fl.Normals[k:], fl.Normals[:k])
	}
	fl.Left, fl.Right, fl.Air = turnRound(fl.Left), turnRound(fl.Right), turnRound(fl.Air)
	fl.Sides = turnSides(fl.Sides, shift, length)
	return fl, shift
}

// cutPlace is the middle of the gap between welds that is nearest to the start, before or after it.
func cutPlace(flange string, welds []layout.Weld, length float64) float64 {
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

// turnSides starts stretches at shift.
func turnSides(sides []layout.Side, shift, length float64) []layout.Side {
	var head, tail []layout.Side
	for _, s := range sides {
		if s.To > shift {
			t := s
			t.From, t.To = math.Max(s.From, shift)-shift, s.To-shift
			head = append(head, t)
		}
		if s.From < shift {
			t := s
			t.From, t.To = s.From+length-shift, math.Min(s.To, shift)+length-shift
			tail = append(tail, t)
		}
	}
	return append(head, tail...)
}
