package surface

import (
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
)

// A bend is told from the facets of a panel. About a facet lies its face: those that are reached across edges at which the
// sheet turns less sharply than in any bend. A facet is curved if the sheet turns the same way at two sides of its face, and the
// face is narrow for that; curved facets that hang together and turn the same way are a bend if the sheet turns far enough over
// them, and sharply enough: what is wider is a curved flange. The bounds are chosen.
const (
	foldRadius  = 50. // mm: facets tell that radius of a bend of 20, the first of whose creases turns half as much as the others
	foldLeast   = 0.5 // degrees between facets from which they may be two of a bend
	FoldTurn    = 20. // degrees that a bend turns
	foldWidest  = 24. // mm of radius, by area and turn
	wideFacet   = 2.0 // mm: a facet that is wider says how wide its face is at least
	widestFold  = 6.0 // mm: a face that is wider is a flat between two bends, and so is
	leastFlat   = 4.0 // mm: one that is wider than this,
	flatShare   = 0.5 // if the faces of bends at both of its sides are narrower than this share of it
	faceSides   = 2.  // longest sides of a facet that its face reaches from it
	faceFacets  = 64  // of a face at most
	holeFacets  = 256 // in the midst of a bend at most that are not curved
	leastFacing = 0.5 // cosine: below, an edge is no more of the one side of a face than of the other
)

const leastTurn = foldLeast * math.Pi / 180

// fold is an edge at which a sheet turns.
type fold struct {
	tris   [2]int32
	turn   float64 // radians, above zero where the sheet turns up, to its normals' side
	len    float64 // mm
	middle r3.Vector
	out    [2]r3.Vector // from each of the triangles, in its plane, square to the edge
}

// folding tells the bends of a mesh.
type folding struct {
	mesh    *mesh.Mesh
	topo    *mesh.Topology
	normals []r3.Vector // of triangles; zero for one that says nothing
	folds   []fold
	foldAt  []int32   // of the mesh's edges: number + 1, 0 for none, -1 for the rim of a solid's skin
	sign    []float64 // of triangles: in which way the sheet turns at a curved one; 0 for others
	width   []float64 // mm, of the faces about triangles at folds; infinite where the sheet turns at one side only
	seen    []int32   // the last triangle whose face held this one, + 1
	face    []int32   // of the triangle at hand
}

// bentFacets tells them, on so many workers: all that want to know of a panel's wait for it, so that often nothing else is to do.
func (p *Panel) bentFacets(workers int) []bool {
	g := folding{mesh: p.Mesh, topo: p.Topo, normals: p.Normals, seen: make([]int32, len(p.Normals))}
	g.findFolds(p.isRim, workers)
	g.findCurved(workers)
	g.takeOutFlats()
	g.fillHoles()
	return g.tellBends()
}

// stretch is how many edges or triangles are looked at in a row by one worker.
const stretch = 1 << 12

