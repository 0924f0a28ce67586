package flange

import (
	"context"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// border says what ends a region at a border point.
type border struct {
	why    Edge
	whose  int
	cut    bool      // the point was cut out of an edge of the patch, or moved to a sheet's edge, rather than being a corner of it
	beside r3.Vector // from the place that was asked about to the end of the sheet, along the sheet
}

// region is the connected part of a host on which one stack of sheets lies.
type region struct {
	stack   stack
	host    int
	mesh    *mesh.Mesh
	topo    *mesh.Topology
	normals []r3.Vector // of vertices, smooth
	borders []border    // of vertices
	filled  []bool      // of triangles: closes a hole, is not metal
	ends    edgeTable   // border edges that were asked about, by their ways
	ended   []border    // what ends the region there
	numbers []int32     // room for sub
	places  []place     // room for traces
}

// cutter turns a patch with a verdict at every point into triangles of one stack each.
type cutter struct {
	*finder
	host     int
	patch    *patch
	verdicts []verdict
	cuts     edgeTable   // of the ways between patch points: the point where the stack at the first ends
	grazed   []bool      // patch points that are just beside a stack
	touched  []bool      // patch points at split edges
	short    []ending    // room for a way
	asked    [2][]asking // of the patch's triangles, and room for more
	points   []r3.Vector
	normals  []r3.Vector
	borders  []border
	corners  []int32 // patch point to point + 1
	numbers  []int32 // likewise, room for compact
	tris     map[stack][][3]int32
	stacks   []stack                    // in order of appearance
	welded   map[[2]r3.Vector]r3.Vector // where the cut between two places lies: the two sides of a crease share it
}

// reset makes it the cutter of another patch.
func (c *cutter) reset(f *finder, host int, p *patch) {
	c.finder, c.host, c.patch = f, host, p
	c.verdicts, c.grazed = sized(c.verdicts, len(p.points)), c.grazed[:0]
	c.points, c.normals, c.borders, c.stacks = c.points[:0], c.normals[:0], c.borders[:0], c.stacks[:0]
	c.cuts.reset()
	c.tris, c.welded = map[stack][][3]int32{}, map[[2]r3.Vector]r3.Vector{}
}

func (c *cutter) run(ctx context.Context) error {
	if err := c.sharpen(ctx); err != nil {
		return err
	}
	c.corners = sized(c.corners, len(c.patch.points))
	for _, t := range c.patch.tris {
		seen := [3]stack{}
		for k, v := range t {
			s := c.verdicts[v].stack
			if s.n == 0 || s == seen[0] || s == seen[1] {
				continue
			}
			seen[k] = s
			c.keep(t, s)
		}
	}
	return nil
}

// keep adds the part of triangle t that carries stack s.
func (c *cutter) keep(t [3]int32, s stack) {
	if !c.emits(s) {
		return
	}
	polygon := make([]int32, 0, 5)
	for k := range 3 {
		a, b := t[k], t[(k+1)%3]
		inA, inB := c.verdicts[a].stack == s, c.verdicts[b].stack == s
		if inA {
			polygon = append(polygon, c.corner(a))
		}
		if inA && !inB {
			polygon = append(polygon, c.cut(a, b))
		} else if inB && !inA {
			polygon = append(polygon, c.cut(b, a))
		}
	}
	if _, known := c.tris[s]; !known {
		c.stacks = append(c.stacks, s)
	}
	if len(polygon) == 4 && c.apart(polygon[1], polygon[3]) < float64(c.apart(polygon[0], polygon[2])*(1-alikeTo)) {
		polygon = append(polygon[1:], polygon[0]) // cut along the shorter diagonal, whichever corner comes first
	}
	for k := 2; k < len(polygon); k++ {
		tri := [3]int32{polygon[0], polygon[k-1], polygon[k]}
		if tri[0] != tri[1] && tri[1] != tri[2] && tri[2] != tri[0] {
			c.tris[s] = append(c.tris[s], tri)
		}
	}
}

// emits says whether this host reports the stack: the first of its sheets in rank does, so that each strip is reported
// once. A sheet that lies in the stack twice does not count, for neither of its pieces sees the whole.
func (c *cutter) emits(s stack) bool {
	sheets := s.sheets()
	for i, sheet := range sheets {
		twice := slices.Contains(sheets[:i], sheet) || slices.Contains(sheets[i+1:], sheet)
		if sheet < c.host && !twice || sheet == c.host && twice {
			return false
		}
	}
	return true
}

func (c *cutter) apart(a, b int32) float64 { return c.points[a].Sub(c.points[b]).Norm() }

// corner is the point of the patch itself, or, where a sheet of its stack ends just short of it, the end.
func (c *cutter) corner(v int32) int32 {
	if i := c.corners[v]; i > 0 {
		return i - 1
	}
	p, end := c.patch.points[v], border{whose: -1}
	if short := c.verdicts[v].short; short.why != UnknownEnd {
		n := c.patch.normals[v]
		end = short
		p = c.weld(p, p, p.Add(short.beside.Sub(n.Mul(short.beside.Dot(n)))))
	}
	i := c.add(p, c.patch.normals[v], end)
	c.corners[v] = i + 1
	return i
}

// weld gives the place that was found before between the same two points, if it is the same but for rounding.
func (c *cutter) weld(a, b, p r3.Vector) r3.Vector {
	if known, ok := c.welded[[2]r3.Vector{a, b}]; ok && known.Sub(p).Norm2() < sharpEdge*sharpEdge {
		return known
	}
	c.welded[[2]r3.Vector{a, b}] = p
	return p
}

func (c *cutter) add(p, n r3.Vector, b border) int32 {
	c.points, c.normals, c.borders = append(c.points, p), append(c.normals, n), append(c.borders, b)
	return int32(len(c.points) - 1)
}

// regions splits the triangles of each stack into connected regions.
func (c *cutter) regions() []*region {
	var out []*region
	for _, s := range c.stacks {
		whole := c.compact(c.tris[s])
		for _, part := range connected(whole) {
			r := whole.sub(part)
			r.stack, r.host = s, c.host
			out = append(out, r)
		}
	}
	return out
}

func (r *region) reset() {
	if r.mesh == nil {
		r.mesh = &mesh.Mesh{}
	}
	r.mesh.Triangles, r.normals, r.borders = r.mesh.Triangles[:0], r.normals[:0], r.borders[:0]
}

// compact makes one mesh of the triangles, joining points at the same place: the two sides of a crease
// that a stack lies across.
func (c *cutter) compact(tris [][3]int32) *region {
	r, places := &c.room.whole, &c.room.places
	r.reset()
	places.reset()
	c.numbers = sized(c.numbers, len(c.points))
	number := c.numbers // + 1
	for _, t := range tris {
		var out [3]int32
		for k, v := range t {
			i, known := number[v]-1, true
			if i < 0 {
				i, known = places.number(c.points[v])
				number[v] = i + 1
			}
			if !known {
				r.normals = append(r.normals, c.normals[v])
				r.borders = append(r.borders, c.borders[v])
			} else if r.borders[i].why == UnknownEnd {
				r.borders[i] = c.borders[v]
			}
			out[k] = i
		}
		if out[0] != out[1] && out[1] != out[2] && out[2] != out[0] {
			r.mesh.Triangles = append(r.mesh.Triangles, out)
		}
	}
	r.mesh.Vertices = places.places
	r.topo = r.mesh.Topology()
	return r
}

// connected returns the triangles of each part that hangs together by edges, in order of first triangle.
func connected(r *region) [][]int32 {
	part := make([]int32, len(r.mesh.Triangles))
	for i := range part {
		part[i] = -1
	}
	var parts [][]int32
	for start := range part {
		if part[start] >= 0 {
			continue
		}
		id := int32(len(parts))
		part[start] = id
		list := []int32{int32(start)}
		for i := 0; i < len(list); i++ {
			for k := range 3 {
				if o := r.topo.Across(list[i], k); o != mesh.None && part[o] < 0 {
					part[o] = id
					list = append(list, o)
				}
			}
		}
		parts = append(parts, list)
	}
	return parts
}

// sub copies some triangles into a region of their own, all turned the same way round.
func (r *region) sub(tris []int32) *region {
	if len(r.numbers) < len(r.mesh.Vertices) {
		r.numbers = make([]int32, len(r.mesh.Vertices)) // + 1, zero between calls
	}
	out := &region{mesh: &mesh.Mesh{Triangles: make([][3]int32, 0, len(tris)), Vertices: make([]r3.Vector, 0, len(tris))}}
	out.normals, out.borders = make([]r3.Vector, 0, len(tris)), make([]border, 0, len(tris))
	for _, t := range tris {
		tri := r.mesh.Triangles[t]
		for k, v := range tri {
			i := r.numbers[v]
			if i == 0 {
				out.mesh.Vertices = append(out.mesh.Vertices, r.mesh.Vertices[v])
				out.normals = append(out.normals, r.normals[v])
				out.borders = append(out.borders, r.borders[v])
				i = int32(len(out.mesh.Vertices))
				r.numbers[v] = i
			}
			tri[k] = i - 1
		}
		out.mesh.Triangles = append(out.mesh.Triangles, tri)
	}
	for _, t := range tris {
		for _, v := range r.mesh.Triangles[t] {
			r.numbers[v] = 0
		}
	}
	out.filled = make([]bool, len(out.mesh.Triangles))
	out.topo = out.mesh.Topology()
	out.turnAlike()
	return out
}

// turnAlike flips triangles until neighbours agree, and normals with them: panels come with flipped facets.
func (r *region) turnAlike() {
	done := make([]bool, len(r.mesh.Triangles))
	list := []int32{0}
	done[0] = true
	for i := 0; i < len(list); i++ {
		t := list[i]
		for k := range 3 {
			o := r.topo.Across(t, k)
			if o == mesh.None || done[o] {
				continue
			}
			done[o] = true
			a, b := r.mesh.Triangles[t][k], r.mesh.Triangles[t][(k+1)%3]
			if runsAlong(r.mesh.Triangles[o], a, b) {
				tri := &r.mesh.Triangles[o]
				tri[1], tri[2] = tri[2], tri[1]
				r.topo.TriEdge[o][0], r.topo.TriEdge[o][2] = r.topo.TriEdge[o][2], r.topo.TriEdge[o][0]
			}
			list = append(list, o)
		}
	}
	r.turnNormals()
}

// leastHeight is the height from which a triangle of a region says which way up it is, mm: a cut border moves by
// beyondWay at most, and what is lower may so have been turned over.
const leastHeight = 1.5 * beyondWay

// turnNormals turns the normals at the corners to the side of the triangles; at corners of slivers alone to that of
// the normals beside them.
func (r *region) turnNormals() {
	sound := make([]bool, len(r.mesh.Vertices))
	var slivers []int
	for t, tri := range r.mesh.Triangles {
		a, b, c := r.mesh.Corners(t)
		facet := b.Sub(a).Cross(c.Sub(a))
		if long := math.Sqrt(max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2())); facet.Norm() <= float64(leastHeight*long) {
			slivers = append(slivers, t)
			continue
		}
		for _, v := range tri {
			sound[v] = true
			if r.normals[v].Dot(facet) < -0.5*facet.Norm() {
				r.normals[v] = r.normals[v].Mul(-1)
			}
		}
	}
	for _, t := range slivers {
		tri := r.mesh.Triangles[t]
		for k, v := range tri {
			one, other := tri[(k+1)%3], tri[(k+2)%3]
			if !sound[one] {
				one = other
			}
			if !sound[v] && sound[one] {
				sound[v] = true
				if r.normals[v].Dot(r.normals[one]) < 0 {
					r.normals[v] = r.normals[v].Mul(-1)
				}
			}
		}
	}
}

