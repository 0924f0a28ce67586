package contact

import (
	"context"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/fold"
	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
	"seamwright/internal/work"
)

// Lap is a connected part of a host on which one stack of sheets lies, with its border labelled.
type Lap struct {
	*region.Region
	Stack stackup.Stack
}

// lap makes the connected triangles of a stack a region of their own.
func (l *labels) lap(whole *region.Region, tris []int32, s stackup.Stack) *Lap {
	whole.About = l.about(s)
	return &Lap{whole.Sub(tris), s}
}

// Parts are the connected parts of some of a region's triangles.
func (r *Lap) Parts(tris []int32) (parts []*Lap) {
	if len(tris) == 0 {
		return nil
	}
	some := r.Sub(tris)
	for _, part := range region.Connected(some) {
		parts = append(parts, &Lap{some.Sub(part), r.Stack})
	}
	return parts
}

// Flats are the parts of a region between bends; the region itself where it has none. nested says that there are some. The bends are
// the host's, or those of all sheets that lie there.
func (r *Lap) Flats(h *stackup.Host, ofAll bool, crew *work.Crew) (parts []*Lap, nested bool) {
	var others []*surface.Panel
	if ofAll {
		for _, x := range r.Stack.Sheets() {
			if x == h.Index {
				others = append(others, nil)
			} else {
				others = append(others, h.Panels[x])
			}
		}
	}
	flats := fold.Flats(r.Region, h.Panels[h.Index], others, crew)
	if flats == nil {
		return []*Lap{r}, false
	}
	for _, tris := range flats {
		parts = append(parts, &Lap{r.Sub(tris), r.Stack})
	}
	return parts, true
}

// labels say what ends the regions of a host, and what else a weld line's place is told by.
type labels struct {
	*stackup.Host
	edge int32 // the host's triangle at the edge that was asked about last
}

func newLabels(h *stackup.Host) *labels { return &labels{h, near.NoHint} }

// about is all that regions of a stack are told of its sheets.
func (l *labels) about(s stackup.Stack) region.About {
	out := region.About{EndOf: l.endOf, Beyond: 2*l.Thickest + stackup.FacingReach}
	sum := r3.Vector{}
	for i, x := range s.Sheets() {
		p := l.Panels[x]
		layer := region.Layer{Mesh: p.Mesh, Topo: p.Topo}
		if x == l.Index {
			layer.Nearest = func(at, _ r3.Vector) (near.Hit, bool) { return p.Tree.Closest(at, 1) }
		} else {
			layer.Nearest = func(at, n r3.Vector) (near.Hit, bool) { return p.ParallelTo(n, at, l.Reach(l.Index, x), l.CosLimit) }
		}
		out.Layers = append(out.Layers, layer)
		out.Folded = out.Folded || slices.Contains(s.S[:i], int16(x))
		sum, out.MetalArea = sum.Add(p.Whole.Center.Mul(p.Whole.Area)), out.MetalArea+p.Whole.Area
	}
	out.Metal = sum.Mul(1 / out.MetalArea)
	out.Air = func(p, n r3.Vector) (float64, bool) {
		v := l.Classify(p, n)
		return v.Gap, v.Stack == s
	}
	return out
}

// regions splits the triangles of each stack into connected regions.
func (c *cutter) regions(ctx context.Context, crew *work.Crew) ([]*Lap, error) {
	var out []*Lap
	l := newLabels(c.Host)
	for i, s := range c.stacks {
		whole := c.compact(c.tris[i])
		parts := region.Connected(whole)
		laps := make([]*Lap, len(parts))
		rooms := make([]*region.Region, crew.Size())
		if err := crew.Each(ctx, len(parts), func(who, i int) error {
			if rooms[who] == nil {
				own := *whole
				rooms[who] = &own
			}
			laps[i] = l.lap(rooms[who], parts[i], s)
			return nil
		}); err != nil {
			return nil, err
		}
		out = append(out, laps...)
	}
	return out, nil
}

