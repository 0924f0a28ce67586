package flange

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// Nested sheets, as a channel in a channel, lie on each other round their bends too. No weld sits on a bend, so that each flat
// is a strip of its own: a region is parted at its bends before a line is laid through it.
//
// Its triangles are joined into faces across edges at which the sheet turns less sharply than any bend. A face between two
// sides at which the sheet turns the same way, and that is narrow for it, is one of a bend (faces that hang together are a
// zone); so is a crease of no width. A zone is a bend that parts the region if the sheet turns enough over it and if it runs
// along the strips at its sides rather than across one, as where a flange is joggled or goes round a corner: there the line
// goes on over it. Exactly where a strip ends, at the tangent line, is told later (bend.go). The bounds are chosen.
const (
	foldRadius  = 45. // mm: facets tell that radius of a bend of 20, the first of whose creases turns half as much as the others
	foldLeast   = 0.5 // degrees between facets from which they may be two of a bend
	foldCrease  = 30. // degrees at which two flats meet in a bend of no width
	foldTurn    = 20. // degrees that a bend turns
	foldWidest  = 24. // mm of radius, by area and turn: what curves less is a curved flange
	foldAcross  = 40. // mm: a bend that is longer does not run across a strip
	leastFacing = 0.5 // cosine: below, an edge is no more of the one side of a face than of the other
)

// fold is an edge of a region at which its sheet turns.
type fold struct {
	tris [2]int32
	turn float64      // radians, above zero where the sheet turns up, to its normals' side
	len  float64      // mm
	out  [2]r3.Vector // from each of the triangles, in its plane, square to the edge
}

// face is triangles of a region within which the sheet turns nowhere sharply.
type face struct {
	area   float64
	folds  []int32
	curved bool
	sign   float64 // of its turns together
}

// part is faces of a region that hang together: a flat, or what of a bend turns one way.
type part struct {
	area   float64
	curved bool
	turned float64 // the sum of the turns at a curved one's folds times their lengths
	bend   int     // number + 1 of the bend that a curved one belongs to
	gone   bool    // it is left out of the flats
}

// seam is where two parts meet.
type seam struct {
	parts  [2]int32
	len    float64
	turned float64
	bend   int // number + 1 of the bend that it is, as a crease between flats
}

// bending is one bend: parts between the same flats, or a crease.
type bending struct {
	between []int32 // flats
	turned  float64
	len     float64
	parts   bool
}

// folding parts one region.
type folding struct {
	r       *region
	normals []r3.Vector // of triangles
	edges   []fold
	foldAt  []int32 // of the mesh's edges: number + 1
	of      []int32 // the face of each triangle
	faces   []face
	partOf  []int32 // of faces
	parts   []part
	seams   []seam
	bends   []bending
}

// flats are the parts of a region between its bends; the region itself where it has none. nested says that there are some.
func (f *finder) flats(r *region) (parts []*region, nested bool) {
	g := folding{r: r}
	if !g.foldsAnywhere() {
		return []*region{r}, false
	}
	g.takeNormals(f.panels[r.host])
	g.findFolds()
	g.findFaces()
	g.findParts()
	g.findBends()
	flats := g.parted()
	if flats == nil {
		return []*region{r}, false
	}
	for _, tris := range flats {
		p := r.sub(tris)
		p.stack, p.host = r.stack, r.host
		parts = append(parts, p)
	}
	return parts, true
}

// normalOf is the normal of a triangle and its least height; a triangle of next to none has no normal.
func (r *region) normalOf(t int32) (n r3.Vector, height float64) {
	a, b, c := r.mesh.Corners(int(t))
	n = b.Sub(a).Cross(c.Sub(a))
	long := math.Sqrt(max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2()))
	twice := n.Norm()
	if !(twice > leastHeight*long) {
		return r3.Vector{}, 0
	}
	return n.Mul(1 / twice), twice / long
}