func runsAlong(tri [3]int32, a, b int32) bool {
	for k := range 3 {
		if tri[k] == a && tri[(k+1)%3] == b {
			return true
		}
	}
	return false
}

// loops returns the border of the region as closed chains of vertices, metal on the left, longest first.
func (r *region) loops() [][]int32 {
	type edge struct{ from, to, other int32 } // and another that leaves the same vertex + 1
	var edges []edge
	last := make([]int32, len(r.mesh.Vertices)) // edge that leaves a vertex + 1
	for t, tri := range r.mesh.Triangles {
		for k := range 3 {
			if r.topo.Across(int32(t), k) == mesh.None {
				a, b := tri[k], tri[(k+1)%3]
				edges = append(edges, edge{a, b, last[a]})
				last[a] = int32(len(edges))
			}
		}
	}
	var out [][]int32
	for _, e := range edges {
		var loop []int32
		for v := e.from; last[v] > 0; {
			loop = append(loop, v)
			way := &edges[last[v]-1]
			last[v] = way.other
			v = way.to
		}
		if len(loop) > 2 {
			out = append(out, loop)
		}
	}
	sortByLength(r, out)
	return out
}

// onEdge is how near to an edge of the host a border counts as lying on it, mm: above the rounding of
// coordinates of a few metres.
const onEdge = 1e-5

