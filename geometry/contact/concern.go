package contact

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/space"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// concerned says of each of the host's triangles whether it is to be asked what lies on it: where another sheet comes within reach, and
// the host may report what lies there. That is told of some triangles at once, which saves more than to tell it of each.
func concerned(h *stackup.Host) []bool {
	p := h.Panels[h.Index]
	c := concern{h: h, p: p, near: make([]bool, len(p.Normals)), out: make([]bool, len(p.Normals))}
	for i := range h.Others() {
		for _, t := range h.Beside(i) {
			c.near[t] = p.Normals[t] != (r3.Vector{})
		}
	}
	if len(h.Others()) > 0 {
		p.Tree.Groups(together, inOneCell, c.take)
	}
	return c.out
}

// concern is the search for them.
type concern struct {
	h         *stackup.Host
	p         *surface.Panel
	near, out []bool
}

// Triangles are asked about at once that are few, or lie in so small a box.
const (
	together  = 32
	inOneCell = stackup.CellSize // mm
)

// take asks about those that are near another sheet of triangles that lie together.
func (c *concern) take(triangles []int32) {
	box, sum := space.EmptyBox(), r3.Vector{}
	for _, t := range triangles {
		if !c.near[t] {
			continue
		}
		for _, v := range c.p.Mesh.Triangles[t] {
			box = box.Add(c.p.Mesh.Vertices[v])
		}
		sum = sum.Add(c.p.Normals[t].Mul(math.Copysign(1, c.p.Normals[t].Dot(sum))))
	}
	if box.IsEmpty() {
		return
	}
	axis, least := sum.Normalize(), 1.0
	for _, t := range triangles {
		if c.near[t] {
			least = min(least, math.Abs(c.p.Normals[t].Dot(axis)))
		}
	}
	lean := math.Acos(least) + math.Acos(min(1, c.h.CosLimit)) // a smooth normal leaves its triangle's by up to the limit
	if c.h.Reports(&stackup.Span{Corners: cornersOf(box), Axis: axis, Lean: lean + kit.Rounding}) {
		for _, t := range triangles {
			c.out[t] = c.near[t]
		}
	}
}

// cornersOf are the corners of a box.
func cornersOf(b space.Box) []r3.Vector {
	out := make([]r3.Vector, 0, 8)
	for i := range 8 {
		p := b.Min
		if i&1 > 0 {
			p.X = b.Max.X
		}
		if i&2 > 0 {
			p.Y = b.Max.Y
		}
		if i&4 > 0 {
			p.Z = b.Max.Z
		}
		out = append(out, p)
	}
	return out
}