// inStretches does the stretches of n things on some workers, who is the number of the one that does it.
func inStretches(n, workers int, do func(who, from, to int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for who := range max(1, min(workers, (n+stretch-1)/stretch)) {
		wait.Go(func() {
			for from := int(next.Add(stretch)) - stretch; from < n; from = int(next.Add(stretch)) - stretch {
				do(who, from, min(n, from+stretch))
			}
		})
	}
	wait.Wait()
}

// findCurved tells the curved triangles.
func (g *folding) findCurved(workers int) {
	sign, width := make([]float64, len(g.normals)), make([]float64, len(g.normals))
	own := make([]folding, max(1, workers))
	inStretches(len(g.normals), workers, func(who, from, to int) {
		g := g.aside(&own[who])
		for t := from; t < to; t++ {
			if g.touchesFold(int32(t)) {
				sign[t], width[t] = g.curved(int32(t))
			}
		}
	})
	g.sign, g.width = sign, width
}

// aside is the same folding with a face of its own, for another worker.
func (g *folding) aside(own *folding) *folding {
	if own.seen == nil {
		*own = *g
		own.seen = make([]int32, len(g.normals))
	}
	return own
}

// foldOf is what an edge is, if the sheet turns there as sharply as in a bend.
func (g *folding) foldOf(e mesh.Edge) (out fold, ok bool) {
	if e.Free() {
		return fold{}, false
	}
	out.tris = e.Tri
	n, m := g.normals[e.Tri[0]], g.normals[e.Tri[1]]
	if n == (r3.Vector{}) || m == (r3.Vector{}) {
		return fold{}, false
	}
	if !turnedAlike(g.mesh, e) {
		m = m.Mul(-1)
	}
	across, alike := n.Cross(m), n.Dot(m)
	if alike > 0 && across.Norm2() < leastTurn*leastTurn*alike*alike {
		return fold{}, false // as most are: a tangent is above its angle, and no arc tangent is needed
	}
	turn := math.Atan2(across.Norm(), alike)
	if turn < leastTurn {
		return fold{}, false
	}
	p, q := g.mesh.Vertices[e.V[0]], g.mesh.Vertices[e.V[1]]
	along := q.Sub(p)
	out.len, out.middle = along.Norm(), p.Add(q).Mul(0.5)
	height := math.Inf(1)
	for k, t := range out.tris {
		inward := g.mesh.Vertices[g.mesh.Third(e, t)].Sub(p)
		inward = inward.Sub(along.Mul(inward.Dot(along) / along.Norm2()))
		height = min(height, inward.Norm())
		out.out[k] = inward.Mul(-1 / math.Max(inward.Norm(), 1e-12))
	}
	out.turn = math.Copysign(turn, -m.Dot(out.out[0]))
	return out, turn*foldRadius >= height
}

// FoldsAt says whether a surface turns at an edge of its mesh as sharply as in a bend. A triangle with a normal of zero says nothing.
func FoldsAt(m *mesh.Mesh, topo *mesh.Topology, normals []r3.Vector, e mesh.Edge) bool {
	g := folding{mesh: m, topo: topo, normals: normals}
	_, ok := g.foldOf(e)
	return ok
}

// turnedAlike says whether both triangles at an edge are turned the same way round.
func turnedAlike(m *mesh.Mesh, e mesh.Edge) bool {
	return region.RunsAlong(m.Triangles[e.Tri[0]], e.V[0], e.V[1]) != region.RunsAlong(m.Triangles[e.Tri[1]], e.V[0], e.V[1])
}

// isRim says whether a solid's skin ends at an edge.
func (p *Panel) isRim(i int32) bool {
	if p.Surface != Solid {
		return false
	}
	t := p.Topo.Edges[i].Tri[0]
	for k := range 3 {
		if p.Topo.TriEdge[t][k] == i {
			return p.Ends(t, k) == region.FreeEdge
		}
	}
	return false
}

func (g *folding) findFolds(isRim func(edge int32) bool, workers int) {
	g.foldAt = make([]int32, len(g.topo.Edges))
	parts := make([][]fold, (len(g.topo.Edges)+stretch-1)/stretch)
	inStretches(len(g.topo.Edges), workers, func(_, from, to int) {
		var folds []fold
		for i := from; i < to; i++ {
			if isRim(int32(i)) {
				g.foldAt[i] = -1
			} else if one, ok := g.foldOf(g.topo.Edges[i]); ok {
				folds = append(folds, one)
				g.foldAt[i] = int32(len(folds))
			}
		}
		parts[from/stretch] = folds
	})
	g.folds = slices.Concat(parts...)
	before := int32(0) // folds of earlier parts
	for k, part := range parts {
		for i := k * stretch; before > 0 && i < min(len(g.foldAt), (k+1)*stretch); i++ {
			if g.foldAt[i] > 0 {
				g.foldAt[i] += before
			}
		}
		before += int32(len(part))
	}
}

func (g *folding) touchesFold(t int32) bool {
	e := g.topo.TriEdge[t]
	return max(g.foldAt[e[0]], g.foldAt[e[1]], g.foldAt[e[2]]) > 0
}

// gather fills in the face about a triangle.
func (g *folding) gather(t int32) {
	middle := func(t int32) r3.Vector {
		a, b, c := g.mesh.Corners(int(t))
		return a.Add(b).Add(c).Mul(1. / 3)
	}
	a, b, c := g.mesh.Corners(int(t))
	reach2, from := faceSides*faceSides*max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2()), middle(t)
	g.face, g.seen[t] = append(g.face[:0], t), t+1
	for i := 0; i < len(g.face); i++ {
		for k := 0; k < 3 && len(g.face) < faceFacets; k++ {
			o := g.topo.Across(g.face[i], k)
			if o != mesh.None && g.seen[o] != t+1 && g.foldAt[g.topo.TriEdge[g.face[i]][k]] == 0 && middle(o).Sub(from).Norm2() < reach2 {
				g.seen[o] = t + 1
				g.face = append(g.face, o)
			}
		}
	}
}

