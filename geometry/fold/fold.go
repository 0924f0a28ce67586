// Package fold parts a region at the bends round which its sheets lie on each other.
//
// Nested sheets, as a channel in a channel, are in contact round their bends too. No weld sits on a bend, so that each flat
// is a strip of its own: a region is parted at its bends before a line is laid through it.
//
//	   flat            flat       the region's triangles take from the host's facets whether they are of a bend;
//	---------.      .---------    flats are what hangs together without those, bends what lies between the same flats
//	          \____/
//	        bend, flat, bend
//
// A bend parts the region if it runs along the strips at its sides rather than across one, as where a flange is joggled or goes round a
// corner: there the line goes on over it. Exactly where a strip ends, at the tangent line, is told later (package tangent).
package fold

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
	"seamwright/geometry/surface"
	"seamwright/internal/work"
)

// The bounds are chosen.
const (
	crease       = 30.  // degrees at which two flats meet in a bend of no width
	oneFlat      = 3.   // degrees by which the triangles of a flat lean from its normal at most, without noise
	togetherTurn = 10.  // degrees by which all sheets turn together as in a bend
	across       = 40.  // mm: a bend that is longer does not run across a strip
	beyond       = 2.   // lengths of a bend from its middle in which its flats are looked at
	widestHang   = 25.  // mm of a bend's width at most: what has more area for the length over which it meets its flat hangs on it by a neck
	partLength   = 1.25 // lengths of what is in contact of a bend that its flats are longer at least where it is not all of the bend
	straightBend = 0.5  // of the length of a bend's sides that they reach one way at least
	crumbArea    = 48.  // mm² of what lies flat between the facets of a bend at most: less than any flange
)

// bending is one bend: what lies between the same flats.
type bending struct {
	flats []int32 // in order, each named by the first of its triangles
	len   float64 // mm along that flat where it is longest
	sides []int32 // edges of the mesh where it meets its flats
}

// parting is a region that is to be parted at its bends.
type parting struct {
	r       *region.Region
	normals []r3.Vector // of the host's facets on which its triangles lie; zero for slivers
	bent    []bool      // triangles: on a bend
	flat    []int32     // of triangles: the flat that it belongs to, or -1
	bend    []int       // of triangles that belong to none: the number of their bend
	areas   []float64   // of flats
	bends   []bending
}

// Flats are the triangles of each part of a region between its bends, which lie on a host; nil where no bend parts it. The bends are the
// host's, and those of other sheets that lie on it there, in the order of the region's layers, nil for the host's own: noise may hide a
// bend in small facets from its own sheet, but facets of others may reach from a bend onto what is flat on the host. A crew helps, if there
// is one.
func Flats(r *region.Region, host *surface.Panel, others []*surface.Panel, crew *work.Crew) [][]int32 {
	g := parting{r: r}
	if !g.foldsAnywhere() || !g.takeFacets(host, others, crew) {
		return nil
	}
	g.findFlats()
	g.findBends()
	return g.parted()
}

// isFlat says whether no normal leans by more than an angle, in degrees, from the sum of them.
func (g *parting) isFlat(most float64) bool {
	sum := r3.Vector{}
	for _, n := range g.normals {
		sum = sum.Add(n)
	}
	axis, cos := sum.Normalize(), kit.CosDegrees(most)
	return !slices.ContainsFunc(g.normals, func(n r3.Vector) bool { return n != (r3.Vector{}) && n.Dot(axis) < cos })
}

// foldsAnywhere says whether any two neighbours are turned against each other as in a bend, and not all are of one flat.
func (g *parting) foldsAnywhere() bool {
	g.normals = make([]r3.Vector, len(g.r.Mesh.Triangles))
	for t := range g.normals {
		a, b, c := g.r.Mesh.Corners(t)
		n := b.Sub(a).Cross(c.Sub(a))
		twice, long := n.Norm(), math.Sqrt(max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2()))
		if twice > region.LeastHeight*long {
			g.normals[t] = n.Mul(1 / twice)
		}
	}
	return !g.isFlat(oneFlat) && slices.ContainsFunc(g.r.Topo.Edges, func(e mesh.Edge) bool {
		return surface.FoldsAt(g.r.Mesh, g.r.Topo, g.normals, e)
	})
}

