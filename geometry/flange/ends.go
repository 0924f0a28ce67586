package flange

import (
	"math"

	"github.com/golang/geo/r3"
)

func (c *centring) nearEnd(i, n int, length float64) bool {
	at := float64(i) / float64(n-1) * length
	return !c.closed && (at < c.width || at > length-c.width)
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

// arm is the course of a line before it meets others: the last place that is sure, and the way on from there.
type arm struct{ at, dir r3.Vector }

// reachEnds drops the points at the very ends and lets the line run straight on to the strip's border, or to where
// it meets others. While the line is rough half a width goes at each end, so that an end that set off askew comes right.
func (c *centring) reachEnds(points []r3.Vector, rough bool) []r3.Vector {
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
func (c *centring) unsure(points []r3.Vector, end int, rough bool) int {
	if c.chain.forks[end] == noFork {
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
func (c *centring) forkAt(end int) r3.Vector {
	if c.meets[end] != nil {
		return *c.meets[end]
	}
	if end == 0 {
		return c.chain.points[0]
	}
	return c.chain.points[len(c.chain.points)-1]
}

// goOn is where the line ends that goes on from p in a direction.
func (c *centring) goOn(end int, p, dir r3.Vector) (r3.Vector, bool) {
	c.arms[end] = arm{p, dir.Normalize()}
	if c.chain.forks[end] == noFork {
		return c.runOn(p, dir)
	}
	if c.meets[end] != nil {
		return *c.meets[end], true
	}
	ahead := c.forkAt(end).Sub(p).Dot(c.arms[end].dir)
	hit, _ := c.tree.Closest(p.Add(c.arms[end].dir.Mul(math.Max(0, ahead))), math.Inf(1))
	return hit.Point, ahead > 0
}

// meetings are the places where lines meet: the nearest to all of those that end at a fork, run straight on.
func (c *centring) meetings(lines []*centring) map[int32]r3.Vector {
	arms, rough := map[int32][]arm{}, map[int32]r3.Vector{}
	for _, l := range lines {
		for end, fork := range l.chain.forks {
			if fork != noFork && l.arms[end].dir != (r3.Vector{}) {
				arms[fork] = append(arms[fork], l.arms[end])
				rough[fork] = l.forkAt(end)
			}
		}
	}
	out := map[int32]r3.Vector{}
	for fork, of := range arms {
		p := rough[fork]
		for range 200 { // one line after the other is gone to: Kaczmarz' way, which needs no matrix to be sound
			sum := r3.Vector{}
			for _, a := range of {
				d := p.Sub(a.at)
				sum = sum.Add(a.at.Add(a.dir.Mul(d.Dot(a.dir))))
			}
			p = sum.Mul(1 / float64(len(of)))
		}
		if p.Sub(rough[fork]).Norm() > 2*c.width {
			p = rough[fork] // nearly parallel lines meet nowhere
		}
		hit, _ := c.tree.Closest(p, math.Inf(1))
		out[fork] = hit.Point
	}
	return out
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

// fillEnds gives points whose section is cut off by the strip's end the widths of the nearest whole one. Amid the line a side that
// runs steeply is no end but the flank of a dart: there the strip is as narrow as it is.
func (c *centring) fillEnds(sections []section) {
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
		half := (of.left.length + of.right.length) / 2
		amid := !c.nearEnd(i, len(sections), length)
		for _, side := range [2]struct{ of, whole *trace }{{&s.left, &of.left}, {&s.right, &of.right}} {
			t := side.of
			if amid && t.ok && t.length < half && c.f.edgeEnd(c.r, t.edge[0], t.edge[1]).why == FreeEdge {
				continue
			}
			t.length, t.edge, t.bent, t.parts, t.ok = half, side.whole.edge, side.whole.bent, side.whole.parts, true
		}
	}
}

func nearestWhole(sections []section, i int) int {
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
func (c *centring) blankForks(sections []section) {
	width := usualWidth(sections)
	for _, at := range c.meets {
		for i := range sections {
			s := &sections[i]
			if at != nil && s.at.point.Sub(*at).Norm() < forkWidths*c.width && s.left.length+s.right.length > 1.02*width {
				s.leftSide, s.rightSide = false, false
			}
		}
	}
}