// foldsAnywhere says whether any two neighbours are turned against each other as in a bend.
func (g *folding) foldsAnywhere() bool {
	g.normals = make([]r3.Vector, len(g.r.mesh.Triangles))
	for t := range g.normals {
		g.normals[t], _ = g.r.normalOf(int32(t))
	}
	return slices.ContainsFunc(g.r.topo.Edges, func(e mesh.Edge) bool {
		_, ok := g.foldOf(e)
		return ok
	})
}

// takeNormals takes the normals of the facets of the host on which the triangles lie, which carry less noise.
func (g *folding) takeNormals(host *panel) {
	hint := int32(near.NoHint)
	for t, n := range g.normals {
		if n == (r3.Vector{}) {
			continue
		}
		a, b, c := g.r.mesh.Corners(t)
		hit, ok := host.tree.ClosestFrom(hint, a.Add(b).Add(c).Mul(1./3), 1, nil)
		if !ok || host.normals[hit.Tri] == (r3.Vector{}) {
			continue
		}
		hint = hit.Tri
		own := host.normals[hit.Tri]
		g.normals[t] = own.Mul(math.Copysign(1, own.Dot(n)))
	}
}

// foldOf is what an edge is, if the sheet turns there as sharply as in a bend.
func (g *folding) foldOf(e mesh.Edge) (out fold, ok bool) {
	if e.Free() {
		return fold{}, false
	}
	out.tris = [2]int32{e.Tri[0], e.Tri[1]}
	n, m := g.normals[out.tris[0]], g.normals[out.tris[1]]
	if n == (r3.Vector{}) || m == (r3.Vector{}) {
		return fold{}, false
	}
	cross := n.Cross(m)
	turn := math.Atan2(cross.Norm(), n.Dot(m))
	if turn < foldLeast*math.Pi/180 {
		return fold{}, false
	}
	p, q := g.r.mesh.Vertices[e.V[0]], g.r.mesh.Vertices[e.V[1]]
	along := q.Sub(p)
	out.len = along.Norm()
	height := math.Inf(1)
	for k, t := range out.tris {
		third := r3.Vector{}
		for _, v := range g.r.mesh.Triangles[t] {
			if v != e.V[0] && v != e.V[1] {
				third = g.r.mesh.Vertices[v]
			}
		}
		inward := third.Sub(p)
		inward = inward.Sub(along.Mul(inward.Dot(along) / along.Norm2()))
		height = min(height, inward.Norm())
		out.out[k] = inward.Mul(-1 / math.Max(inward.Norm(), 1e-12))
	}
	out.turn = math.Copysign(turn, -m.Dot(out.out[0]))
	return out, turn*foldRadius >= height
}

func (g *folding) findFolds() {
	g.foldAt = make([]int32, len(g.r.topo.Edges))
	for i, e := range g.r.topo.Edges {
		if one, ok := g.foldOf(e); ok {
			g.edges = append(g.edges, one)
			g.foldAt[i] = int32(len(g.edges))
		}
	}
}

// faceReach is how far from its first triangle a face reaches at most, mm: as far as a bend that runs round a corner stays
// straight enough to have two sides.
const faceReach = 8.

// findFaces joins triangles across edges that are no folds. A sliver belongs to the face beside it, lest it join two.
func (g *folding) findFaces() {
	m := g.r.mesh
	g.of = make([]int32, len(m.Triangles))
	for t := range g.of {
		g.of[t] = -1
	}
	middle := func(t int32) r3.Vector {
		a, b, c := m.Corners(int(t))
		return a.Add(b).Add(c).Mul(1. / 3)
	}
	for first := range g.of {
		if g.of[first] >= 0 || g.normals[first] == (r3.Vector{}) {
			continue
		}
		id, from := int32(len(g.faces)), middle(int32(first))
		one := face{}
		g.of[first] = id
		for list := []int32{int32(first)}; len(list) > 0; {
			t := list[len(list)-1]
			list = list[:len(list)-1]
			a, b, c := m.Corners(int(t))
			one.area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
			for k := range 3 {
				o := g.r.topo.Across(t, k)
				if o != mesh.None && g.of[o] < 0 && g.normals[o] != (r3.Vector{}) && g.foldAt[g.r.topo.TriEdge[t][k]] == 0 &&
					middle(o).Sub(from).Norm2() < faceReach*faceReach {
					g.of[o] = id
					list = append(list, o)
				}
			}
		}
		g.faces = append(g.faces, one)
	}
	g.giveSlivers()
	for i := range g.edges {
		e := &g.edges[i]
		if a, b := g.of[e.tris[0]], g.of[e.tris[1]]; a != b {
			g.faces[a].folds, g.faces[b].folds = append(g.faces[a].folds, int32(i)), append(g.faces[b].folds, int32(i))
		}
	}
	for i := range g.faces {
		g.faces[i].curved = g.isCurved(int32(i))
	}
}