// takeFacets takes from the facets of the host whether they are of a bend, and their normals, which carry less noise than the
// triangles, and whether facets of its layers are of bends. It says whether there is a bend or a crease.
func (g *parting) takeFacets(host *surface.Panel, others []*surface.Panel, crew *work.Crew) bool {
	ofBend, ofLayers := host.BentFacets(), make([][]bool, len(others))
	any := slices.Contains(ofBend, true)
	for i, o := range others {
		if o != nil {
			ofLayers[i] = o.BentFacets()
			any = any || slices.Contains(ofLayers[i], true)
		}
	}
	if !any && !slices.ContainsFunc(g.r.Topo.Edges, g.mayCrease) {
		return false
	}
	g.bent = make([]bool, len(g.normals))
	crew.Do((len(g.normals)+atOnce-1)/atOnce, func(i int) {
		hint := near.NoHint
		for t := i * atOnce; t < min(len(g.normals), (i+1)*atOnce); t++ {
			n := g.normals[t]
			if n == (r3.Vector{}) {
				continue
			}
			a, b, c := g.r.Mesh.Corners(t)
			at := a.Add(b).Add(c).Mul(1. / 3)
			hit, ok := host.Tree.ClosestFrom(hint, at, 1, nil)
			if !ok || host.Normals[hit.Tri] == (r3.Vector{}) {
				continue
			}
			hint = hit.Tri
			own := host.Normals[hit.Tri]
			g.normals[t] = own.Mul(math.Copysign(1, own.Dot(n)))
			g.bent[t] = ofBend[hit.Tri]
			for k, bent := range ofLayers {
				if !g.bent[t] && bent != nil {
					hit, ok := g.r.Layers[k].Nearest(at, g.normals[t])
					g.bent[t] = ok && bent[hit.Tri]
				}
			}
		}
	})
	return slices.Contains(g.bent, true) || slices.ContainsFunc(g.r.Topo.Edges, g.isCrease)
}

// atOnce is how many triangles one worker looks at before it takes more.
const atOnce = 1024

// mayCrease says whether two triangles may lie on flats that meet at a sharp angle, before it is known on which facets they lie: these
// are turned by far less from their triangles than by half that angle.
func (g *parting) mayCrease(e mesh.Edge) bool {
	if e.Free() {
		return false
	}
	n, m := g.normals[e.Tri[0]], g.normals[e.Tri[1]]
	return n != (r3.Vector{}) && m != (r3.Vector{}) && n.Dot(m) < kit.CosDegrees(crease/2)
}

// isCrease says whether two flats meet at an edge at a sharp angle.
func (g *parting) isCrease(e mesh.Edge) bool {
	if e.Free() || g.bent[e.Tri[0]] || g.bent[e.Tri[1]] {
		return false
	}
	n, m := g.normals[e.Tri[0]], g.normals[e.Tri[1]]
	return n != (r3.Vector{}) && m != (r3.Vector{}) && n.Dot(m) < kit.CosDegrees(crease)
}

// findFlats joins the triangles that lie on no bend; of a sliver it is not known, so that it joins nothing.
func (g *parting) findFlats() {
	pieces := mesh.NewPieces(len(g.normals))
	sliver := func(t int32) bool { return g.normals[t] == (r3.Vector{}) }
	for _, e := range g.r.Topo.Edges {
		if !e.Free() && !g.bent[e.Tri[0]] && !g.bent[e.Tri[1]] && !sliver(e.Tri[0]) && !sliver(e.Tri[1]) && !g.isCrease(e) {
			pieces.Join(e.Tri[0], e.Tri[1])
		}
	}
	g.areas = make([]float64, len(g.normals))
	for t := range g.normals {
		a, b, c := g.r.Mesh.Corners(t)
		g.areas[pieces.First(int32(t))] += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
	}
	g.flat = make([]int32, len(g.normals))
	for t := range g.flat {
		if g.flat[t] = pieces.First(int32(t)); g.bent[t] || sliver(int32(t)) || g.areas[g.flat[t]] < crumbArea {
			g.flat[t] = -1
		}
	}
	amid := map[int32]bool{} // crumbs beside facets of a bend
	for _, e := range g.r.Topo.Edges {
		for k := range 2 {
			if t := e.Tri[k]; !e.Free() && !g.bent[t] && g.bent[e.Tri[1-k]] {
				amid[pieces.First(t)] = true
			}
		}
	}
	g.spread(func(t int32) bool { return sliver(t) || !g.bent[t] && !amid[pieces.First(t)] })
}

// spread gives flats what lies beside them and belongs to none, straight or by way of more of it.
func (g *parting) spread(takes func(t int32) bool) {
	var list []int32
	for t := range g.flat {
		if g.flat[t] >= 0 {
			list = append(list, int32(t))
		}
	}
	for i := 0; i < len(list); i++ {
		for k := range 3 {
			if o := g.r.Topo.Across(list[i], k); o != mesh.None && g.flat[o] < 0 && takes(o) {
				g.flat[o] = g.flat[list[i]]
				list = append(list, o)
			}
		}
	}
}

