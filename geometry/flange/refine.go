package flange

import (
	"context"
	"errors"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// fine is the edge length of the host's mesh where another panel is near, mm: well below the narrowest
// flange, so that no strip slips between two places that are asked about.
const fine = 3.0

// patch is the part of the host that other panels come near to, cut fine and split along creases: a
// corner on a crease stands once for each side.
type patch struct {
	points  []r3.Vector
	normals []r3.Vector
	tris    [][3]int32
}

// refine cuts the host's triangles that are near to another panel until no edge there is longer than fine.
func (f *finder) refine(ctx context.Context, host int) (*patch, error) {
	p := f.nearTriangles(host)
	return p, p.cutFine(ctx, func(a, b r3.Vector) bool { return f.edgeIsNear(host, a, b) })
}

// mostPoints bounds the memory of one patch: contact all over a panel of 5 by 5 m takes fewer.
const mostPoints = 4_000_000

// ErrTooLarge is returned for a panel that lies on others over more surface than any sheet has.
var ErrTooLarge = errors.New("it lies near other panels over more than a sheet's surface: check its unit")

// cutFine halves edges longer than fine, where wanted says so, until there are none. A triangle whose
// edges all stay whole is done: what is decided of an edge does not change.
func (p *patch) cutFine(ctx context.Context, wanted func(a, b r3.Vector) bool) error {
	split := map[uint64]int32{}
	var done [][3]int32
	for open := p.tris; len(open) > 0; {
		for i, tri := range open {
			if len(p.points) > mostPoints {
				return ErrTooLarge
			}
			if i%1024 == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			for k := range 3 {
				p.splitEdge(split, tri[k], tri[(k+1)%3], wanted, fine)
			}
		}
		var next [][3]int32
		for _, tri := range open {
			mid, cuts := midpoints(tri, split)
			if cuts == 0 {
				done = append(done, tri)
				continue
			}
			next = append(next, pieces(p, tri, mid, cuts)...)
		}
		open = next
	}
	p.tris = done
	return nil
}

// nearTriangles copies the triangles that a neighbour's box of reach touches.
func (f *finder) nearTriangles(host int) *patch {
	panel := f.panels[host]
	p := &patch{}
	type corner struct {
		vertex int32
		normal [3]int32 // rounded: equal on one side of a crease
	}
	index := map[corner]int32{}
	for t, tri := range panel.Mesh.Triangles {
		if panel.normals[t] == (r3.Vector{}) || !f.triangleIsNear(host, t) {
			continue
		}
		var out [3]int32
		for k, v := range tri {
			n := panel.cornerNormal(int32(t), k)
			key := corner{v, [3]int32{round(n.X), round(n.Y), round(n.Z)}}
			i, known := index[key]
			if !known {
				i = int32(len(p.points))
				index[key] = i
				p.points = append(p.points, panel.Mesh.Vertices[v])
				p.normals = append(p.normals, n)
			}
			out[k] = i
		}
		p.tris = append(p.tris, out)
	}
	return p
}

func round(x float64) int32 { return int32(math.Round(x * 1e6)) }

func (f *finder) triangleIsNear(host, t int) bool {
	a, b, c := f.panels[host].Mesh.Corners(t)
	box := space.EmptyBox().Add(a).Add(b).Add(c)
	for _, x := range f.neighbours[host] {
		if anyIn(f.panels[x], box.Grow(f.reach(host, x))) {
			return true
		}
	}
	return false
}

func anyIn(p *panel, box space.Box) (found bool) {
	p.tree.Overlapping(box, func(int32) bool { found = true; return false })
	return found
}

// edgeKey names the edge between two points, whichever comes first.
func edgeKey(a, b int32) uint64 { return uint64(min(a, b))<<32 | uint64(max(a, b)) }

// splitEdge marks the edge for cutting in half if it is longer than longest. The answer depends on the edge alone, so that both
// triangles on it agree. split holds the new point, or -1 where the edge stays whole.
func (p *patch) splitEdge(split map[uint64]int32, a, b int32, wanted func(a, b r3.Vector) bool, longest float64) {
	key := edgeKey(a, b)
	if _, known := split[key]; known {
		return
	}
	a, b = min(a, b), max(a, b)
	from, to := p.points[a], p.points[b]
	middle := from.Add(to).Mul(0.5)
	if middle == from || middle == to { // no number lies between the two
		split[key] = -1
		return
	}
	if from.Sub(to).Norm2() <= longest*longest || !wanted(from, to) {
		split[key] = -1
		return
	}
	split[key] = int32(len(p.points))
	p.points = append(p.points, middle)
	n := p.normals[a].Add(p.normals[b])
	if l := n.Norm(); l > 0 {
		n = n.Mul(1 / l)
	}
	p.normals = append(p.normals, n)
}

// edgeIsNear says whether the edge comes within reach of another panel. It must be exact: were a short edge
// called near where the long one beside it is not, triangles between the two would be cut without end.
func (f *finder) edgeIsNear(host int, a, b r3.Vector) bool {
	middle, half := a.Add(b).Mul(0.5), a.Sub(b).Norm()/2
	for _, x := range f.neighbours[host] {
		reach := f.reach(host, x)
		tree := f.panels[x].tree
		hit, ok := tree.Closest(middle, reach+half)
		if !ok {
			continue
		}
		if hit.Distance <= reach {
			return true
		}
		if _, ok := tree.Capsule(a, b, reach); ok {
			return true
		}
	}
	return false
}

func midpoints(t [3]int32, split map[uint64]int32) (mid [3]int32, cuts int) {
	for k := range 3 {
		v, known := split[edgeKey(t[k], t[(k+1)%3])]
		if !known {
			v = -1
		}
		mid[k] = v
		if v >= 0 {
			cuts++
		}
	}
	return mid, cuts
}

func pieces(p *patch, t, mid [3]int32, cuts int) [][3]int32 {
	switch cuts {
	case 0:
		return [][3]int32{t}
	case 3:
		return [][3]int32{{t[0], mid[0], mid[2]}, {mid[0], t[1], mid[1]}, {mid[2], mid[1], t[2]}, {mid[0], mid[1], mid[2]}}
	}
	k := 0
	if cuts == 1 {
		for mid[k] < 0 {
			k++
		}
		a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
		return [][3]int32{{a, mid[k], c}, {mid[k], b, c}}
	}
	for mid[k] >= 0 { // edge k is whole; a faces it
		k++
	}
	b, c, a := t[k], t[(k+1)%3], t[(k+2)%3]
	ca, ab := mid[(k+1)%3], mid[(k+2)%3]
	if p.points[b].Sub(p.points[ca]).Norm2() < p.points[c].Sub(p.points[ab]).Norm2() {
		return [][3]int32{{a, ab, ca}, {ab, b, ca}, {b, c, ca}}
	}
	return [][3]int32{{a, ab, ca}, {ab, b, c}, {ab, c, ca}}
}
