package curve

import (
	"math"

	"github.com/golang/geo/r3"
)

// perBlock is how many neighbours share a box: enough that looking at boxes costs little, few enough that one is soon gone
// through.
const perBlock = 16

// blocks are boxes about neighbours in a row, so that most of a long row needs no look when the nearest is asked for.
type blocks struct {
	n     int
	boxes [][2]r3.Vector // least and greatest corner
}

// newBlocks takes n things, each within the box of the two points that it is given by.
func newBlocks(n int, of func(i int) [2]r3.Vector) blocks {
	b := blocks{n: n}
	for from := 0; from < n; from += perBlock {
		low, high := of(from)[0], of(from)[0]
		for i := from; i < min(n, from+perBlock); i++ {
			for _, p := range of(i) {
				low = r3.Vector{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
				high = r3.Vector{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
			}
		}
		b.boxes = append(b.boxes, [2]r3.Vector{low, high})
	}
	return b
}

// nearest is the first of those with the least square of the distance, as distance2 tells it of each; -1 for none. The block
// whose box is nearest gives a bound, and only blocks within that are gone through, in their order.
func (b blocks) nearest(p r3.Vector, distance2 func(i int) float64) (index int, least float64) {
	index, least = -1, math.Inf(1)
	first, to := 0, math.Inf(1)
	for k := range b.boxes {
		if d := b.away(k, p); d < to {
			first, to = k, d
		}
	}
	bound := math.Inf(1)
	for i := first * perBlock; i < min(b.n, (first+1)*perBlock); i++ {
		bound = min(bound, distance2(i))
	}
	bound += 1e-9 * (1 + bound) // a box is told a little farther than what lies on its side, by rounding
	for k := range b.boxes {
		if b.away(k, p) > bound {
			continue
		}
		for i := k * perBlock; i < min(b.n, (k+1)*perBlock); i++ {
			if d := distance2(i); d < least {
				index, least = i, d
			}
		}
	}
	return index, least
}

// away is the square of the distance from p to a block's box.
func (b blocks) away(k int, p r3.Vector) float64 {
	low, high := b.boxes[k][0], b.boxes[k][1]
	x := max(0, max(low.X-p.X, p.X-high.X))
	y := max(0, max(low.Y-p.Y, p.Y-high.Y))
	z := max(0, max(low.Z-p.Z, p.Z-high.Z))
	return x*x + y*y + z*z
}

// Places finds the nearest of many points in a row.
type Places struct {
	points []r3.Vector
	blocks blocks
}

// NewPlaces takes points, which must not change while they are asked for. Neighbours in the row should be near each other.
func NewPlaces(points []r3.Vector) *Places {
	return &Places{points, newBlocks(len(points), func(i int) [2]r3.Vector { return [2]r3.Vector{points[i], points[i]} })}
}

// Nearest is the index of the point nearest to p, of equally near ones the first; -1 without points.
func (s *Places) Nearest(p r3.Vector) int {
	i, _ := s.blocks.nearest(p, func(i int) float64 { return s.points[i].Sub(p).Norm2() })
	return i
}
