package stackup

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/region"
)

// Pressed sheets spring: a flange may stand open over a part of its length or width and still be one, for clamps draw it
// together. So contact is told with two sets of limits, as in thresholding with hysteresis (Canny, A Computational Approach
// to Edge Detection, 1986; from memory): the search gap and the angle limit say where sheets surely lie on each other, and
// from there a stack goes on over places within what clamps can close. Places that are only within the latter, as a sheet
// that passes at 2 mm, are no flange. All of it costs twice the time, so a host is looked at in this way only when one of its
// stacks ends because the gap opens, or when places lean.

// opened is the places of a host where sheets stand open, and are drawn together by clamps.
type opened struct {
	wide   *Host // with the clamps' limits, and a scene of its own
	places *kit.Scattered
	stack  []Stack
}

// AnyOpen says whether the host has open places.
func (h *Host) AnyOpen() bool { return len(h.opened.stack) > 0 }

// Open takes a place as one where clamps close a stack, as told by wide: the same host within the clamps' limits.
func (h *Host) Open(wide *Host, p r3.Vector, s Stack) {
	if !h.AnyOpen() {
		own := *wide
		own.scene = &scene{}
		h.opened = opened{wide: &own, places: kit.NewScattered(region.Fine)}
	}
	h.opened.add(p, s)
}

func (o *opened) add(p r3.Vector, s Stack) {
	o.places.Add(p)
	o.stack = append(o.stack, s)
}

// holds says whether a place lies about the open places of a stack.
func (o *opened) holds(p r3.Vector, s Stack) bool {
	return o.places.AnyWithin(p, region.Fine, func(i int32) bool { return o.stack[i] == s })
}
