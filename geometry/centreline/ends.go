package centreline

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/medial"
	"seamwright/geometry/region"
)

// arm is the course of a line before it meets others: the last place that is sure, and the way on from there.
type arm struct{ at, dir r3.Vector }

// reachEnds drops the points at the very ends and lets the line run straight on to the strip's border, or to where
// it meets others. While the line is rough half a width goes at each end, so that an end that set off askew comes right.
func (c *Line) reachEnds(points []r3.Vector, rough bool) []r3.Vector {
	first, last := c.unsure(points, 0, rough), c.unsure(points, 1, rough)
	if len(points)-first-last <= 3 {
		first, last = min(first, 1), min(last, 1)
	}
	if len(points)-first-last >= 2 {
		points = points[first : len(points)-last]
	}
	back := max(1, int(c.width/2/c.step+whole))
	back = min(back, len(points)-1)
	n := len(points)
	head, okHead := c.goOn(0, points[0], points[0].Sub(points[back]))
	tail, okTail := c.goOn(1, points[n-1], points[n-1].Sub(points[n-1-back]))
	if okHead {
		points = append([]r3.Vector{head}, points...)
	}
	if okTail {
		points = append(points, tail)
	}
	return points
}

// forkWidths is how far from a fork, in widths of the strip, sections run into other legs, and roughForks the same
// while the fork's place is not known.
const (
	forkWidths = 1.2
	roughForks = 2.
)

// unsure is how many points at one end of the line say nothing about its course.
func (c *Line) unsure(points []r3.Vector, end int, rough bool) int {
	if c.chain.Forks[end] == medial.NoFork {
		if rough {
			return max(1, int(c.width/2/c.step+whole))
		}
		return 1
	}
	fork, zone, n := c.forkAt(end), forkWidths, 0
	if c.meets[end] == nil {
		zone = roughForks
	}
	for n < 2*len(points)/5 {
		at := n
		if end == 1 {
			at = len(points) - 1 - n
		}
		if points[at].Sub(fork).Norm() > zone*c.width {
			break
		}
		n++
	}
	return max(1, n)
}

// forkAt is where the line meets others, as far as that is known.
func (c *Line) forkAt(end int) r3.Vector {
	if c.meets[end] != nil {
		return *c.meets[end]
	}
	if end == 0 {
		return c.chain.Points[0]
	}
	return c.chain.Points[len(c.chain.Points)-1]
}

// goOn is where the line ends that goes on from p in a direction.
func (c *Line) goOn(end int, p, dir r3.Vector) (r3.Vector, bool) {
	c.arms[end] = arm{p, dir.Normalize()}
	if c.chain.Forks[end] == medial.NoFork {
		return c.runOn(p, dir)
	}
	if c.meets[end] != nil {
		return *c.meets[end], true
	}
	ahead := c.forkAt(end).Sub(p).Dot(c.arms[end].dir)
	hit, _ := c.tree.Closest(p.Add(c.arms[end].dir.Mul(math.Max(0, ahead))), math.Inf(1))
	return hit.Point, ahead > 0
}

// runOn goes on from p along the surface in a direction until the border.
func (c *Line) runOn(p, dir r3.Vector) (r3.Vector, bool) {
	hit, _ := c.tree.Closest(p, math.Inf(1))
	at := region.Place{Point: hit.Point, Tri: hit.Tri}
	normal := c.r.NormalAt(at)
	dir = dir.Sub(normal.Mul(dir.Dot(normal))).Normalize()
	t := c.r.Trace(at, normal.Cross(dir), dir, WidestTrace)
	if !t.Ok || t.Length < 1e-6 {
		return p, false
	}
	return t.Path[len(t.Path)-1].Point, true
}

// fillEnds gives points whose section is cut off by the strip's end the widths of the nearest whole one. Amid the line a side that
// runs steeply is no end but the flank of a dart: there the strip is as narrow as it is, and across it as wide.
func (c *Line) fillEnds(sections []Section) {
	length := c.step * float64(len(sections)-1)
	for i := range sections {
		s := &sections[i]
		if s.leftSide && s.rightSide {
			continue
		}
		k := nearestWhole(sections, i)
		if k < 0 {
			continue
		}
		of := &sections[k]
		half := (of.Left.Length + of.Right.Length) / 2
		amid := !c.nearEnd(i, len(sections), length)
		for _, side := range [2]struct {
			of, whole *region.Trace
			is        bool
		}{{&s.Left, &of.Left, s.leftSide}, {&s.Right, &of.Right, s.rightSide}} {
			t := side.of
			if amid && side.is || amid && t.Ok && t.Length < half && c.r.End(t.Edge[0], t.Edge[1]).Why == region.FreeEdge {
				continue
			}
			t.Length, t.Edge, t.Bent, t.Parts, t.Ok = half, side.whole.Edge, side.whole.Bent, side.whole.Parts, true
		}
	}
}

func nearestWhole(sections []Section, i int) int {
	for d := 1; d < len(sections); d++ {
		for _, k := range [2]int{i - d, i + d} {
			if k >= 0 && k < len(sections) && sections[k].leftSide && sections[k].rightSide && !sections[k].over {
				return k
			}
		}
	}
	return -1
}

// blankForks forgets the sections near to where the line meets others that run on into them.
func (c *Line) blankForks(sections []Section) {
	width := usualWidth(sections)
	for _, at := range c.meets {
		for i := range sections {
			s := &sections[i]
			if at != nil && s.At.Point.Sub(*at).Norm() < forkWidths*c.width && s.Left.Length+s.Right.Length > 1.02*width {
				s.leftSide, s.rightSide = false, false
			}
		}
	}
}

func (c *Line) nearEnd(i, n int, length float64) bool {
	at := float64(i) / float64(n-1) * length
	return !c.Closed && (at < c.width || at > length-c.width)
}

// halfWidth is half the width of the strip at the nearest point where both sides are known.
func halfWidth(left, right []float64, i int) (float64, bool) {
	for d := 1; d < len(left); d++ {
		for _, k := range [2]int{i - d, i + d} {
			if k >= 0 && k < len(left) && !math.IsNaN(left[k]+right[k]) {
				return (left[k] + right[k]) / 2, true
			}
		}
	}
	return 0, false
}