// edgeEnd says what ends the region at the border edge from a to b.
func (f *finder) edgeEnd(r *region, a, b int32) border {
	at, known := r.ends.at(wayKey(a, b))
	if !known {
		*at = int32(len(r.ended))
		r.ended = append(r.ended, f.findEnd(r, a, b))
	}
	return r.ended[*at]
}

func (f *finder) findEnd(r *region, a, b int32) border {
	if r.borders[a].cut && r.borders[b].cut {
		return f.mixedEnd(r, a, b)
	}
	host := f.panels[r.host]
	mid := r.mesh.Vertices[a].Add(r.mesh.Vertices[b]).Mul(0.5)
	end := border{why: Bend, whose: r.host}
	hit, ok := host.tree.ClosestFrom(f.edge, mid, 1, nil)
	if !ok {
		return end
	}
	f.edge = hit.Tri
	for k := range 3 {
		tri := host.Mesh.Triangles[hit.Tri]
		p, q := host.Mesh.Vertices[tri[k]], host.Mesh.Vertices[tri[(k+1)%3]]
		if near.ToSegment(mid, p, q) > onEdge {
			continue
		}
		if host.ends(hit.Tri, k) == FreeEdge {
			end.why = FreeEdge
		}
		return end
	}
	if r.borders[a].cut {
		return r.borders[a]
	}
	if r.borders[b].cut {
		return r.borders[b]
	}
	return end
}