// findBends gathers what of bends lies between the same flats, and creases.
func (g *parting) findBends() {
	blobs := mesh.NewPieces(len(g.flat))
	for _, e := range g.r.Topo.Edges {
		if !e.Free() && g.flat[e.Tri[0]] < 0 && g.flat[e.Tri[1]] < 0 {
			blobs.Join(e.Tri[0], e.Tri[1])
		}
	}
	lengths := map[int32]map[int32]float64{} // of each blob's border along each flat
	sides := map[int32][]int32{}
	for i, e := range g.r.Topo.Edges {
		if e.Free() {
			continue
		}
		length := g.r.Mesh.Vertices[e.V[0]].Sub(g.r.Mesh.Vertices[e.V[1]]).Norm()
		a, b := g.flat[e.Tri[0]], g.flat[e.Tri[1]]
		switch {
		case a >= 0 && b >= 0 && a != b:
			g.bendBetween([]int32{min(a, b), max(a, b)}, length, int32(i))
		case a < 0 && b >= 0 || b < 0 && a >= 0:
			blob := blobs.First(e.Tri[kit.CountIf(b < 0)])
			if lengths[blob] == nil {
				lengths[blob] = map[int32]float64{}
			}
			lengths[blob][max(a, b)] += length
			sides[blob] = append(sides[blob], int32(i))
		}
	}
	g.bend = make([]int, len(g.flat))
	for t := range g.bend {
		if g.bend[t] = -1; g.flat[t] < 0 {
			if first := blobs.First(int32(t)); first < int32(t) {
				g.bend[t] = g.bend[first]
				continue
			}
			flats, longest := []int32{}, 0.0
			for flat, length := range lengths[int32(t)] {
				flats, longest = append(flats, flat), max(longest, length)
			}
			slices.Sort(flats)
			g.bend[t] = g.bendBetween(flats, longest, sides[int32(t)]...)
		}
	}
}

// bendBetween is the number of the bend between some flats, which grows by a length and sides.
func (g *parting) bendBetween(flats []int32, length float64, sides ...int32) int {
	i := slices.IndexFunc(g.bends, func(b bending) bool { return slices.Equal(b.flats, flats) })
	if i < 0 {
		i = len(g.bends)
		g.bends = append(g.bends, bending{flats: flats})
	}
	g.bends[i].len, g.bends[i].sides = g.bends[i].len+length, append(g.bends[i].sides, sides...)
	return i
}

// parted is the triangles of each flat, or nil where no bend parts the region.
func (g *parting) parted() [][]int32 {
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
	out := make([][]int32, len(g.flat))
	for t, f := range g.flat {
		if b := g.bend[t]; f < 0 && !along[b] && len(g.bends[b].flats) > 0 {
			f = g.bends[b].flats[0] // what is left in goes with the flats beside it
		}
		if f >= 0 {
			out[group[f]] = append(out[group[f]], int32(t))
		}
	}
	return slices.DeleteFunc(out, func(tris []int32) bool { return len(tris) == 0 })
}

// groups is which of the flats hang together without some of the bends.
func (g *parting) groups(without func(bend int) bool) mesh.Pieces {
	pieces := mesh.NewPieces(len(g.flat))
	for i, b := range g.bends {
		for k := 1; k < len(b.flats) && !without(i); k++ {
			pieces.Join(b.flats[0], b.flats[k])
		}
	}
	for f := range pieces {
		pieces[f] = pieces.First(int32(f))
	}
	return pieces
}

// runsAlong says whether a bend parts the region along the strips at its sides, or hangs on one along it.
func (g *parting) runsAlong(bend int) bool {
	b := &g.bends[bend]
	group := g.groups(func(i int) bool { return i == bend })
	var areas []float64 // of what hangs together at its sides
	var sides []int32
	for _, f := range b.flats {
		if slices.Contains(sides, group[f]) {
			continue
		}
		area := 0.0
		for o := range group {
			if group[o] == group[f] && g.flat[o] == int32(o) {
				area += g.areas[o]
			}
		}
		sides, areas = append(sides, group[f]), append(areas, area)
	}
	slices.SortFunc(areas, func(a, b float64) int { return cmp.Compare(b, a) })
	if len(areas) == 0 || len(areas) == 1 && len(b.flats) > 1 || !(b.len > 0) {
		return false // a ring goes on round it
	}
	if len(b.flats) == 1 {
		if g.hangsByNeck(bend) {
			return true
		}
		if !g.turnsFar(bend) {
			return false
		}
	}
	axis, from, to := g.axis(b)
	length := max(b.len, to-from)
	return length > across || axis == (r3.Vector{}) || areas[min(1, len(areas)-1)] <= length*length || g.isPart(b, axis, from, to)
}

