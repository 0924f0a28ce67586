package centreline

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/region"
)

const (
	steepRise = 0.35 // of a border's distance beside the line: one that stands higher lies round a bend, and is left as it is
	samePoint = 1e-6 // mm: below it a corner is not said twice
)

// Outline is the region's border, ended where the line's sections do: beyond their ends the sheets part, beside the line
// or before and after what was kept of it. Where the border falls short of a bend's tangent line it goes out to there.
// Corners that lie nearer to another of the region's lines are left to that, and crumbs are left out.
func (c *Line) Outline(loops [][]int32, kept []Section, runs []*Line) [][]r3.Vector {
	first, last := kept[0].At.Point != c.Sections[0].At.Point, kept[len(kept)-1].At.Point != c.Sections[len(c.Sections)-1].At.Point
	ended, longest := first || last, 0. // mm from one section to the next
	for i := range kept {
		ended = ended || kept[i].Left.Parts || kept[i].Right.Parts
		longest = max(longest, kept[i].At.Point.Sub(kept[max(i-1, 0)].At.Point).Norm())
	}
	out := make([][]r3.Vector, 0, len(loops))
	for k, loop := range loops {
		if k > 0 && c.r.IsCrumb(loop) {
			continue
		}
		points := make([]r3.Vector, 0, len(loop))
		for i, v := range loop {
			p := c.r.Mesh.Vertices[v]
			if !ended {
				points = append(points, p)
				continue
			}
			if s, at := nearestSection(kept, longest, p); c.isNearest(s, p, runs) {
				p = s.within(p, c.runsAside(loop, i, s), at == 0 && first, at == len(kept)-1 && last)
			}
			if n := len(points); n == 0 || p.Sub(points[n-1]).Norm() > samePoint {
				points = append(points, p)
			}
		}
		if n := len(points); ended && n > 1 && points[0].Sub(points[n-1]).Norm() <= samePoint {
			points = points[:n-1]
		}
		if len(points) > 2 {
			out = append(out, points)
		}
	}
	return out
}

// nearestSection is the section nearest to a place. Those are passed over that cannot be nearer, being at most longest from
// one to the next.
func nearestSection(sections []Section, longest float64, p r3.Vector) (*Section, int) {
	best, least := 0, math.Inf(1)
	for i := 0; i < len(sections); {
		d := sections[i].At.Point.Sub(p).Norm()
		if d < least {
			best, least = i, d
		}
		i++
		if ahead := (d - least) * (1 - 1e-9); ahead > longest {
			i += int(min(ahead/longest, float64(len(sections))))
		}
	}
	return &sections[best], best
}

// isNearest says whether none of the region's other lines passes nearer to a place than a section of this one.
func (c *Line) isNearest(s *Section, p r3.Vector, runs []*Line) bool {
	least := s.At.Point.Sub(p).Norm2()
	for _, o := range runs {
		for i := 0; o != c && i < len(o.Sections); i++ {
			if o.Sections[i].At.Point.Sub(p).Norm2() < least {
				return false
			}
		}
	}
	return true
}

// runsAside says whether the border runs along the line at a corner of it, and is no free edge.
func (c *Line) runsAside(loop []int32, i int, s *Section) bool {
	v := loop[i]
	for _, edge := range [2][2]int32{{loop[(i+len(loop)-1)%len(loop)], v}, {v, loop[(i+1)%len(loop)]}} {
		if c.r.End(edge[0], edge[1]).Why == region.FreeEdge {
			return false
		}
		if d := c.rim.Direction(edge); math.Abs(d.Dot(s.Along)) < endCosine*d.Norm() {
			return false
		}
	}
	return true
}

// within is the place, or the nearest that lies within the section's sides, and not before it or behind it where the
// line was cut off there. A place on the border beside a bend goes to the bend.
func (s *Section) within(p r3.Vector, aside, first, last bool) r3.Vector {
	d := p.Sub(s.At.Point)
	if ahead := d.Dot(s.Along); first && ahead < 0 || last && ahead > 0 {
		p, d = p.Sub(s.Along.Mul(ahead)), d.Sub(s.Along.Mul(ahead))
	}
	off, side, dir := d.Dot(s.Across), &s.Left, s.Across
	if off < 0 {
		off, side, dir = -off, &s.Right, s.Across.Mul(-1)
	}
	if !side.Parts || math.Abs(d.Dot(s.Normal)) > steepRise*off {
		return p
	}
	if off > side.Length || side.Bent && aside {
		return p.Add(dir.Mul(side.Length - off))
	}
	return p
}
