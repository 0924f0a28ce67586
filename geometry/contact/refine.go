package contact

import (
	"context"
	"math"
	"slices"
	"sync"

	"github.com/golang/geo/r3"

	"seamwright/geometry/detail"
	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// copier copies triangles of a panel into a patch. A corner on a crease becomes several points.
type copier struct {
	panel  *surface.Panel
	patch  *region.Patch
	first  []int32   // of each vertex: the first of its points + 1
	next   []int32   // of each point: the next point of the same vertex + 1
	angles []float64 // of corners, as the panel's fan
	ofBend []bool    // of facets: are of a bend; nil where no edge is long enough for that to matter
	bent   []bool    // of each point: is of a facet of a bend
}

func (c *copier) add(t int32) {
	var out [3]int32
	bent := c.ofBend != nil && c.ofBend[t]
	for k, v := range c.panel.Mesh.Triangles[t] {
		out[k] = c.point(v, c.panel.CornerNormal(t, k, c.angles))
		c.bent[out[k]] = c.bent[out[k]] || bent
	}
	c.patch.Tris = append(c.patch.Tris, out)
}

// point is the one at vertex v with the normal n: equal on one side of a crease, but for rounding.
func (c *copier) point(v int32, n r3.Vector) int32 {
	at := &c.first[v]
	for *at > 0 {
		if have := c.patch.Normals[*at-1]; have == n || round(have.X) == round(n.X) && round(have.Y) == round(n.Y) &&
			round(have.Z) == round(n.Z) {
			return *at - 1
		}
		at = &c.next[*at-1]
	}
	i := int32(len(c.patch.Points))
	*at = i + 1
	c.patch.Points, c.patch.Normals, c.next = append(c.patch.Points, c.panel.Mesh.Vertices[v]), append(c.patch.Normals, n), append(c.next, 0)
	c.bent = append(c.bent, false)
	return i
}

func round(x float64) float64 { return math.Round(x * 1e6) }

// shortEdge is how long an edge is at most, in mm, whose middle's cell is worth gathering.
const shortEdge = 4 * stackup.CellSize

// edgeIsNear says whether the edge comes within reach of another panel. It must be exact: were a short edge
// called near where the long one beside it is not, triangles between the two would be cut without end.
func edgeIsNear(h *stackup.Host, a, b r3.Vector) bool {
	middle, half := a.Add(b).Mul(0.5), a.Sub(b).Norm()/2
	short := 2*half <= shortEdge
	if short && h.IsNear(middle) {
		return true
	}
	for _, x := range h.Others() {
		tree, reach := h.Panels[x].Tree, h.Reach(h.Index, x)
		if !short {
			hit, ok := tree.Closest(middle, reach+half)
			if !ok {
				continue
			}
			if hit.Distance <= reach {
				return true
			}
		}
		if _, ok := tree.Capsule(a, b, reach); ok {
			return true
		}
	}
	return false
}

// refine cuts the host's triangles that are near to another panel until no edge there is longer than fine, or than coarse where it
// lies on no bend and near no details; and leaves those out on which the host surely reports nothing. Everywhere says that all edges
// are to be fine.
func (in *Workspace) refine(ctx context.Context, h *stackup.Host, everywhere bool) (*region.Patch, error) {
	which, err := in.concerned(ctx, h)
	if err != nil {
		return nil, err
	}
	p, bent := in.copied(h, which)
	use := func(t [3]int32) bool {
		corners := [3]r3.Vector{p.Points[t[0]], p.Points[t[1]], p.Points[t[2]]}
		axis, lean := leanOf(p.Normals[t[0]], p.Normals[t[1]], p.Normals[t[2]])
		return h.Reports(&stackup.Span{Corners: corners[:], Axis: axis, Lean: lean})
	}
	near := nearPoints{h: h, patch: p}
	bends := bendPoints{patch: p, are: bent}
	details := sync.OnceValue(func() *detail.Places { return detailsBeside(h) })
	return p, p.CutFineWhere(ctx, use, func(a, b int32) bool {
		onBend := bends.is(a) && bends.is(b)
		from, to := p.Points[a], p.Points[b]
		if !everywhere && !onBend && from.Sub(to).Norm2() <= detail.Coarse*detail.Coarse && !details().AreNear(from, to) {
			return false
		}
		if near.is(a) || near.is(b) || edgeIsNear(h, from, to) {
			bends.halve(onBend)
			return true
		}
		return false
	})
}

// bendPoints are those of a patch that lie on facets of the host's bends, their sides included.
type bendPoints struct {
	patch *region.Patch
	are   []bool
}

func (b *bendPoints) is(v int32) bool { return int(v) < len(b.are) && b.are[v] }

// halve says of the middle of an edge, which is the patch's next point, whether it lies on a bend.
func (b *bendPoints) halve(onBend bool) {
	if onBend {
		b.are = append(b.are, make([]bool, len(b.patch.Points)+1-len(b.are))...)
		b.are[len(b.patch.Points)] = true
	}
}

// detailsBeside is where a host has details, and the sheets beside it.
func detailsBeside(h *stackup.Host) *detail.Places {
	var own, others detail.Lines
	host := h.Panels[h.Index]
	for _, x := range h.Others() {
		reach, lines := h.Reach(h.Index, x), h.Panels[x].FeatureLines()
		last := near.Hit{Tri: near.NoHint, Point: r3.Vector{X: math.Inf(1)}}
		isNear := func(at r3.Vector) bool {
			if at.Sub(last.Point).Norm2() < reach*reach { // as of most pieces of a line, the nearest to the one before
				return true
			}
			hit, ok := host.Tree.ClosestFrom(last.Tri, at, reach, nil)
			if ok {
				last = hit
			}
			return ok
		}
		for i := range lines {
			others.Add(&lines[i], host.Tree.Box().Grow(reach), isNear)
		}
	}
	lines, about := host.FeatureLines(), others.Box().Grow(detail.Narrow)
	for i := range lines {
		if lines[i].Turn != (r3.Vector{}) {
			own.Add(&lines[i], about, func(r3.Vector) bool { return true })
		}
	}
	return detail.Beside(&own, &others)
}

// nearPoints remembers of a patch's points whether they come within reach of another panel: then all edges from them do.
type nearPoints struct {
	h     *stackup.Host
	patch *region.Patch
	known []int8 // 1 for yes, -1 for no, 0 where it was not asked
}

func (n *nearPoints) is(v int32) bool {
	if int(v) >= len(n.known) {
		n.known = append(n.known, make([]int8, len(n.patch.Points)-len(n.known))...)
	}
	if n.known[v] == 0 {
		if n.known[v] = -1; n.h.IsNear(n.patch.Points[v]) {
			n.known[v] = 1
		}
	}
	return n.known[v] > 0
}

// leanOf is the direction amid some unit normals, and the angle by which those between them leave it at most, radians.
func leanOf(a, b, c r3.Vector) (axis r3.Vector, lean float64) {
	if a == b && b == c {
		return a, 0
	}
	normals := [3]r3.Vector{a, b, c}
	for _, n := range normals {
		axis = axis.Add(n)
	}
	if axis = axis.Normalize(); axis == (r3.Vector{}) {
		return axis, math.Pi
	}
	for _, n := range normals {
		lean = max(lean, math.Atan2(axis.Cross(n).Norm(), axis.Dot(n)))
	}
	return axis, lean
}

// cornersOf is about how many corners so many triangles have.
func cornersOf(triangles int) int { return triangles/2 + triangles/16 }

// copied is a patch of some of the host's triangles.
func (in *Workspace) copied(h *stackup.Host, which []bool) (p *region.Patch, bent []bool) {
	panel := h.Panels[h.Index]
	p = &in.patch
	triangles := 0
	for _, wanted := range which {
		triangles += kit.CountIf(wanted)
	}
	corners := cornersOf(triangles)
	p.Points, p.Normals, p.Tris = slices.Grow(p.Points[:0], corners), slices.Grow(p.Normals[:0], corners), slices.Grow(p.Tris[:0], triangles)
	c := copier{panel: panel, patch: p, first: kit.Zeros[int32](len(panel.Mesh.Vertices)), next: make([]int32, 0, corners),
		angles: kit.Zeros[float64](len(panel.Fan)), bent: make([]bool, 0, corners)}
	if slices.ContainsFunc(panel.Topo.Edges, func(e mesh.Edge) bool {
		return panel.Mesh.Vertices[e.V[0]].Sub(panel.Mesh.Vertices[e.V[1]]).Norm2() > region.Fine*region.Fine
	}) {
		c.ofBend = panel.BentFacets()
	}
	for t, wanted := range which {
		if wanted {
			c.add(int32(t))
		}
	}
	return p, c.bent
}