// hangsByNeck says whether what there is of a bend meets its flat over far less than it is long, as where a gap runs between the two:
// lines would go round that.
func (g *parting) hangsByNeck(bend int) bool {
	area := 0.0
	for t, f := range g.flat {
		if f < 0 && g.bend[t] == bend {
			a, b, c := g.r.Mesh.Corners(t)
			area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		}
	}
	return area > widestHang*g.bends[bend].len
}

// turnsFar says whether what hangs on a flat turns away from it as far as a bend does, or less far, but with all sheets: where only one
// of them bends they lie on each other for less than that.
func (g *parting) turnsFar(bend int) bool {
	from := map[int32]r3.Vector{} // the flat's normal where a triangle hangs on it
	var list []int32
	for _, i := range g.bends[bend].sides {
		e := g.r.Topo.Edges[i]
		k := kit.CountIf(g.flat[e.Tri[0]] >= 0)
		if _, known := from[e.Tri[k]]; !known {
			from[e.Tri[k]] = g.normals[e.Tri[1-k]]
			list = append(list, e.Tri[k])
		}
	}
	for i := 0; i < len(list); i++ {
		t := list[i]
		if n := g.normals[t]; n != (r3.Vector{}) && from[t] != (r3.Vector{}) && (n.Dot(from[t]) < kit.CosDegrees(surface.FoldTurn) ||
			n.Dot(from[t]) < kit.CosDegrees(togetherTurn) && g.turnsWithAll(t, from[t])) {
			return true
		}
		for k := range 3 {
			if o := g.r.Topo.Across(t, k); o != mesh.None && g.bend[o] == bend && g.flat[o] < 0 {
				if _, known := from[o]; !known {
					from[o] = from[t]
					list = append(list, o)
				}
			}
		}
	}
	return false
}

// turnsWithAll says whether all sheets at a triangle are turned from a flat's normal by about as much as its host is.
func (g *parting) turnsWithAll(t int32, flat r3.Vector) bool {
	n := g.normals[t]
	half := n.Add(flat).Normalize().Dot(flat)
	a, b, c := g.r.Mesh.Corners(int(t))
	for _, layer := range g.r.Layers {
		hit, ok := layer.Nearest(a.Add(b).Add(c).Mul(1./3), n)
		if !ok || math.Abs(layer.Mesh.Normal(int(hit.Tri)).Dot(flat)) > half {
			return false
		}
	}
	return true
}

// axis is the direction of a bend and from where to where along it the bend reaches; zero for one that runs in a circle.
func (g *parting) axis(b *bending) (axis r3.Vector, from, to float64) {
	sum, length := r3.Vector{}, 0.0
	for _, i := range b.sides {
		e := g.r.Topo.Edges[i]
		d := g.r.Mesh.Vertices[e.V[1]].Sub(g.r.Mesh.Vertices[e.V[0]])
		sum, length = sum.Add(d.Mul(math.Copysign(1, d.Dot(sum)))), length+d.Norm()
	}
	if sum.Norm() < straightBend*length {
		return r3.Vector{}, 0, 0
	}
	axis, from, to = sum.Normalize(), math.Inf(1), math.Inf(-1)
	for _, i := range b.sides {
		for _, v := range g.r.Topo.Edges[i].V {
			s := g.r.Mesh.Vertices[v].Dot(axis)
			from, to = min(from, s), max(to, s)
		}
	}
	return axis, from, to
}

// isPart says whether the flats beside a bend reach far beyond it along its axis, so that what is left of it in contact joins
// them here and there only.
func (g *parting) isPart(b *bending, axis r3.Vector, from, to float64) bool {
	low, high, length := math.Inf(1), math.Inf(-1), to-from
	middle := r3.Vector{}
	for _, i := range b.sides {
		middle = middle.Add(g.r.Mesh.Vertices[g.r.Topo.Edges[i].V[0]].Mul(1 / float64(len(b.sides))))
	}
	for t, f := range g.flat {
		if !slices.Contains(b.flats, f) {
			continue
		}
		for _, v := range g.r.Mesh.Triangles[t] {
			if p := g.r.Mesh.Vertices[v]; p.Sub(middle).Norm() < beyond*length {
				low, high = min(low, p.Dot(axis)), max(high, p.Dot(axis))
			}
		}
	}
	return high-low > partLength*length
}