// faceSide is one of the two sides of a face. The widths beside it are known once those of all faces are.
type faceSide struct{ len, turn, at, beside float64 } // mm, turn, place across the face and width beside it, these times the length

// sides are those of the face about a triangle, the direction from the second to the first, and the way in which the sheet turns there.
func (g *folding) sides(t int32) (sides [2]faceSide, across r3.Vector, sign float64) {
	g.gather(t)
	sum, most := 0.0, 0.0
	each := func(do func(one *fold, side int)) {
		for _, f := range g.face {
			for _, e := range g.topo.TriEdge[f] {
				if k := g.foldAt[e]; k > 0 {
					one := &g.folds[k-1]
					if side := kit.CountIf(one.tris[1] == f); g.seen[one.tris[1-side]] != t+1 { // it does not lie within the face
						do(one, side)
					}
				}
			}
		}
	}
	each(func(one *fold, side int) {
		sum += one.turn * one.len
		if w := math.Abs(one.turn) * one.len; w > most {
			most, across = w, one.out[side]
		}
	})
	sign = math.Copysign(1, sum)
	each(func(one *fold, side int) {
		if cos := one.out[side].Dot(across); one.turn*sign > 0 && math.Abs(cos) > leastFacing {
			s := &sides[kit.CountIf(cos < 0)]
			s.len, s.turn, s.at = s.len+one.len, s.turn+math.Abs(one.turn*cos)*one.len, s.at+one.middle.Dot(across)*one.len
			if g.width != nil {
				s.beside += g.width[one.tris[1-side]] * one.len
			}
		}
	})
	return sides, across, sign
}

// curved is the way in which the sheet turns at two sides of the face about a triangle, or 0 where it does not, or the face is
// wide for it.
func (g *folding) curved(t int32) (sign, width float64) {
	sides, across, sign := g.sides(t)
	if !(sides[0].len > 0 && sides[1].len > 0) {
		return 0, math.Inf(1)
	}
	a, b, c := g.mesh.Corners(int(t))
	x, y, z := a.Dot(across), b.Dot(across), c.Dot(across)
	width = sides[0].at/sides[0].len - sides[1].at/sides[1].len
	if facet := max(x, y, z) - min(x, y, z); facet > wideFacet { // by way of an edge without a fold the sides may be those of one beside it
		width = max(width, facet)
	}
	if width <= widestFold && min(sides[0].turn/sides[0].len, sides[1].turn/sides[1].len)*foldRadius >= width {
		return sign, width
	}
	return 0, width
}

// takeOutFlats takes faces for flats that are wide beside the bends at both of their sides: facets of one bend are about as wide
// as each other. A bend's first facet has a flat at one of its sides.
func (g *folding) takeOutFlats() {
	var flats []int32
	clear(g.seen)
	for t, sign := range g.sign {
		if sign == 0 || g.width[t] < leastFlat {
			continue
		}
		sides, _, _ := g.sides(int32(t))
		if max(sides[0].beside/sides[0].len, sides[1].beside/sides[1].len) < flatShare*g.width[t] {
			flats = append(flats, int32(t))
		}
	}
	for _, t := range flats {
		g.sign[t] = 0
	}
	g.takeOutRests()
}

// takeOutRests takes for flat what is as wide as a flat and goes on in one without a fold, if more of the two together is flat than not:
// of a flat about as narrow as the limits some facets are within them and others not.
func (g *folding) takeOutRests() {
	isRest := func(t int32) bool { return g.sign[t] != 0 && g.width[t] >= leastFlat }
	pieces := mesh.NewPieces(len(g.sign))
	for i, e := range g.topo.Edges {
		if !e.Free() && g.foldAt[i] == 0 && (isRest(e.Tri[0]) || g.sign[e.Tri[0]] == 0) && (isRest(e.Tri[1]) || g.sign[e.Tri[1]] == 0) {
			pieces.Join(e.Tri[0], e.Tri[1])
		}
	}
	flat := make([]float64, len(g.sign)) // mm² of flats more than of rests, by the first of a piece
	for t := range g.sign {
		a, b, c := g.mesh.Corners(t)
		area := b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		if g.sign[t] != 0 {
			area = -area
		}
		flat[pieces.First(int32(t))] += area
	}
	for t := range g.sign {
		if isRest(int32(t)) && flat[pieces.First(int32(t))] > 0 {
			g.sign[t] = 0
		}
	}
}

