package stackup

import (
	"cmp"
	"math"
	"slices"

	"seamwright/geometry/surface"
)

// chained is the sheets that lie on each other on one side of the host.
type chained struct {
	n      int
	air    float64 // between them
	rough  float64 // the same, where sheets run into each other counted as well
	widest float64 // air between two of them
	faying float64 // sum of the heights of the faying positions
	joint  int16   // of the host's skin sides: number + 1
}

// bothSides walks down from the host and up, and leaves the sheets in the scene's order, from the lowest.
func (h *Host) bothSides() (down, up chained) {
	s, host := h.scene, h.Index
	walk := func(above, below float64) {
		s.order = s.order[:0]
		down = h.chain(s, host, Lower, below)
		slices.Reverse(s.order)
		s.order = append(s.order, int16(host))
		up = h.chain(s, host, Upper, above)
	}
	walk(math.NaN(), math.NaN())
	p := h.Panels[host]
	if p.Surface != surface.Skin || p.Thickness == 0 || up.n == 0 || down.n == 0 {
		return down, up
	}
	walk(0, p.Thickness) // amid others its metal lies on one side of its mesh, whatever each of them says
	sheets, rough := up.n+down.n, up.rough+down.rough
	if walk(p.Thickness, 0); up.n+down.n < sheets || up.n+down.n == sheets && up.rough+down.rough > rough {
		walk(0, p.Thickness)
	}
	return down, up
}

// fileRounding is what a file's 32-bit floats lose some metres from the origin, mm: a gap that is just the greatest counts.
const fileRounding = 1e-3

// chain walks from the host through the contacts on one side, sheet by sheet, as long as each lies on the one
// before. It adds the sheets to the scene's order. of is how much of the host's metal lies on that side of its mesh, where
// that is decided, or not a number.
func (h *Host) chain(s *scene, host, side int, of float64) (out chained) {
	contacts, sign := s.contacts[side], sides[side]
	if len(contacts) > 1 {
		slices.SortFunc(contacts, func(a, b contact) int {
			return cmp.Or(cmp.Compare(a.height*sign, b.height*sign), cmp.Compare(a.sheet, b.sheet))
		})
	}
	last, at, before := host, 0.0, 0.0
	for i, c := range contacts {
		distance := c.height*sign - at
		near, joint := 0.0, -1
		if last == host {
			before, near, joint = h.metalBetween(host, c, side, distance, of)
		} else {
			near = h.nearMetal(c, side, distance-before, i+1 < len(contacts))
		}
		gap := distance - before - near
		if gap < -h.crossing(last, c.sheet, before+near) {
			continue
		}
		if gap > h.MostGap(last, c.sheet, before+near)+fileRounding {
			break
		}
		s.order = append(s.order, int16(c.sheet))
		if out.n++; joint >= 0 {
			out.joint = int16(joint + 1)
		}
		out.air += gap
		out.rough += math.Abs(gap)
		out.widest = max(out.widest, gap)
		out.faying += sign * (at + before + (distance-before-near)/2)
		last, at, before = c.sheet, c.height*sign, farMetal(h.Panels[c.sheet], c, side, near)
	}
	return out
}

// farMetal is how much metal of a sheet lies on the far side of its mesh, with so much on the near one.
func farMetal(p *surface.Panel, c contact, side int, near float64) float64 {
	behind, before := p.Metal(c.facing)
	switch {
	case p.Surface == surface.Skin:
		return p.Thickness - near
	case side == Lower:
		return behind
	}
	return before
}