// giveSlivers gives every triangle without a normal to the face of a neighbour that has one.
func (g *folding) giveSlivers() {
	for given := true; given; {
		given = false
		for t, of := range g.of {
			for k := 0; k < 3 && of < 0; k++ {
				if o := g.r.topo.Across(int32(t), k); o != mesh.None && g.of[o] >= 0 {
					of, given = g.of[o], true
				}
			}
			g.of[t] = of
		}
	}
	for t, of := range g.of {
		if of < 0 {
			g.of[t] = int32(len(g.faces))
			g.faces = append(g.faces, face{})
		}
	}
}

// isCurved says whether the sheet turns the same way at two sides of a face, and it is narrow for that.
func (g *folding) isCurved(i int32) bool {
	f := &g.faces[i]
	sum, most, first := 0.0, 0.0, r3.Vector{}
	side := func(e *fold) r3.Vector { return e.out[boolean(g.of[e.tris[1]] == i)] }
	for _, k := range f.folds {
		e := &g.edges[k]
		sum += e.turn * e.len
		if w := math.Abs(e.turn) * e.len; w > most {
			most, first = w, side(e)
		}
	}
	f.sign = math.Copysign(1, sum)
	var turns [2]float64
	for _, k := range f.folds {
		e := &g.edges[k]
		if e.turn*f.sign <= 0 {
			continue
		}
		if c := side(e).Dot(first); math.Abs(c) > leastFacing {
			turns[boolean(c < 0)] += math.Abs(e.turn*c) * e.len
		}
	}
	return f.area > 0 && min(turns[0], turns[1])*foldRadius >= f.area
}

// findParts joins curved faces that turn the same way, and others between which there is no crease.
func (g *folding) findParts() {
	pieces := mesh.NewPieces(len(g.faces))
	for i, e := range g.r.topo.Edges {
		if e.Free() {
			continue
		}
		a, b := g.of[e.Tri[0]], g.of[e.Tri[1]]
		if a == b || g.faces[a].curved != g.faces[b].curved || g.faces[a].curved && g.faces[a].sign != g.faces[b].sign {
			continue
		}
		if k := g.foldAt[i]; g.faces[a].curved || k == 0 || math.Abs(g.edges[k-1].turn) < foldCrease*math.Pi/180 {
			pieces.Join(a, b)
		}
	}
	g.partOf = make([]int32, len(g.faces))
	number := make(map[int32]int32, len(g.faces))
	for i, f := range g.faces {
		root := pieces.First(int32(i))
		if _, known := number[root]; !known {
			number[root] = int32(len(g.parts))
			g.parts = append(g.parts, part{curved: f.curved})
		}
		g.partOf[i] = number[root]
		g.parts[number[root]].area += f.area
	}
	at := map[[2]int32]int{}
	for i, e := range g.r.topo.Edges {
		if e.Free() {
			continue
		}
		a, b := g.partOf[g.of[e.Tri[0]]], g.partOf[g.of[e.Tri[1]]]
		turned := 0.0
		if k := g.foldAt[i]; k > 0 {
			turned = g.edges[k-1].turn * g.edges[k-1].len
		}
		if g.parts[a].curved {
			g.parts[a].turned += turned
		}
		if a == b {
			continue
		}
		if g.parts[b].curved {
			g.parts[b].turned += turned
		}
		key := [2]int32{min(a, b), max(a, b)}
		if _, known := at[key]; !known {
			at[key] = len(g.seams)
			g.seams = append(g.seams, seam{parts: key})
		}
		j := &g.seams[at[key]]
		j.len += g.r.mesh.Vertices[e.V[0]].Sub(g.r.mesh.Vertices[e.V[1]]).Norm()
		j.turned += turned
	}
}

