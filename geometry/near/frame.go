package near

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Boxes are kept as whole numbers of a small unit, the grain, counted from a corner of everything filed: far-off
// coordinates lose nothing, a box and its link take 32 bytes, and the gap between boxes is a few integer
// instructions. A box is rounded outward by slack more grains than it needs, so no gap between boxes is ever above the
// true distance between what they hold.
const (
	across = 1 << 29 // grains along the longest side of everything
	slack  = 3       // places are off by less than one, on either side, and arithmetic by far less than another
	least  = -across // places outside this range are moved to its ends: that brings nothing farther away
	most   = 2*across - 1
)

// frame turns millimetres into grains.
type frame struct {
	origin r3.Vector
	scale  float64 // grains in a millimetre, a power of two
	grain  float64 // mm in a grain, exactly
}

// newFrame is the frame for everything in the box.
func newFrame(box space.Box) frame {
	size := box.Size()
	extent := max(size.X, size.Y, size.Z)
	if extent == 0 {
		extent = 1 // one place, or nothing
	}
	_, exponent := math.Frexp(extent) // extent is below 2^exponent
	scale := math.Ldexp(across, -max(exponent, -400))
	if !(extent <= math.MaxFloat64) {
		scale = 0 // no such numbers: one grain holds everything
	}
	return frame{box.Min, scale, 1 / scale}
}

// place is a point in grains.
func (f *frame) place(p r3.Vector) [3]int32 {
	return [3]int32{
		grains((p.X - f.origin.X) * f.scale),
		grains((p.Y - f.origin.Y) * f.scale),
		grains((p.Z - f.origin.Z) * f.scale),
	}
}

// grains cuts off what is behind the point and keeps within range; what is not a number goes to the low end.
func grains(x float64) int32 {
	if x > least && x < most {
		return int32(x)
	}
	if x >= most {
		return most
	}
	return least
}

// grown is the box in grains, rounded outward. A side that is not a number reaches as far as there is.
func (f *frame) grown(low, high r3.Vector) (lo, hi [3]int32) {
	lo, hi = f.place(low), f.place(high)
	for k := range 3 {
		lo[k] = max(least, lo[k]-slack)
		hi[k] = min(most, hi[k]+slack)
	}
	if high.X != high.X || high.Y != high.Y || high.Z != high.Z {
		hi = [3]int32{most, most, most}
	}
	return lo, hi
}

// limit is a squared distance in mm² as squared grains, rounded up.
func (f *frame) limit(distance2 float64) int64 {
	g := distance2*f.scale*f.scale*(1+1e-9) + 1
	if !(g < math.MaxInt64) { // also where there is no number
		return math.MaxInt64
	}
	return int64(g)
}

// gap2 is the squared gap in grains between a node's box and another box, zero where they touch.
func (n *node) gap2(lo, hi *[3]int32) int64 {
	x := int64(max(n.lo[0]-hi[0], lo[0]-n.hi[0], 0))
	y := int64(max(n.lo[1]-hi[1], lo[1]-n.hi[1], 0))
	z := int64(max(n.lo[2]-hi[2], lo[2]-n.hi[2], 0))
	return x*x + y*y + z*z
}

// box is what a node's box is in mm, not less.
func (f *frame) box(n *node) space.Box {
	low, high := f.corners(n)
	return space.Box{Min: low, Max: high}
}

// corners are the lowest and the highest of a node's box.
func (f *frame) corners(n *node) (low, high r3.Vector) {
	if f.scale == 0 {
		inf := math.Inf(1)
		return r3.Vector{X: -inf, Y: -inf, Z: -inf}, r3.Vector{X: inf, Y: inf, Z: inf}
	}
	return f.corner(&n.lo), f.corner(&n.hi)
}

func (f *frame) corner(p *[3]int32) r3.Vector {
	return f.origin.Add(r3.Vector{X: float64(p[0]) * f.grain, Y: float64(p[1]) * f.grain, Z: float64(p[2]) * f.grain})
}