// compact makes one mesh of the triangles, joining points at the same place: the two sides of a crease
// that a stack lies across.
func (c *cutter) compact(tris [][3]int32) *region.Region {
	r, places := &c.whole, &c.places
	r.Reset()
	corners := cornersOf(len(tris))
	r.Mesh.Triangles = slices.Grow(r.Mesh.Triangles, len(tris))
	r.Normals, r.Borders = slices.Grow(r.Normals, corners), slices.Grow(r.Borders, corners)
	places.Reset()
	c.numbers = kit.Sized(c.numbers, len(c.points))
	number := c.numbers // + 1
	for _, t := range tris {
		var out [3]int32
		for k, v := range t {
			i, known := number[v]-1, true
			if i < 0 {
				i, known = places.Number(c.points[v])
				number[v] = i + 1
			}
			if !known {
				r.Normals = append(r.Normals, c.normals[v])
				r.Borders = append(r.Borders, c.borders[v])
			} else if r.Borders[i].Why == region.UnknownEnd {
				r.Borders[i] = c.borders[v]
			}
			out[k] = i
		}
		if out[0] != out[1] && out[1] != out[2] && out[2] != out[0] {
			r.Mesh.Triangles = append(r.Mesh.Triangles, out)
		}
	}
	r.Mesh.Vertices = places.Places
	collapse(r)
	r.Topo = r.Mesh.Topology()
	return r
}

// oneAndSame is the length of an edge whose ends are one place but for rounding, mm.
const oneAndSame = 1e-9

// collapse makes the ends of such edges one. Where the edges of two sheets all but coincide, a cut is found from both sides of them;
// the triangles between would be folded over, and topology know no way across.
func collapse(r *region.Region) {
	isShort := func(a, b int32) bool {
		return r.Mesh.Vertices[a].Sub(r.Mesh.Vertices[b]).Norm2() < oneAndSame*oneAndSame
	}
	var one mesh.Pieces
	for _, t := range r.Mesh.Triangles {
		for k := range 3 {
			if a, b := t[k], t[(k+1)%3]; isShort(a, b) {
				if one == nil {
					one = mesh.NewPieces(len(r.Mesh.Vertices))
				}
				one.Join(a, b)
			}
		}
	}
	if one == nil {
		return
	}
	for v := range r.Borders {
		if first := one.First(int32(v)); r.Borders[first].Why == region.UnknownEnd {
			r.Borders[first] = r.Borders[v]
		}
	}
	kept := r.Mesh.Triangles[:0]
	for _, t := range r.Mesh.Triangles {
		t = [3]int32{one.First(t[0]), one.First(t[1]), one.First(t[2])}
		if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
			kept = append(kept, t)
		}
	}
	r.Mesh.Triangles = kept
}

// endOf is what ends a region at an edge of its border.
func (l *labels) endOf(r *region.Region, a, b int32) region.Border {
	if r.Borders[a].Cut && r.Borders[b].Cut {
		return l.mixedEnd(r, a, b)
	}
	host := l.Panels[l.Index]
	mid := r.Mesh.Vertices[a].Add(r.Mesh.Vertices[b]).Mul(0.5)
	end := region.Border{Why: region.Bend, Whose: l.Index}
	hit, ok := host.Tree.ClosestFrom(l.edge, mid, 1, nil)
	if !ok {
		return end
	}
	l.edge = hit.Tri
	for k := range 3 {
		tri := host.Mesh.Triangles[hit.Tri]
		p, q := host.Mesh.Vertices[tri[k]], host.Mesh.Vertices[tri[(k+1)%3]]
		if near.ToSegment(mid, p, q) > region.OnEdge {
			continue
		}
		if host.Ends(hit.Tri, k) == region.FreeEdge {
			end.Why = region.FreeEdge
		}
		return end
	}
	if r.Borders[a].Cut {
		return r.Borders[a]
	}
	if r.Borders[b].Cut {
		return r.Borders[b]
	}
	return end
}

// cornerCut is how far from a sheet's edge the middle of a border edge may be that was cut along it, mm.
const cornerCut = 0.06

// mixedEnd is what ends the region at an edge between two cut points: at a corner of the strip the two were cut for
// different reasons.
func (l *labels) mixedEnd(r *region.Region, a, b int32) region.Border {
	one, other := r.Borders[a], r.Borders[b]
	if one.Why == other.Why || one.Why != region.FreeEdge && other.Why != region.FreeEdge {
		return one
	}
	free, not := one, other
	if other.Why == region.FreeEdge {
		free, not = other, one
	}
	if free.Whose < 0 {
		return one
	}
	p := l.Panels[free.Whose]
	middle := r.Mesh.Vertices[a].Add(r.Mesh.Vertices[b]).Mul(0.5)
	hit, ok := p.Tree.Closest(middle, l.Reach(l.Index, free.Whose))
	if !ok {
		return one
	}
	for k := range 3 {
		tri := p.Mesh.Triangles[hit.Tri]
		beside := near.ToSegment(hit.Point, p.Mesh.Vertices[tri[k]], p.Mesh.Vertices[tri[(k+1)%3]])
		if beside <= cornerCut && p.Ends(hit.Tri, k) == region.FreeEdge {
			return free
		}
	}
	return not
}