// fillHoles takes for curved what lies in the midst of what is curved one way and is narrow for a flat: of noisy facets in a bend some
// are turned one way at one side alone, and a bend's border round all of them is long.
func (g *folding) fillHoles() {
	seen := make([]int32, len(g.sign)) // by whom, + 1
	var hole []int32
	for t := range g.sign {
		for k := 0; g.sign[t] != 0 && k < 3; k++ {
			if o := g.topo.Across(int32(t), k); o != mesh.None && g.sign[o] == 0 && seen[o] == 0 {
				var isHole bool
				if hole, isHole = g.holeAt(o, g.sign[t], seen, hole[:0]); isHole {
					for _, h := range hole {
						g.sign[h] = g.sign[t]
					}
				}
			}
		}
	}
}

// holeAt gathers the facets about one that are not curved, and says whether they are few, narrow, and bordered by facets curved one way
// alone. Seen is what was gathered before: what meets that is no hole, as that was none.
func (g *folding) holeAt(from int32, sign float64, seen, hole []int32) ([]int32, bool) {
	hole, seen[from] = append(hole, from), from+1
	isHole, area, border := true, 0., 0.
	for i := 0; i < len(hole) && len(hole) <= holeFacets; i++ {
		a, b, c := g.mesh.Corners(int(hole[i]))
		corners := [3]r3.Vector{a, b, c}
		area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		for k := range 3 {
			o := g.topo.Across(hole[i], k)
			switch {
			case o == mesh.None || g.foldAt[g.topo.TriEdge[hole[i]][k]] < 0:
				isHole = false
			case g.sign[o] != 0:
				isHole = isHole && g.sign[o] == sign
				border += corners[k].Sub(corners[(k+1)%3]).Norm()
			case seen[o] == 0:
				seen[o] = from + 1
				hole = append(hole, o)
			case seen[o] != from+1:
				isHole = false
			}
		}
	}
	return hole, isHole && len(hole) <= holeFacets && 2*area < leastFlat*border
}

// tellBends says of every triangle whether it is one of a bend.
func (g *folding) tellBends() []bool {
	bends := mesh.NewPieces(len(g.sign))
	for _, e := range g.topo.Edges {
		if !e.Free() && g.sign[e.Tri[0]] != 0 && g.sign[e.Tri[0]] == g.sign[e.Tri[1]] {
			bends.Join(e.Tri[0], e.Tri[1])
		}
	}
	type bend struct {
		area          float64
		turned, outer float64 // the sum of its turns times their lengths, and of those at its sides
		border        float64 // mm
	}
	of := map[int32]*bend{}
	for t, sign := range g.sign {
		if sign != 0 {
			first := bends.First(int32(t))
			if of[first] == nil {
				of[first] = &bend{}
			}
			a, b, c := g.mesh.Corners(t)
			of[first].area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		}
	}
	for i, e := range g.topo.Edges {
		if e.Free() || g.sign[e.Tri[0]] == 0 && g.sign[e.Tri[1]] == 0 {
			continue
		}
		turn := 0.0
		if k := g.foldAt[i]; k > 0 {
			turn = g.folds[k-1].turn * g.folds[k-1].len
		}
		p, q := bends.First(e.Tri[0]), bends.First(e.Tri[1])
		if b := of[p]; b != nil && p == q {
			b.turned += turn
			continue
		}
		length := g.mesh.Vertices[e.V[0]].Sub(g.mesh.Vertices[e.V[1]]).Norm()
		for _, x := range [2]int32{p, q} {
			if b := of[x]; b != nil {
				b.turned, b.outer, b.border = b.turned+turn, b.outer+turn, b.border+length
			}
		}
	}
	out := make([]bool, len(g.sign))
	for t, sign := range g.sign {
		if sign != 0 {
			b := of[bends.First(int32(t))]
			out[t] = math.Abs(b.turned) >= FoldTurn*math.Pi/180*b.border/2 &&
				b.area <= foldWidest*math.Abs(b.turned-b.outer/2) // the creases at its sides belong half to what lies beyond
		}
	}
	return out
}