// cornerCut is how far from a sheet's edge the middle of a border edge may be that was cut along it, mm.
const cornerCut = 0.06

// mixedEnd is what ends the region at an edge between two cut points: at a corner of the strip the two were cut for
// different reasons.
func (f *finder) mixedEnd(r *region, a, b int32) border {
	one, other := r.borders[a], r.borders[b]
	if one.why == other.why || one.why != FreeEdge && other.why != FreeEdge {
		return one
	}
	free, not := one, other
	if other.why == FreeEdge {
		free, not = other, one
	}
	if free.whose < 0 {
		return one
	}
	p := f.panels[free.whose]
	middle := r.mesh.Vertices[a].Add(r.mesh.Vertices[b]).Mul(0.5)
	hit, ok := p.tree.Closest(middle, f.reach(r.host, free.whose))
	if !ok {
		return one
	}
	for k := range 3 {
		tri := p.Mesh.Triangles[hit.Tri]
		if near.ToSegment(hit.Point, p.Mesh.Vertices[tri[k]], p.Mesh.Vertices[tri[(k+1)%3]]) <= cornerCut && p.ends(hit.Tri, k) == FreeEdge {
			return free
		}
	}
	return not
}

func (r *region) area() float64 {
	sum := 0.0
	for t, tri := range r.mesh.Triangles {
		if !r.filled[t] {
			a, b, c := r.mesh.Vertices[tri[0]], r.mesh.Vertices[tri[1]], r.mesh.Vertices[tri[2]]
			sum += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		}
	}
	return sum
}

func (r *region) loopLength(loop []int32) float64 {
	sum := 0.0
	for i, v := range loop {
		sum += r.mesh.Vertices[v].Sub(r.mesh.Vertices[loop[(i+1)%len(loop)]]).Norm()
	}
	return sum
}

// loopArea is the area that a loop encloses: exact on a plane, that of its shadow on its mean plane otherwise.
func (r *region) loopArea(loop []int32) float64 {
	o := r.mesh.Vertices[loop[0]]
	sum := r3.Vector{}
	for i := 1; i+1 < len(loop); i++ {
		sum = sum.Add(r.mesh.Vertices[loop[i]].Sub(o).Cross(r.mesh.Vertices[loop[i+1]].Sub(o)))
	}
	return math.Abs(sum.Norm()) / 2
}