// findBends gathers curved parts that lie between the same flats, and creases between flats.
func (g *folding) findBends() {
	border, outer, flats := make([]float64, len(g.parts)), make([]float64, len(g.parts)), make([][]int32, len(g.parts))
	for i := range g.seams {
		j := &g.seams[i]
		a, b := j.parts[0], j.parts[1]
		if !g.parts[a].curved && !g.parts[b].curved {
			j.bend = len(g.bends) + 1
			g.bends = append(g.bends, bending{between: []int32{a, b}, turned: j.turned, len: j.len})
			continue
		}
		for k, p := range j.parts {
			border[p], outer[p] = border[p]+j.len, outer[p]+j.turned
			flats[p] = append(flats[p], j.parts[1-k])
		}
	}
	for p := range g.parts {
		one := &g.parts[p]
		if !one.curved || !(math.Abs(one.turned) >= foldTurn*math.Pi/180*border[p]/2) ||
			one.area > foldWidest*math.Abs(one.turned-outer[p]/2) { // the creases at its sides belong half to the flats
			continue
		}
		slices.Sort(flats[p])
		i := slices.IndexFunc(g.bends, func(b bending) bool { return b.parts && slices.Equal(b.between, flats[p]) })
		if i < 0 {
			i = len(g.bends)
			g.bends = append(g.bends, bending{between: flats[p], parts: true})
		}
		one.bend = i + 1
		g.bends[i].turned, g.bends[i].len = g.bends[i].turned+one.turned, g.bends[i].len+border[p]/2
	}
}

// parted is the triangles of each flat, or nil where no bend parts the region.
func (g *folding) parted() [][]int32 {
	parts := false
	along := make([]bool, len(g.bends))
	for i := range g.bends {
		along[i] = g.runsAlong(i)
		parts = parts || along[i]
	}
	if !parts {
		return nil
	}
	group := g.groups(func(bend int) bool { return along[bend] })
	out := make([][]int32, len(g.parts))
	for t, of := range g.of {
		if p := g.partOf[of]; group[p] >= 0 {
			out[group[p]] = append(out[group[p]], int32(t))
		}
	}
	return slices.DeleteFunc(out, func(tris []int32) bool { return len(tris) == 0 })
}

// groups is which of the parts hang together without some of the bends; -1 for parts of those.
func (g *folding) groups(without func(bend int) bool) []int32 {
	pieces := mesh.NewPieces(len(g.parts))
	is := func(bend int) bool { return bend > 0 && without(bend-1) }
	for _, j := range g.seams {
		if a, b := j.parts[0], j.parts[1]; !is(j.bend) && !is(g.parts[a].bend) && !is(g.parts[b].bend) {
			pieces.Join(a, b)
		}
	}
	out := make([]int32, len(g.parts))
	for p := range out {
		if out[p] = pieces.First(int32(p)); is(g.parts[p].bend) {
			out[p] = -1
		}
	}
	return out
}

// runsAlong says whether a bend parts the region in two along the strips at its sides.
func (g *folding) runsAlong(bend int) bool {
	b := &g.bends[bend]
	group := g.groups(func(i int) bool { return i == bend })
	sides := map[int32]float64{} // their areas
	for _, p := range b.between {
		sides[group[p]] = 0
	}
	for p, of := range group {
		if _, is := sides[of]; is && of >= 0 {
			sides[of] += g.parts[p].area
		}
	}
	var areas []float64
	for _, area := range sides {
		areas = append(areas, area)
	}
	slices.SortFunc(areas, func(a, b float64) int { return cmp.Compare(b, a) })
	if len(areas) < 2 || !(b.len > 0) {
		return false
	}
	return b.len > foldAcross || areas[1] <= b.len*b.len
}
