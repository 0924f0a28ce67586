package contact

import (
	"context"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/space"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// concerned says of each of the host's triangles whether it is to be asked what lies on it: where another sheet comes within reach, and
// the host may report what lies there. That is told of some triangles at once, which saves more than to tell it of each.
func (in *Workspace) concerned(ctx context.Context, h *stackup.Host) ([]bool, error) {
	p := h.Panels[h.Index]
	near, out := make([]bool, len(p.Normals)), make([]bool, len(p.Normals))
	for i := range h.Others() {
		for _, t := range h.Beside(i) {
			near[t] = p.Normals[t] != (r3.Vector{})
		}
	}
	if len(h.Others()) == 0 {
		return out, nil
	}
	var groups [][]int32
	p.Tree.Groups(together, inOneCell, func(triangles []int32) {
		if slices.ContainsFunc(triangles, func(t int32) bool { return near[t] }) {
			groups = append(groups, triangles)
		}
	})
	return out, in.pieces(ctx, h, (len(groups)+groupsAtOnce-1)/groupsAtOnce, func(h *stackup.Host, i int) {
		c := concern{h: h, p: p, near: near, out: out}
		for _, g := range groups[i*groupsAtOnce : min(len(groups), (i+1)*groupsAtOnce)] {
			c.take(g)
		}
	})
}

// groupsAtOnce is how many groups of triangles one worker asks about before it takes more.
const groupsAtOnce = 128

// concern is the search for them.
type concern struct {
	h         *stackup.Host
	p         *surface.Panel
	near, out []bool
	corners   []r3.Vector // room for a span's
}

// Triangles are asked about at once that are few, or lie in so small a box; where that does not tell, halves of them, unless those that are
// near another sheet lie in such a box: parts of that seldom say other than the whole.
const (
	together  = 32
	fewest    = 4
	inOneCell = stackup.CellSize // mm
)

// take asks about those that are near another sheet of triangles that lie together, in the tree's order.
func (c *concern) take(triangles []int32) {
	c.corners = c.corners[:0]
	sum := r3.Vector{}
	var taken [64]int32 // corners + 1, each at the last bits of its number: most belong to six of the triangles
	for _, t := range triangles {
		if !c.near[t] {
			continue
		}
		for _, v := range c.p.Mesh.Triangles[t] {
			if at := &taken[uint32(v)%uint32(len(taken))]; *at != v+1 {
				*at = v + 1
				c.corners = append(c.corners, c.p.Mesh.Vertices[v])
			}
		}
		sum = sum.Add(c.p.Normals[t].Mul(math.Copysign(1, c.p.Normals[t].Dot(sum))))
	}
	if len(c.corners) == 0 {
		return
	}
	axis, least := sum.Normalize(), 1.0
	for _, t := range triangles {
		if c.near[t] {
			least = min(least, math.Abs(c.p.Normals[t].Dot(axis)))
		}
	}
	lean := math.Acos(least) + math.Acos(min(1, c.h.CosLimit)) // a smooth normal leaves its triangle's by up to the limit
	if !c.h.Reports(&stackup.Span{Corners: c.corners, Axis: axis, Lean: lean + kit.Rounding}) {
		return
	}
	if len(triangles) > fewest && !c.isSmall() {
		c.take(triangles[:len(triangles)/2])
		c.take(triangles[len(triangles)/2:])
		return
	}
	for _, t := range triangles {
		c.out[t] = c.near[t]
	}
}

// isSmall says whether the corners lie in so small a box.
func (c *concern) isSmall() bool {
	box := space.EmptyBox()
	for _, p := range c.corners {
		box.Hold(p)
	}
	s := box.Size()
	return max(s.X, s.Y, s.Z) <= inOneCell
}
