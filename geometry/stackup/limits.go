package stackup

import (
	"slices"

	"seamwright/geometry/kit"
)

// Limits say how near to each other sheets lie that are taken as lying on each other.
type Limits struct {
	SearchGap            float64  // mm of air up to which sheets are taken as lying on each other
	AngleLimit           float64  // degrees between the two
	ClampGap, ClampAngle float64  // mm of air and degrees up to which clamps draw sheets together
	Clamps               []Clamps // for some pairs of sheets
	UnknownReach         float64  // mm between meshes when a thickness is not known
	LeastFacing          float64  // mm² of sheets that face each other apart, from which it is worth a word
}

// Clamps is what clamps close between two sheets.
type Clamps struct {
	Sheets [2]int
	Gap    float64 // mm of air; 0: as Limits.ClampGap
	Angle  float64 // degrees; 0: as Limits.ClampAngle
}

// RanksOf is the clamps with the sheets named as the finder ranks them.
func RanksOf(clamps []Clamps, order []int) []Clamps {
	out := slices.Clone(clamps)
	for i := range out {
		for k, s := range out[i].Sheets {
			out[i].Sheets[k] = slices.Index(order, s)
		}
	}
	return out
}

// ClosedGap is the air between two sheets that clamps close.
func (h *Host) ClosedGap(a, b int) float64 {
	for _, c := range h.Clamps {
		if c.Gap > 0 && (c.Sheets == [2]int{a, b} || c.Sheets == [2]int{b, a}) {
			return c.Gap
		}
	}
	return h.ClampGap
}

// ClosedGapOf is the widest gap that clamps close between neighbours in a stack.
func (h *Host) ClosedGapOf(s Stack) float64 {
	most := 0.0
	for i := 1; i < int(s.N); i++ {
		most = max(most, h.ClosedGap(int(s.S[i-1]), int(s.S[i])))
	}
	return most
}

// closedCosine is the cosine of the angle between a host and another sheet that clamps close.
func (h *Host) closedCosine(host, x int) float64 {
	for _, c := range h.Clamps {
		if c.Angle > 0 && (c.Sheets == [2]int{host, x} || c.Sheets == [2]int{x, host}) {
			return min(h.CosLimit, kit.CosDegrees(c.Angle))
		}
	}
	return min(h.CosLimit, h.cosClamp)
}

// widestClamp is the greatest gap that clamps close between any sheets.
func (l *Limits) widestClamp() float64 {
	most := max(l.ClampGap, l.SearchGap)
	for _, c := range l.Clamps {
		most = max(most, c.Gap)
	}
	return most
}

// Clamped is the host with the clamps' limits.
func (h *Host) Clamped() *Host {
	wide := *h
	wide.closing = true
	return &wide
}

// Within is the same host within the plain limits, asked about in the same room.
func (h *Host) Within() *Host {
	own := *h
	own.closing = false
	return &own
}

// ThicknessKnown says whether the thicknesses of all of some sheets are known.
func (h *Host) ThicknessKnown(sheets []int) bool {
	for _, s := range sheets {
		if h.Panels[s].Thickness == 0 {
			return false
		}
	}
	return true
}

// crossing is how far two sheets with so much metal between their meshes may reach into each other and still be taken as
// lying on each other: up to half the thicker one, which leaves no doubt which lies above as long as a quarter of the metal
// is left between mid-surfaces.
func (h *Host) crossing(a, b int, metal float64) float64 {
	half, ta, tb := 0.0, h.Panels[a].Thickness, h.Panels[b].Thickness
	if ta > 0 && tb > 0 {
		half = min(max(ta, tb)/2, 0.375*(ta+tb))
	}
	return max(0.1, 0.35*metal, half)
}

// leastCosine is that of the angle between a host and another sheet on it.
func (h *Host) leastCosine(host, x int) float64 {
	if h.closing {
		return h.closedCosine(host, x)
	}
	return h.CosLimit
}

// MostGap is the air that still counts as lying on each other between two sheets with so much metal between their
// meshes. Where a thickness is not known what is measured is the meshes' distance: the metal that is known counts in it,
// and of the other sheet as much as of one of the thickest pair that is taken.
func (h *Host) MostGap(a, b int, metal float64) float64 {
	if h.Panels[a].Thickness == 0 || h.Panels[b].Thickness == 0 {
		return max(h.UnknownReach-metal, h.UnknownReach/2)
	}
	if h.closing {
		return max(h.SearchGap, h.ClosedGap(a, b))
	}
	return h.SearchGap
}

// Reach is how far from the host's mesh the mesh of x can be within one stack of three.
func (h *Host) Reach(host, x int) float64 {
	metal := h.Panels[host].Thickness + h.Panels[x].Thickness + h.Thickest
	return metal + 2*h.MostGap(host, x, 0)
}
