package centreline

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/kit"
)

// fromAnchor lets a closed line begin where it passes the corner of the strip that is farthest from the middle
// of the sheets, and run left round the strip's normals: both turn with the panels.
func (c *Line) fromAnchor(line *curve.Line) *curve.Line {
	if !c.Closed {
		return line
	}
	s, _ := line.Nearest(c.r.Mesh.Vertices[c.anchor])
	n := len(line.Points)
	points := []r3.Vector{line.At(s)}
	for i := range n {
		if line.Sum(i) > s {
			points = append(points, line.Points[i])
		}
	}
	for i := range n {
		if line.Sum(i) < s {
			points = append(points, line.Points[i])
		}
	}
	if c.runsRight(points) {
		slices.Reverse(points[1:])
	}
	return curve.New(points, true)
}

// runsRight says whether a closed line encloses its area to its right; where it runs round a tube, which has no
// left, whether the line's plane looks away from the middle, or in the end back along x.
func (c *Line) runsRight(points []r3.Vector) bool {
	area, normal, middle := r3.Vector{}, r3.Vector{}, r3.Vector{}
	for i, p := range points {
		area = area.Add(p.Sub(points[0]).Cross(points[(i+1)%len(points)].Sub(points[0])))
		middle = middle.Add(p.Mul(1 / float64(len(points))))
	}
	for v := range c.r.Mesh.Vertices {
		normal = normal.Add(c.r.Normals[v])
	}
	size := area.Norm()
	if along := normal.Dot(area); math.Abs(along) > 0.1*size*float64(len(c.r.Normals)) {
		return along < 0
	}
	if out := middle.Sub(c.middle).Dot(area); math.Abs(out) > kit.AlikeTo*size*c.width {
		return out < 0
	}
	return kit.Before(area, r3.Vector{}, size)
}

// runsBackward says whether an open line ends farther from the middle of the sheets than it begins.
func (c *Line) runsBackward(points []r3.Vector) bool {
	first, last := points[0], points[len(points)-1]
	size := first.Sub(last).Norm() + c.width
	if d := last.Sub(c.middle).Norm() - first.Sub(c.middle).Norm(); math.Abs(d) > 10*kit.AlikeTo*size {
		return d > 0
	}
	return kit.Before(last, first, 10*size)
}
