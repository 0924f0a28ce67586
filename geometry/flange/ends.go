package flange

import (
	"math"

	"github.com/golang/geo/r3"
)

func (c *centring) nearEnd(i, n int, length float64) bool {
	at := float64(i) / float64(n-1) * length
	return !c.closed && (at < c.width || at > length-c.width)
}

// halfWidth is half the width of the whole section nearest to station i.
func halfWidth(sections []section, i int) (float64, bool) {
	for d := 1; d < len(sections); d++ {
		for _, k := range [2]int{i - d, i + d} {
			if k >= 0 && k < len(sections) && sections[k].leftSide && sections[k].rightSide {
				return (sections[k].left.length + sections[k].right.length) / 2, true
			}
		}
	}
	return 0, false
}

// reachEnds drops the stations at the very ends and lets the line run straight on to the strip's border.
// While the line is rough that is half a width at each end, so that an end that set off askew comes right.
func (c *centring) reachEnds(points []r3.Vector, rough bool) []r3.Vector {
	drop := 1
	if rough {
		drop = int(c.width/2/c.step + whole)
	}
	if drop = max(1, drop); len(points) > 2*drop+3 {
		points = points[drop : len(points)-drop]
	} else if len(points) > 3 {
		points = points[1 : len(points)-1]
	}
	back := max(1, int(c.width/2/c.step+whole))
	back = min(back, len(points)-1)
	head, okHead := c.runOn(points[0], points[0].Sub(points[back]))
	tail, okTail := c.runOn(points[len(points)-1], points[len(points)-1].Sub(points[len(points)-1-back]))
	if okHead {
		points = append([]r3.Vector{head}, points...)
	}
	if okTail {
		points = append(points, tail)
	}
	return points
}

// runOn goes on from p along the surface in a direction until the border.
func (c *centring) runOn(p, dir r3.Vector) (r3.Vector, bool) {
	hit, _ := c.tree.Closest(p, math.Inf(1))
	at := place{hit.Point, hit.Tri}
	normal := c.r.normalAt(at)
	dir = dir.Sub(normal.Mul(dir.Dot(normal))).Normalize()
	t := c.r.trace(at, normal.Cross(dir), dir, widestTrace)
	if !t.ok || t.length < 1e-6 {
		return p, false
	}
	return t.path[len(t.path)-1].point, true
}

// fillEnds gives stations whose section is cut off by the strip's end the widths of the nearest whole one.
func (c *centring) fillEnds(sections []section) {
	for i := range sections {
		s := &sections[i]
		if s.leftSide && s.rightSide {
			continue
		}
		if half, ok := halfWidth(sections, i); ok {
			s.left.length, s.right.length = half, half
			if k := nearestWhole(sections, i); k >= 0 {
				s.left.edge, s.right.edge = sections[k].left.edge, sections[k].right.edge
				s.left.ok, s.right.ok = true, true
			}
		}
	}
}

func nearestWhole(sections []section, i int) int {
	for d := 1; d < len(sections); d++ {
		for _, k := range [2]int{i - d, i + d} {
			if k >= 0 && k < len(sections) && sections[k].leftSide && sections[k].rightSide {
				return k
			}
		}
	}
	return -1
}
