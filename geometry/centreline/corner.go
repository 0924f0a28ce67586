package centreline

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/dip"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

const (
	cornerTurn   = 30. // degrees by which a line turns within a width where its ring has a corner. Chosen.
	cornerRounds = 100 // of moving places amid both borders
)

// roundCorners lays a closed line, of which the sections may be known, round the corners of its ring, and says whether there are any.
// There a section says little: past the inner corner it runs on into the outer one, and which place is taken for the middle depends on
// the way by which the line came there. So places about corners are moved until they are equally far from both borders (the medial axis:
// Blum, A Transformation for Extracting New Descriptors of Shape, 1967; from memory): about a corner of the inner border on a parabola
// to each side of the outer one. Straight on, and round a circle, that is the middle of the sections.
func (c *Line) roundCorners(points []r3.Vector, sections []Section) ([]r3.Vector, bool) {
	if !c.Closed {
		return points, false
	}
	if sections == nil {
		sections = c.sections(curve.New(points, true))
	}
	about := c.aboutCorners(sections)
	if !slices.Contains(about, true) {
		return points, false
	}
	borders := c.borders()
	if len(borders) != 2 {
		return points, false
	}
	out := places(sections)
	for i := range out {
		if about[i] {
			out[i] = c.amid(out[i], borders)
			c.ringCorners = append(c.ringCorners, out[i])
		}
	}
	return out, true
}

// aboutCorners says which of a closed line's sections lie within a width of one that runs on into a corner of the ring, at which the
// line turns.
func (c *Line) aboutCorners(sections []Section) []bool {
	n := len(sections)
	left, right := c.lengths(sections)
	l, r := c.reaches(sections)
	out := make([]bool, n)
	reach := min(n/4, int(math.Ceil(c.width/c.step)))
	half := max(1, reach/2)
	beyond := func(x, level float64) bool { return math.IsNaN(x) || x > level+dip.Rim }
	for i := range sections {
		before, after := sections[(i+n-half)%n].Along, sections[(i+half)%n].Along
		if !beyond(left[i], l[i]) && !beyond(right[i], r[i]) || before.Dot(after) > math.Cos(cornerTurn*math.Pi/180) {
			continue
		}
		for k := i - reach; k <= i+reach; k++ {
			out[(k+n)%n] = true
		}
	}
	return out
}

// amid is the place beside p that is as far from the one border as from the other.
func (c *Line) amid(p r3.Vector, borders [][]r3.Vector) r3.Vector {
	for range cornerRounds {
		a, b := nearestOn(borders[0], p), nearestOn(borders[1], p)
		way := b.Sub(a)
		if way.Norm() == 0 {
			return p
		}
		move := (b.Sub(p).Norm() - a.Sub(p).Norm()) / 2
		hit, _ := c.tree.Closest(p.Add(way.Mul(move/way.Norm())), math.Inf(1))
		if p = hit.Point; math.Abs(move) < settled {
			break
		}
	}
	return p
}

// borders are the loops of the region's border.
func (c *Line) borders() (out [][]r3.Vector) {
	seen := make([]bool, len(c.rim.After))
	for first := range c.rim.After {
		var loop []r3.Vector
		for v := int32(first); v != mesh.None && c.rim.After[v] != mesh.None && !seen[v]; v = c.rim.After[v] {
			seen[v] = true
			loop = append(loop, c.r.Mesh.Vertices[v])
		}
		if len(loop) > 0 {
			out = append(out, loop)
		}
	}
	return out
}

// nearestOn is the place of a closed border that is nearest to p.
func nearestOn(loop []r3.Vector, p r3.Vector) (nearest r3.Vector) {
	least := math.Inf(1)
	for i, a := range loop {
		q := near.ClosestOnSegment(p, a, loop[(i+1)%len(loop)])
		if d := q.Sub(p).Norm2(); d < least {
			nearest, least = q, d
		}
	}
	return nearest
}
